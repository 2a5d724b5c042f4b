package handover

import (
	"slices"
	"time"

	"github.com/cockroachdb/apd/v3"

	"cotline/handover/entry"
)

// fio2Fact is the set oxygen of the window as a step function within spells, and
// beside it the mean of the window before, which is as long.
func (r *reading) fio2Fact() Maybe[FiO2Window] {
	if !r.supportedSince(r.since) {
		return Maybe[FiO2Window]{}
	}
	now := r.fio2Between(r.since, r.at)
	if now.lowest == nil {
		return notCharted[FiO2Window]()
	}
	f := FiO2Window{MinPercent: *now.lowest, MaxPercent: *now.highest, MeanPercent: now.mean(), Rises: r.fio2Rises(),
		Throughout: now.total == r.at.Sub(r.since).Nanoseconds()}
	if before := r.fio2Between(r.since.Add(-r.at.Sub(r.since)), r.since); before.total > 0 {
		f.MeanBefore = before.mean()
	}
	return known(f)
}

// fio2Sum is what was set over a time, and for how long.
type fio2Sum struct {
	lowest, highest *entry.Decimal
	weighted        *apd.Decimal // percent × nanoseconds
	total           int64        // nanoseconds
}

// mean is weighted by time; it is left out when there was none.
func (f fio2Sum) mean() Maybe[entry.Decimal] {
	if f.total == 0 {
		return leftOut[entry.Decimal]("no time in the window")
	}
	return known(entry.Rounded(entry.Quo(f.weighted, apd.New(f.total, 0)), 2))
}

// fio2Between sums what was in force at any moment of [since, at] within spells.
func (r *reading) fio2Between(since, at time.Time) fio2Sum {
	f := fio2Sum{weighted: apd.New(0, 0)}
	for _, s := range r.spells {
		entries := r.settingsOf(s, "fio2Percent")
		parts := s.stretches(r.at)
		for i, e := range entries {
			until := time.Time{}
			if i+1 < len(entries) {
				until = entries[i+1].At.Time
			}
			for _, part := range parts {
				inForce, nanoseconds := overlap(part, s, e.At.Time, until, since, at)
				if !inForce {
					continue
				}
				v, _ := e.Number("fio2Percent")
				if f.lowest == nil || v.Cmp(*f.lowest) < 0 {
					f.lowest = &v
				}
				if f.highest == nil || v.Cmp(*f.highest) > 0 {
					f.highest = &v
				}
				f.total += nanoseconds
				f.weighted = entry.Add(f.weighted, entry.Mul(v.Exact(), apd.New(nanoseconds, 0)))
			}
		}
	}
	return f
}

// fio2Rises counts the window's entries that set it higher than the one before
// in the spell.
func (r *reading) fio2Rises() int {
	rises := 0
	for _, s := range r.spells {
		entries := r.settingsOf(s, "fio2Percent")
		for i, e := range entries {
			if i == 0 || !r.inWindow(e.At.Time) || e.At.Before(s.start) {
				continue
			}
			v, _ := e.Number("fio2Percent")
			if was, _ := entries[i-1].Number("fio2Percent"); v.Cmp(was) > 0 {
				rises++
			}
		}
	}
	return rises
}

// overlap says whether a value in force over [from, until) (until zero: on) was
// in force at any moment of [since, at] inside a stretch of a spell, and for how
// many nanoseconds.
func overlap(part stretch, s *spell, from, until, since, at time.Time) (bool, int64) {
	start := latestOf(latestOf(part.from, from), since)
	end := at
	closed := true // the moment at itself counts
	if !until.IsZero() && !until.After(end) {
		end, closed = until, false
	}
	// An open stretch ends at `at`, which is in it.
	if open := s.end.IsZero() && part.to.Equal(at); !open && !part.to.After(end) {
		end, closed = part.to, false
	}
	if start.After(end) || start.Equal(end) && !closed {
		return false, 0
	}
	return true, end.Sub(start).Nanoseconds()
}

// supportedSince says whether any moment from then up to at lies within a spell.
func (r *reading) supportedSince(since time.Time) bool {
	for _, s := range r.spells {
		for _, part := range s.stretches(r.at) {
			last := part.to // not in, but for an open spell
			if s.end.IsZero() && part.to.Equal(r.at) {
				last = r.at.Add(1)
			}
			if last.After(since) && part.from.Before(last) && !part.from.After(r.at) {
				return true
			}
		}
	}
	return false
}

// spo2Fact counts the window's readings within spells against the target then
// in force.
func (r *reading) spo2Fact() Maybe[SpO2Window] {
	if !r.supportedSince(r.since) {
		return Maybe[SpO2Window]{}
	}
	var f SpO2Window
	for _, x := range r.saturations() {
		if !x.Within {
			continue
		}
		f.Count++
		switch x.Against {
		case "no-target":
			f.NoTarget++
		case "below":
			f.Below++
		case "above":
			f.Above++
		default:
			f.InTarget++
		}
	}
	return known(f)
}

// indicesFact is from the latest SpO2 of the current spell and the values set then.
func (r *reading) indicesFact() Maybe[Indices] {
	if r.spell == nil {
		return Maybe[Indices]{}
	}
	pressured := r.in(pressureModes)
	wanted := slices.DeleteFunc(slices.Clone(r.p.Indices), func(i string) bool { return i != "sf" && !pressured })
	if len(wanted) == 0 {
		return Maybe[Indices]{}
	}
	e := r.latestSpO2()
	if e == nil || r.stale(e.At.Time) {
		return notCharted[Indices]()
	}
	return known(r.indicesOf(e, wanted))
}

// latestSpO2 is the latest reading of SpO2 in the current spell, nil for none.
func (r *reading) latestSpO2() *entry.Standing {
	return latest(since(r.own["observations"], r.spell.start), func(e *entry.Standing) bool {
		v, ok := e.Number("spo2Percent")
		return ok && !v.IsZero()
	})
}

// indicesOf computes at one reading of SpO2: S/F is SpO2 % ÷ FiO2 fraction;
// severity is set pressure × FiO2 fraction; OSI is severity × 100 ÷ SpO2 %.
func (r *reading) indicesOf(e *entry.Standing, wanted []string) Indices {
	spo2, _ := e.Number("spo2Percent")
	fio2 := numberAt(r.setAt(r.spell, "fio2Percent", e.At.Time), "fio2Percent")
	pressure := numberAt(r.setAt(r.spell, "pressureCmH2O", e.At.Time), "pressureCmH2O")
	hundred := apd.New(100, 0)
	f := Indices{SpO2: spo2, Source: r.source(e)}
	for _, index := range wanted {
		switch index {
		case "sf":
			if f.SF = notCharted[entry.Decimal](); fio2 != nil {
				f.SF = known(entry.Rounded(entry.Quo(entry.Mul(spo2.Exact(), hundred), fio2.Exact()), 2))
			}
		case "severity":
			if f.Severity = notCharted[entry.Decimal](); fio2 != nil && pressure != nil {
				f.Severity = known(entry.Rounded(entry.Quo(entry.Mul(pressure.Exact(), fio2.Exact()), hundred), 2))
			}
		case "osi":
			if f.OSI = notCharted[entry.Decimal](); fio2 != nil && pressure != nil {
				f.OSI = known(entry.Rounded(entry.Quo(entry.Mul(pressure.Exact(), fio2.Exact()), spo2.Exact()), 2))
			}
		}
	}
	return f
}
