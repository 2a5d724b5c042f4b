//go:build outside

package oracle

import "testing"

// HL7's engine finds no error in an event of the trace; it has no DICOM codes to look up.
func TestValidatorAcceptsAuditEvents(t *testing.T) {
	t.Parallel()
	all := auditEvents(t)
	for i, issues := range validate(t, all) {
		for _, is := range issues {
			if is.Severity == "error" || is.Severity == "fatal" {
				t.Errorf("%s: %s: %s\n%s", is.At, is.ID, is.Text, all[i])
			}
		}
	}
}
