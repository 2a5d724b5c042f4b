package cli

import (
	"errors"
	"io/fs"
	"path/filepath"

	"cotline/fhir"
	"cotline/handover"
	"cotline/internal/intake"
)

// siteCodes reads the site's further codings, which the policy names beside itself.
func (s *settings) siteCodes(policy *handover.Policy) (fhir.SiteCodes, error) {
	name := policy.FHIR.Codes
	if name == "" {
		return nil, nil
	}
	if !filepath.IsAbs(name) {
		name = filepath.Join(s.codesFolder(), name)
	}
	text, err := readSettings(s.ctx, name)
	if errors.Is(err, fs.ErrNotExist) {
		s.program.say("there is no %s, which the policy names in fhir.codes: own codes go out without the site's further codings", name)
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	site, issues := intake.Codes(text)
	for _, i := range issues {
		s.program.say("%s: %s", name, i)
	}
	if len(issues) > 0 {
		return nil, errors.Join(errTold, wrong{"the site's codings cannot be used", "mend them"})
	}
	return site, nil
}

// codesFolder is where a file that the policy names stands: beside the policy's own
// file, or, where the record knows its policy, beside the record.
func (s *settings) codesFolder() string {
	if s.policy != "" {
		return filepath.Dir(s.policy)
	}
	return filepath.Dir(s.record)
}
