package handover

import (
	"math"
	"slices"
	"time"

	"github.com/cockroachdb/apd/v3"

	"cotline/handover/entry"
)

// doubts are readings that were taken and are asked about. Of each thing the
// latest is judged, against the one before it that was in no doubt itself; a later
// one ends the doubt.
func (r *reading) doubts(u *unitReading) []Doubt {
	out := r.headDoubts()
	out = append(out, r.weightDoubts()...)
	out = append(out, r.bonnetDoubts()...)
	out = append(out, r.offSupportDoubts()...)
	out = append(out, r.chamberDoubts()...)
	out = append(out, r.twiceDoubts()...)
	return append(out, r.staffDoubts(u)...)
}

// headDoubts: too far off the head before for the time between, or too far out on
// the standard.
func (r *reading) headDoubts() []Doubt {
	var out []Doubt
	var before *entry.Standing
	for _, e := range r.heads() {
		out = nil
		cm, _ := e.Number("circumferenceCm")
		if before != nil {
			was, _ := before.Number("circumferenceCm")
			weeks := entry.Quo(apd.New(e.At.Sub(before.At.Time).Nanoseconds(), 0), apd.New((7*24*time.Hour).Nanoseconds(), 0))
			most := entry.Add(r.p.Doubt.HeadCm.Exact(), entry.Mul(r.p.Doubt.HeadCmPerWeek.Exact(), weeks))
			if cm.Sub(was).Abs().Exact().Cmp(most) > 0 {
				out = append(out, Doubt{"head-jump", "head", "head " + was.String() + " → " + cm.String() + " cm since " +
					r.clock(before.At.Time), e.ID})
			}
		}
		z := r.score(r.day(e.At.Time), cm.Float(), e.Has("unreliable"), headCurve, birthHeadCurve).Z
		if z != nil && math.Abs(z.Float()) >= r.p.Doubt.HeadZ.Float() {
			out = append(out, Doubt{"head-z", "head", "head " + cm.String() + " cm, z " + z.String(), e.ID})
		}
		if len(out) == 0 {
			before = e
		}
	}
	return out
}

// weightDoubts: too far off the weight before, where that is not long ago. The
// birth weight counts.
func (r *reading) weightDoubts() []Doubt {
	type weighed struct {
		g  entry.Decimal
		at time.Time
	}
	var out []Doubt
	var before *weighed
	if e := r.identified("birthWeightG"); e != nil {
		g, _ := e.Number("birthWeightG")
		before = &weighed{g, r.bornMoment()}
	}
	for _, e := range r.kinds["weight"] {
		out = nil
		g, _ := e.Number("weightG")
		if before != nil && e.At.Sub(before.at) <= r.p.Doubt.WeightWithin {
			off := entry.Mul(g.Sub(before.g).Abs().Exact(), apd.New(100, 0))
			if off.Cmp(entry.Mul(r.p.Doubt.WeightPercent.Exact(), before.g.Exact())) > 0 {
				out = []Doubt{{"weight-jump", "weight", "weight " + before.g.String() + " → " + g.String() + " g since " +
					r.clock(before.at), e.ID}}
			}
		}
		if len(out) == 0 {
			before = &weighed{g, e.At.Time}
		}
	}
	return out
}

// bonnetDoubts: a bonnet put on whose range lies well off the head.
func (r *reading) bonnetDoubts() []Doubt {
	e := latest(r.own["bonnet"], being("action", "fitted", "found", "removed", "none"))
	if e == nil {
		return nil
	}
	size, ranged := r.p.Bonnet(e.Text("size"))
	head := latest(r.heads(), func(h *entry.Standing) bool { return !h.At.After(e.At.Time) })
	if !ranged || head == nil {
		return nil
	}
	cm, _ := head.Number("circumferenceCm")
	if size.FromCm.Sub(cm).Cmp(r.p.Doubt.BonnetCm) <= 0 && cm.Sub(size.ToCm).Cmp(r.p.Doubt.BonnetCm) <= 0 {
		return nil
	}
	return []Doubt{{"bonnet-range", "bonnet", "bonnet " + size.Name + ", " + size.FromCm.String() + " to " + size.ToCm.String() +
		" cm, on a head of " + cm.String() + " cm", e.ID}}
}

