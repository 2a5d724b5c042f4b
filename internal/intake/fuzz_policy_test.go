package intake_test

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// Whatever a policy says, it is refused with issues or kept as a text that reads
// back as itself. It stands beside the reader of files because package handover, built for
// fuzzing, builds what draws the wards of its tests a second time.
func FuzzPolicy(f *testing.F) {
	for _, text := range []string{
		`{}`, `{"every":{"head":"7d","care":{"position":"1h30m"}},"rotation":{"types":"none"}}`,
		`{"thresholds":[{"name":"n","all":[{"field":"sf","is":"<","value":200}],"source":"s"}],"shifts":["07:30"]}`,
		`{"sizes":{"mask":["S"],"bonnet":[{"name":"bud","fromCm":22,"toCm":24.5}]},"staff":[{"key":"a","name":"b"}]}`,
		`{"fhir":{"base":"https://a.example/x/","identifiers":{"mrn":{"system":"urn:oid:1.2"}}},"tube":{"movedCm":1e9}}`,
	} {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		v, issues := entry.ParseJSON(text)
		if len(issues) > 0 {
			return
		}
		p, issues := handover.DecodePolicy(v, time.LoadLocation)
		for _, i := range issues {
			if strings.ContainsAny(i.String(), "\n\r\x1b\x00") {
				t.Errorf("not fit for a line: %q", i.String())
			}
		}
		if len(issues) > 0 {
			return
		}
		canonical := p.Canonical()
		again, issues := entry.ParseJSON(canonical)
		if len(issues) > 0 {
			t.Fatalf("%s: %v", canonical, issues)
		}
		q, issues := handover.DecodePolicy(again, time.LoadLocation)
		if len(issues) > 0 || !bytes.Equal(q.Canonical(), canonical) {
			t.Errorf("%s\nreads back as\n%s %v", canonical, q.Canonical(), issues)
		}
	})
}
