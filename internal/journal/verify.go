package journal

import (
	"context"
	"errors"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// Report is what Verify found.
type Report struct {
	Entries  int
	Head     Head
	Signed   int       // handovers that came out again as they were signed
	Findings []Finding // by position; the first is the first broken place
	// Remarks are no faults: handovers that another version of the engine
	// compiled, whose kept bytes are sound.
	Remarks  []string
	Unmarked bool // nothing tells whether the newest entries were lost
}

// Verify makes every hash anew, holds every row to chain, place and canonical
// form, makes the index anew and holds the one kept to it, and compiles every
// signed handover again from the rows up to its position, in one pass. It judges
// no entry again: what was taken stands.
func (j *Journal) Verify(ctx context.Context) (Report, error) {
	var report Report
	if err := j.Store.Check(ctx); errors.Is(err, ErrDamaged) {
		report.Findings = append(report.Findings, finding(err))
	} else if err != nil {
		return report, err
	}
	err := j.Store.Read(ctx, j.Unit, func(v View) error {
		lost, mark, err := behind(v)
		if err != nil {
			return err
		}
		if lost != nil {
			report.Findings = append(report.Findings, Finding{0, lost.Error()})
		}
		report.Unmarked = mark.State == Unmarked
		p := &pass{journal: j, view: v, report: &report, memory: newMemory(), policies: map[string]policyRead{}}
		return p.run()
	})
	if errors.Is(err, ErrDamaged) { // as far as it could be read
		report.Findings = append(report.Findings, finding(err))
		return report, nil
	}
	return report, err
}

func (report *Report) policyTexts(v View) error {
	hashes, err := v.Policies()
	if err != nil {
		return err
	}
	for _, hash := range hashes {
		text, _, err := v.Policy(hash)
		if err != nil {
			return err
		}
		if digest([]byte(text)) != hash {
			report.Findings = append(report.Findings, Finding{0, "the policy kept under " + hash + " is not the one that was in force"})
		}
	}
	return nil
}

// policyOf is the policy a handover was signed under, or why it cannot be had.
func policyOf(v View, hash string) (policy *handover.Policy, why string, err error) {
	text, found, err := v.Policy(hash)
	switch {
	case err != nil:
		return nil, "", err
	case !found:
		return nil, "the policy it was signed under is gone", nil
	case digest([]byte(text)) != hash:
		return nil, "the policy kept is not the one it was signed under", nil
	}
	value, issues := entry.ParseJSON([]byte(text))
	if len(issues) == 0 {
		policy, issues = handover.DecodePolicy(value, time.LoadLocation)
	}
	if len(issues) > 0 {
		return nil, "this version of the program cannot read its policy: " + issues[0].String(), nil
	}
	return policy, "", nil
}
