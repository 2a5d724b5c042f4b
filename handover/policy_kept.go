package handover

import (
	"time"

	"cotline/handover/entry"
)

// KeptPolicy reads back what Canonical wrote. A value that is the default's counts as the
// default: the text does not say who wrote it.
func KeptPolicy(text []byte, zone func(string) (*time.Location, error)) (*Policy, []entry.Issue) {
	v, issues := entry.ParseJSON(text)
	if len(issues) > 0 {
		return nil, issues
	}
	p, issues := DecodePolicy(v, zone)
	for _, key := range policyKeys {
		if initial := key.initial; initial != "" && string(at(p.tree, key.path).AppendJSON(nil)) == initial {
			p.origins[key.path] = key.origin
		}
	}
	return p, issues
}
