package journal

import (
	"context"
	"errors"
	"slices"
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
	checked := make(chan error, 1)
	go func() { checked <- j.Store.Check(ctx) }() // beside the pass: each needs one core of two
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
	if wrong := <-checked; errors.Is(wrong, ErrDamaged) {
		report.Findings = slices.Insert(report.Findings, 0, finding(wrong))
	} else if wrong != nil {
		return report, wrong
	}
	if errors.Is(err, ErrDamaged) { // as far as it could be read
		report.Findings = append(report.Findings, finding(err))
		return report, nil
	}
	return report, err
}

// policyTexts holds every policy that is kept to its hash, and those that were in force
// to what was kept of them.
func (report *Report) policyTexts(v View, t *top) error {
	had, found, err := policiesOf(v, t)
	if err != nil {
		return err
	}
	if len(had.InForce) == 0 {
		report.Findings = append(report.Findings, found...)
	}
	for _, f := range had.InForce {
		if _, kept, err := v.Policy(f.Policy); err != nil || !kept {
			report.Findings = append(report.Findings, Finding{f.From, "the policy in force from here on is gone"})
		}
	}
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
