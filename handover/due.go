package handover

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"cotline/handover/entry"
)

// dueFact is everything due, overdue or deferred of what ever falls due.
func dueFact(all []Due) []Due {
	return slices.DeleteFunc(slices.Clone(all), func(d Due) bool {
		return d.State != "due" && d.State != "overdue" && d.State != "deferred"
	})
}

// dues is everything that ever falls due, with its state: overdue first, then due,
// then deferred, then what is not due, each by moment.
func (r *reading) dues(s *Summary) []Due {
	var out []Due
	add := func(d Due, state string, until time.Time) {
		d.State, d.Until = state, until
		if state == "deferred" {
			d.Why = r.deferralReason(d)
		}
		out = append(out, d)
	}
	if f := s.Rotation.Value; f != nil && f.DueAt.Value != nil {
		every, planned := r.interval("rotation", "", r.p.RotationDue)
		add(Due{What: "rotation", At: *f.DueAt.Value, OverdueAt: moment(f.OverdueAt.Value),
			Every: every.String(), Planned: planned, Why: s.Interface.orZero().Type + " on"}, f.State, f.Until)
	}
	if f := s.Skin; f.DueAt.Value != nil {
		add(Due{What: "skin", At: *f.DueAt.Value, OverdueAt: moment(f.Overdue.Value), Why: strings.Join(f.DueSites, ", ")},
			f.State, f.Until)
	}
	if f := s.Bonnet.Value; f != nil {
		if !f.DueOn.IsZero() {
			add(Due{What: "bonnet", On: f.DueOn, OverdueAt: f.DueOn.Add(1).Start(r.p.Zone), Why: f.Reason}, f.State, f.Until)
		}
	} else {
		r.headDue(add)
	}
	r.counted(add)
	if f := s.Setup.Value; f != nil && f.CircuitDueOn.Value != nil {
		on := *f.CircuitDueOn.Value
		state, until := r.dayState("circuit", on, latest(r.own["circuit"], being("action", "fitted", "soiled", "faulty")))
		add(Due{What: "circuit", On: on, OverdueAt: on.Add(1).Start(r.p.Zone), Why: r.circuitWhy()}, state, until)
	}
	if f := s.Humidifier.Value; f != nil && f.State.orZero() != "off" {
		r.waterDue(s.Humidifier.Value, add)
	}
	for _, t := range s.Tasks {
		if !t.DueAt.IsZero() {
			over := t.DueAt.Add(time.Hour)
			state, until := r.state("task", t.ID, t.DueAt, &over, nil)
			add(Due{What: "task", Task: t.ID, Text: t.Text, At: t.DueAt, OverdueAt: over}, state, until)
		}
	}
	rank := []string{"overdue", "due", "deferred"}
	slices.SortStableFunc(out, func(a, b Due) int {
		if c := cmp.Compare(rankIn(rank, a.State), rankIn(rank, b.State)); c != 0 {
			return c
		}
		return r.moment(a).Compare(r.moment(b))
	})
	return out
}

// rankIn is where a word stands among some; one that does not comes after them.
func rankIn(words []string, w string) int {
	if i := slices.Index(words, w); i >= 0 {
		return i
	}
	return len(words)
}

func moment(t *time.Time) time.Time {
	if t == nil {
		return time.Time{}
	}
	return *t
}

func (r *reading) moment(d Due) time.Time {
	if !d.On.IsZero() {
		return d.On.Start(r.p.Zone)
	}
	return d.At
}

// headDue is the weekly head where no bonnet applies.
func (r *reading) headDue(add func(Due, string, time.Time)) {
	heads := r.heads()
	on, _ := r.weeklyHead(heads)
	why := "weekly"
	if every, _ := r.interval("head", "", r.p.Head); len(heads) == 0 && !every.None() {
		on, why = r.day(r.stay.Admission.At.Time), "never measured"
	}
	if on.IsZero() {
		return
	}
	state, until := r.dayState("head", on, r.headOrBonnetDone())
	add(Due{What: "head", On: on, OverdueAt: on.Add(1).Start(r.p.Zone), Why: why}, state, until)
}

// counted are the things counted from when they were last done: due after their
// interval, overdue after twice that.
func (r *reading) counted(add func(Due, string, time.Time)) {
	item := func(what, care string, from time.Time, done *entry.Standing, policy entry.Every, why string) {
		every, planned := r.interval(what, care, policy)
		if every.None() {
			return
		}
		due, over := from.Add(every.Duration), from.Add(2*every.Duration)
		state, until := r.state(what, care, due, &over, done)
		add(Due{What: what, Care: care, At: due, OverdueAt: over, Every: every.String(), Planned: planned, Why: why}, state, until)
	}
	if r.spell != nil {
		done := latest(r.own["observations"], r.does("observations"))
		from := latestOf(atOr(done, r.spell.start), r.spell.start)
		item("observations", "", from, done, r.p.Observations, "")
	}
	if t := r.tube("feeding"); t.in {
		item("tube", "", t.last.At.Time, t.last, r.p.Tube, "feeding")
	}
	if r.in(heatedModes) {
		checked := latest(r.own["calibration"], always)
		item("oxygen-sensor", "", atOr(checked, r.spell.start), checked, r.p.OxygenSensor, "")
	}
	r.countedSafety(item)
	for _, care := range r.p.AllCares() {
		done := latest(r.own["care"], being("what", care))
		from := r.stay.Admission.At.Time
		if r.spell != nil {
			from = r.spell.start
		}
		item("care", care, atOr(done, from), done, r.p.Care[care], "")
	}
}

// countedSafety are what a nurse looks at at the cot: chamber and water, and the
// unit's whole list.
func (r *reading) countedSafety(item func(what, care string, from time.Time, done *entry.Standing, policy entry.Every, why string)) {
	if _, _, off := r.heated(r.own["humidifier"]); r.in(heatedModes) && !off {
		done := latest(r.own["humidifier"], r.does("humidifier"))
		item("humidifier", "", latestOf(atOr(done, r.spell.start), r.spell.start), done, r.p.Humidifier, "")
	}
	if r.spell != nil && len(r.p.Checks) > 0 {
		done := latest(r.own["safety"], r.does("safety"))
		item("safety", "", atOr(done, r.spell.start), done, r.p.Safety, "")
	}
}

func (r *reading) circuitWhy() string {
	if e := r.circuitFault(latest(r.own["circuit"], being("action", "fitted"))); e != nil {
		return "found " + e.Text("action")
	}
	return "interval"
}

// waterDue is an hour before the bag runs out, or when it was found low.
func (r *reading) waterDue(f *Humidifier, add func(Due, string, time.Time)) {
	due := Due{What: "water"}
	done := latest(r.own["humidifier"], being("water", "changed", "low"))
	switch low := r.foundLow(); {
	case low != nil:
		due.At, due.OverdueAt, due.Why = low.At.Time, low.At.Add(time.Hour), "found low"
	case f.WaterEmptyAt.Value != nil:
		end := *f.WaterEmptyAt.Value
		due.At, due.OverdueAt, due.Why = end.Add(-time.Hour), end, "runs out: check by eye"
	default:
		return
	}
	state, until := r.state("water", "", due.At, &due.OverdueAt, done)
	add(due, state, until)
}
