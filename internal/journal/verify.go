package journal

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
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
	Remarks []string
}

// Verify makes every hash anew, holds every row to chain, place and canonical
// form, and compiles every signed handover again from the rows up to its
// position. It judges no entry again: what was taken stands.
func (j *Journal) Verify(ctx context.Context) (Report, error) {
	var report Report
	if err := j.Store.Check(ctx); errors.Is(err, ErrDamaged) {
		report.Findings = append(report.Findings, Finding{0, err.Error()})
	} else if err != nil {
		return report, err
	}
	err := j.Store.Read(ctx, j.Unit, func(v View) error {
		r, err := read(v)
		if err != nil {
			return err
		}
		report.Entries, report.Head = len(r.Entries), r.Head
		report.Findings = append(report.Findings, r.Findings...)
		if err := report.policies(v); err != nil {
			return err
		}
		return j.verifySigned(v, &r, &report)
	})
	if errors.Is(err, ErrDamaged) { // as far as it could be read
		report.Findings = append(report.Findings, Finding{0, err.Error()})
		return report, nil
	}
	return report, err
}

func (report *Report) policies(v View) error {
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

func (j *Journal) verifySigned(v View, r *Reading, report *Report) error {
	ids := slices.SortedFunc(maps.Keys(r.Signed), func(a, b string) int {
		return cmp.Or(cmp.Compare(r.Signed[a], r.Signed[b]), cmp.Compare(a, b))
	})
	chains := map[int64]Hash{}
	if err := v.Rows(func(row Row) error { chains[row.Position] = row.Chain; return nil }); err != nil {
		return err
	}
	for _, id := range ids {
		s, _, err := v.Signed(id)
		if err != nil {
			return err
		}
		policy, why, err := policyOf(v, s)
		if err != nil {
			return err
		}
		chain, there := chains[s.Position]
		switch {
		case r.Positions[s.ID] == 0:
			why = "its entry is not in the record"
		case digest(s.JSON) != s.Digest:
			why = "the bytes that were kept are not those that were signed"
		case !there:
			why = fmt.Sprintf("the record ends at position %d", r.Head.Position)
		case chain != s.Chain:
			why = "the record up to there is not the one it was signed on"
		case why != "":
		default:
			if why = j.again(r, s, policy); why == "" {
				report.Signed++
				continue
			}
			if s.Engine != j.Engine {
				report.Remarks = append(report.Remarks, fmt.Sprintf("handover %s was compiled by version %s of the engine, this is %s: %s", s.ID, s.Engine, j.Engine, why))
				continue
			}
		}
		report.Findings = append(report.Findings, Finding{s.Position, "handover " + s.ID + ", signed here, does not come out the same: " + why})
	}
	for _, e := range r.Entries {
		if _, kept := r.Signed[e.ID]; e.Kind == "handover" && !kept {
			report.Findings = append(report.Findings, Finding{r.Positions[e.ID], "what handover " + e.ID + " was signed on is gone"})
		}
	}
	return nil
}

// policyOf is the policy a handover was signed under, or why it cannot be had.
func policyOf(v View, s Signed) (policy *handover.Policy, why string, err error) {
	text, found, err := v.Policy(s.Policy)
	switch {
	case err != nil:
		return nil, "", err
	case !found:
		return nil, "the policy it was signed under is gone", nil
	case digest([]byte(text)) != s.Policy:
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

// again compiles a signed handover from the rows up to its position and says
// how it differs from the bytes kept, empty when it does not.
func (j *Journal) again(r *Reading, s Signed, policy *handover.Policy) string {
	cut := Reading{Positions: map[string]int64{}, Signed: map[string]int64{}}
	var signing *entry.Entry
	for _, e := range r.Entries {
		if p := r.Positions[e.ID]; p <= s.Position {
			cut.Entries = append(cut.Entries, e)
			cut.Positions[e.ID] = p
		}
		if e.ID == s.ID {
			signing = e
		}
	}
	for id, p := range r.Signed {
		if p <= s.Position {
			cut.Signed[id] = p
		}
	}
	asOf, _ := signing.Moment("asOf")
	text := j.Compile(cut.Ward(policy), asOf.Time, signing.Charted.Time, Head{s.Position, s.Chain})
	if bytes.Equal(text, s.JSON) {
		return ""
	}
	return firstDifference(s.JSON, text)
}
