package intake

import (
	"cotline/fhir/read"
	"cotline/handover/entry"
)

// Codes reads the site's further codings: YAML, a map of own codes, each to a list
// of {system, code, display, version}.
func Codes(text []byte) (read.SiteCodes, []entry.Issue) {
	v, issues := parseYAML(text)
	if len(issues) > 0 {
		return nil, issues
	}
	return read.SiteCodesOf(v)
}
