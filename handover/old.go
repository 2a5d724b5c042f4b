package handover

import (
	"slices"
	"time"

	"cotline/handover/entry"
)

// outlookHolds is how long an outlook is taken for today's.
const outlookHolds = 24 * time.Hour

// old are the facts shown that are older than their own interval. What has no interval is
// never old.
func (r *reading) old(s *Summary) []Old {
	out := []Old{}
	add := func(path string, at time.Time) { out = append(out, Old{path, at}) }
	if every, _ := r.interval("observations", "", r.p.Observations); !every.None() {
		for _, x := range s.Observations {
			if slices.Contains(watched, x.Field) && r.stale(x.At) {
				add("observations."+x.Field, x.At)
			}
		}
	}
	r.oldHumidifier(s, add)
	for _, x := range r.skinDue() {
		if !x.checked.IsZero() && !r.at.Before(x.due) {
			add("skin.sites."+x.site, x.checked)
		}
	}
	if t := r.tube("feeding"); t.in {
		if every, _ := r.interval("tube", "", r.p.Tube); !every.None() && !r.at.Before(t.last.At.Add(every.Duration)) {
			add("tubes.feeding", t.last.At.Time)
		}
	}
	if o := s.Outlook.Value; o != nil {
		turn := latest(r.turns(), always)
		if r.at.Sub(o.At) > outlookHolds || turn != nil && o.At.Before(turn.At.Time) {
			add("outlook", o.At)
		}
	}
	return out
}

// watched are the observations that fall due together.
var watched = []string{"spo2Percent", "heartRateBpm", "respRateBpm"}

func (r *reading) oldHumidifier(s *Summary, add func(string, time.Time)) {
	f := s.Humidifier.Value
	every, _ := r.interval("humidifier", "", r.p.Humidifier)
	if f == nil || every.None() {
		return
	}
	if f.ChamberC != nil && r.at.Sub(f.ChamberC.At) > every.Duration {
		add("humidifier.chamberC", f.ChamberC.At)
	}
	if f.Water != "" && r.at.Sub(f.WaterSeen.At) > every.Duration {
		add("humidifier.water", f.WaterSeen.At)
	}
}

// turns are the stay's entries that started or stopped support, breaks too, or
// changed its mode; a change of driver is none.
func (r *reading) turns() []*entry.Standing {
	var out []*entry.Standing
	on, mode := false, ""
	for _, e := range r.own["support"] {
		switch {
		case e.Text("state") == "stopped":
			if on {
				out = append(out, e)
			}
			on = false
		case e.Text("state") == "started" && !on:
			out = append(out, e)
			on, mode = true, e.Text("mode")
		case on && e.Has("mode") && e.Text("mode") != mode:
			out = append(out, e)
			mode = e.Text("mode")
		}
	}
	return out
}
