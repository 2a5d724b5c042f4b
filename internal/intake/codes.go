package intake

import (
	"cotline/fhir"
	"cotline/handover/entry"
)

// Codes reads the site's further codings: YAML, a map of own codes, each to a list
// of {system, code, display, version}.
func Codes(text []byte) (fhir.SiteCodes, []entry.Issue) {
	v, issues := parseYAML(text)
	if len(issues) > 0 {
		return nil, issues
	}
	return fhir.ReadSiteCodes(v)
}
