package handover

import (
	"slices"
	"time"

	"cotline/handover/entry"
)

// interval is how often a thing is to be done: the latest plan for it rules
// until it ends, else the policy's.
func (r *reading) interval(what, care string, policy entry.Every) (every entry.Every, planned bool) {
	if e := r.planOf(what, care); e != nil {
		every, _ = entry.ParseEvery(e.Text("every"))
		return every, true
	}
	return policy, false
}

// planOf is the plan in force for a thing, nil when policy rules.
func (r *reading) planOf(what, care string) *entry.Standing {
	e := latest(r.planned, func(e *entry.Standing) bool { return e.Text("what") == what && e.Text("care") == care })
	if e == nil || e.Text("every") == "policy" {
		return nil
	}
	if until, ok := e.Moment("until"); ok && r.at.After(until.Time) {
		return nil
	}
	return e
}

// deferralOf is the deferral in force for a thing, nil when none is. Done is the entry
// that did the thing last, nil if it was never done: it ends a deferral of before. Head
// and bonnet are one item under two names.
func (r *reading) deferralOf(what, which string, done *entry.Standing) *entry.Standing {
	names := []string{what}
	if what == "head" || what == "bonnet" {
		names = []string{"head", "bonnet"}
	}
	e := latest(r.deferred, func(e *entry.Standing) bool {
		return slices.Contains(names, e.Text("what")) && (which == "" || e.Text("care") == which || e.Reference("task") == which)
	})
	if e == nil || done != nil && entry.InOrder(done, e) > 0 {
		return nil
	}
	if until, _ := e.Moment("until"); !r.at.Before(until.Time) {
		return nil
	}
	return e
}

// deferralReason is why a deferred thing waits.
func (r *reading) deferralReason(d Due) string {
	e := r.deferralOf(d.What, d.Care+d.Task, nil)
	if e == nil {
		return ""
	}
	return e.Text("reason")
}

// state is the state of a thing, by when it is due and overdue, and until when it is
// deferred.
func (r *reading) state(what, which string, due time.Time, overdue *time.Time, done *entry.Standing) (string, time.Time) {
	if r.at.Before(due) {
		return "not-due", time.Time{}
	}
	if e := r.deferralOf(what, which, done); e != nil {
		until, _ := e.Moment("until")
		return "deferred", until.Time
	}
	if overdue != nil && !r.at.Before(*overdue) {
		return "overdue", time.Time{}
	}
	return "due", time.Time{}
}

// dayState is the state of a thing that is due on a civil day, and overdue after it.
func (r *reading) dayState(what string, on entry.Date, done *entry.Standing) (string, time.Time) {
	start := on.Start(r.p.Zone)
	over := on.Add(1).Start(r.p.Zone)
	return r.state(what, "", start, &over, done)
}
