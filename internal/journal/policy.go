package journal

import (
	"errors"
	"fmt"
	"time"

	"cotline/handover"
)

// Policies are those of a journal.
type Policies struct {
	InForce []InForce        // one after the other
	Now     *handover.Policy // the one in force, nil where it cannot be had
	Err     error            // why not: *NoPolicy, or ErrDamaged
	// Each is all of them by hash, nil where one cannot be read, and Findings what is wrong
	// with them; only History fills both.
	Each     map[string]*handover.Policy
	Findings []Finding
}

// policiesOf are the policies of a view, held to its top; nil: there is none to hold
// them to.
func policiesOf(v View, t *top) (p Policies, found []Finding, err error) {
	all, err := v.InForce()
	if err != nil && !errors.Is(err, ErrDamaged) {
		return p, nil, err
	}
	if err != nil || t != nil && !t.holds(all) {
		f := Finding{0, "which policies were in force is not what was kept"}
		p.Err = fmt.Errorf("%w: %s", ErrDamaged, f)
		return p, []Finding{f}, nil
	}
	if len(all) == 0 {
		p, err = olderPolicies(v)
		return p, nil, err
	}
	p.InForce = all
	last := all[len(all)-1]
	if last.Policy == lostPolicy {
		p.Err = &NoPolicy{"the one that was got lost before this record was restored"}
		return p, nil, nil
	}
	policy, lacks, err := policyOf(v, last.Policy)
	if err != nil {
		return p, nil, err
	}
	p.Now = policy
	switch what := "the policy in force " + lacks.why; {
	case lacks.damaged:
		found = []Finding{{0, what}}
		p.Err = fmt.Errorf("%w: %s", ErrDamaged, what)
	case policy == nil:
		p.Err = &NoPolicy{what}
	}
	return p, found, nil
}

// olderPolicies are those of a journal that was made before it was kept which one is in
// force. It kept every policy under which something was taken, so that the only one is
// it; of several nobody can tell.
func olderPolicies(v View) (p Policies, err error) {
	hashes, err := v.Policies()
	if err != nil {
		return p, err
	}
	means := map[string]bool{}
	hash := ""
	for _, hash = range hashes {
		policy, lacks, err := policyOf(v, hash)
		if err != nil {
			return p, err
		}
		if policy == nil {
			p.Now, p.Err = nil, &NoPolicy{"the one kept under " + hash[:12] + " " + lacks.why}
			return p, nil
		}
		p.Now, means[policy.Hash()] = policy, true // one text may lack keys that came later
	}
	switch len(means) {
	case 0:
		p.Err = &NoPolicy{"the record has none"}
	case 1:
		first, _, err := v.At(1)
		if err != nil {
			return p, err
		}
		p.InForce = []InForce{{1, first.Accepted, hash}}
	default:
		p.Now = nil
		p.Err = &NoPolicy{fmt.Sprintf("the record is of before that was kept, and has %d", len(means))}
	}
	return p, nil
}

// lostPolicy stands, in a record that was restored, for one of which the text is lost.
var lostPolicy = digest(nil)

// lack is why a policy cannot be had.
type lack struct {
	why     string // what is said of it
	damaged bool
}

// policyOf is a policy by its hash, nil with what it lacks.
func policyOf(v View, hash string) (*handover.Policy, lack, error) {
	text, found, err := v.Policy(hash)
	switch {
	case errors.Is(err, ErrDamaged):
		return nil, lack{"cannot be read", true}, nil
	case err != nil:
		return nil, lack{}, err
	case !found:
		return nil, lack{"is gone", true}, nil
	case digest([]byte(text)) != hash:
		return nil, lack{"is not the one that was kept", true}, nil
	}
	policy, issues := handover.KeptPolicy([]byte(text), time.LoadLocation)
	if len(issues) > 0 {
		return nil, lack{"cannot be read by this version of the program: " + issues[0].String(), false}, nil
	}
	return policy, lack{}, nil
}