// offSupportDoubts: pressure or oxygen read long after support stopped.
func (r *reading) offSupportDoubts() []Doubt {
	var out []Doubt
	for _, x := range []struct{ field, said string }{{"pressureCmH2O", "pressure"}, {"fio2Percent", "oxygen"}} {
		e := r.observed(x.field)
		if e == nil || r.spellAt(e.At.Time) != nil || slices.ContainsFunc(out, func(d Doubt) bool { return d.Entry == e.ID }) {
			continue
		}
		if stopped, ok := r.stoppedBefore(e.At.Time); ok && e.At.Sub(stopped) > r.p.Doubt.OffSupport {
			out = append(out, Doubt{"read-off-support", "observations." + x.field, x.said + " read at " + r.clock(e.At.Time) +
				", support stopped at " + r.clock(stopped), e.ID})
		}
	}
	return out
}

// stoppedBefore is the latest stop of support, a break's too, by a moment.
func (r *reading) stoppedBefore(t time.Time) (stopped time.Time, ok bool) {
	for _, s := range r.spells {
		ends := []time.Time{s.end}
		for _, b := range s.breaks {
			ends = append(ends, b.from)
		}
		for _, end := range ends {
			if !end.IsZero() && !end.After(t) && (!ok || end.After(stopped)) {
				stopped, ok = end, true
			}
		}
	}
	return stopped, ok
}

// chamberDoubts: a chamber temperature while the humidifier is off.
func (r *reading) chamberDoubts() []Doubt {
	var out []Doubt
	off := false
	for _, e := range r.own["humidifier"] {
		if e.Has("state") {
			off = e.Text("state") == "off"
		}
		if !e.Has("chamberC") {
			continue
		}
		if out = nil; off {
			out = []Doubt{{"chamber-off", "humidifier.chamberC", "chamber " + e.Text("chamberC") + " °C, and the humidifier is off", e.ID}}
		}
	}
	return out
}

// twiceDoubts: the same observations again at once.
func (r *reading) twiceDoubts() []Doubt {
	var out []Doubt
	var before *entry.Standing
	for _, e := range r.own["observations"] {
		out = nil
		if before != nil && e.At.Sub(before.At.Time) <= r.p.Doubt.Twice && sameFields(e.Fields, before.Fields) {
			out = []Doubt{{"twice", "observations", "the same observations twice, " + r.clock(before.At.Time) + " and " +
				r.clock(e.At.Time), e.ID}}
			continue
		}
		before = e
	}
	return out
}

// sameFields says whether two lists of fields say the same: numbers by their value.
func sameFields(a, b []entry.Field) bool {
	return slices.EqualFunc(a, b, func(x, y entry.Field) bool {
		if n, ok := entry.NumberOf(x.Value); ok {
			m, also := entry.NumberOf(y.Value)
			return x.Name == y.Name && also && n.Cmp(m) == 0
		}
		return x.Name == y.Name && x.Value.Type == y.Value.Type && x.Value.Text == y.Value.Text && x.Value.Bool == y.Value.Bool &&
			sameFields(x.Value.Fields, y.Value.Fields)
	})
}

// staffDoubts: keys of the window that the unit's list lacks.
func (r *reading) staffDoubts(u *unitReading) []Doubt {
	if len(r.p.Staff) == 0 {
		return nil
	}
	own := slices.DeleteFunc(slices.Clone(after(r.all, r.since)), func(e *entry.Standing) bool { return !r.stay.Holds(e) })
	for _, e := range after(u.all, r.since) {
		if (e.Kind == "handover" || e.Kind == "acceptance") && e.Names("infants", r.record.Infant) {
			own = append(own, e)
		}
	}
	slices.SortStableFunc(own, entry.InOrder)
	var out []Doubt
	for _, e := range slices.Backward(own) {
		if !r.inWindow(e.At.Time) {
			continue
		}
		keys := []string{e.By}
		if e.Correction != nil {
			keys = append(keys, e.Correction.By)
		}
		if e.Kind == "handover" {
			keys = append(keys, e.Text("to"))
		}
		for _, key := range keys {
			text := "not in the unit's list of staff: " + key
			listed := slices.ContainsFunc(r.p.Staff, func(s Staff) bool { return s.Key == key })
			if !listed && !slices.ContainsFunc(out, func(d Doubt) bool { return d.Text == text }) {
				out = append(out, Doubt{"staff", "staff", text, e.ID})
			}
		}
	}
	slices.Reverse(out)
	return out
}
