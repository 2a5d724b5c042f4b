package page

import (
	"slices"
	"strings"

	"cotline/handover"
	"cotline/handover/entry"
)

// shortWarmth is the gas's warmth and water, and what was checked at set-up.
func (v view) shortWarmth(f *handover.Summary) row {
	r := row{Label: "Warmth"}
	if x := f.Humidifier.Value; x != nil {
		state := ""
		if x.State.Value != nil && *x.State.Value != "in-tolerance" {
			state = strings.ToUpper(plain(*x.State.Value))
		}
		if x.State.Value != nil && *x.State.Value == "off" {
			r.add("humidifier OFF")
			state = ""
		}
		v.shortChamber(&r, f, x, state)
	}
	v.shortSetup(&r, f)
	if x := f.Safety; x != nil {
		r.add("safety check "+v.when(x.At), safetySaid(x))
	}
	return r
}

// safetySaid is what was not in order at the cot, or that all was.
func safetySaid(x *handover.SafetyCheck) string {
	var not []string
	for _, i := range x.Items {
		if !i.OK {
			not = append(not, said(plain(i.Item)))
		}
	}
	if len(not) == 0 {
		return "all ok"
	}
	return "NOT OK: " + strings.Join(not, ", ")
}

// shortChamber tells temperature and water together where they were looked at
// together. When the water runs out stands among what is due.
func (v view) shortChamber(r *row, f *handover.Summary, x *handover.Humidifier, state string) {
	water := ""
	if x.Water == "low" || isOld(f, "humidifier.water") {
		water = "water " + waterSaid(x.Water)
	}
	at := ""
	switch {
	case x.ChamberC != nil:
		at = v.aged(f, "humidifier.chamberC", x.ChamberC.At)
		chamber := "chamber " + x.ChamberC.Value.String() + " °C"
		if water != "" && x.WaterSeen.At.Equal(x.ChamberC.At) && isOld(f, "humidifier.water") == isOld(f, "humidifier.chamberC") {
			chamber, water = chamber+" and "+water, ""
		}
		r.add(chamber+" at "+at, state)
	default:
		r.add(state)
	}
	if water != "" {
		r.add(water + " at " + v.aged(f, "humidifier.water", x.WaterSeen.At))
	}
}

// falls says whether a thing stands among what is due or comes next.
func falls(f *handover.Summary, what string) bool {
	return slices.ContainsFunc(f.Due, func(d handover.Due) bool { return d.What == what }) ||
		slices.ContainsFunc(f.Next, func(n handover.Next) bool { return n.What == what })
}

func (v view) shortSetup(r *row, f *handover.Summary) {
	x := f.Setup.Value
	if x == nil {
		return
	}
	if c := x.Calibrated.Value; c != nil && *c {
		at := ""
		if n := len(x.Points); n > 0 {
			at = " " + v.civil(entry.DateOf(x.Points[n-1].At, v.zone))
		}
		r.add("sensor passed" + at)
	}
	if d := x.CircuitDueOn.Value; d != nil && !falls(f, "circuit") {
		r.add("circuit due " + v.plainDay(*d))
	}
	if p := x.ProbeCaution.Value; p != nil && *p {
		r.add("PROBE NOT SHIELDED from heat")
	}
}
