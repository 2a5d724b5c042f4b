package page

import (
	"slices"
	"strings"

	"cotline/handover"
)

func (v view) humidifier(f *handover.Summary) row {
	r := row{Label: "Humidifier"}
	x := f.Humidifier.Value
	if x == nil {
		if f.Humidifier.Applies {
			r.apart("NOT CHARTED")
		}
		return r
	}
	switch {
	case x.State.Value != nil && *x.State.Value == "out-of-tolerance":
		r.apart("OUT OF TOLERANCE")
	case x.State.Value != nil && isOld(f, "humidifier.chamberC"):
		r.add(plain(*x.State.Value) + " when read")
	case x.State.Value != nil:
		r.add(plain(*x.State.Value))
	case x.State.Applies:
		r.apart("chamber temperature NOT CHARTED")
	}
	if x.ChamberC != nil {
		r.add("chamber "+x.ChamberC.Value.String()+" °C", v.seenOf(f, "humidifier.chamberC", x.ChamberC.Source))
	}
	switch {
	case x.ReadyBeforeUse.Value != nil && *x.ReadyBeforeUse.Value:
		r.add("ready before use")
	case x.ReadyBeforeUse.Value != nil:
		r.add("NOT READY before use")
	case x.ReadyBeforeUse.Applies:
		r.add("ready before use: NOT CHARTED")
	}
	r.put(x.Water == "low", prefixed("water ", waterSaid(x.Water)), v.waterSeen(f, x))
	if slices.Contains(f.Gaps, "humidifier.water") {
		r.apart("water NOT CHARTED")
	}
	switch {
	case x.WaterEmptyAt.Value != nil:
		runs := "water runs out about "
		if !x.WaterEmptyAt.Value.After(v.at) {
			runs = "water was to run out about "
		}
		r.add(runs + v.told(*x.WaterEmptyAt.Value) + " (estimate: check by eye)")
	case x.WaterEmptyAt.Applies:
		r.add("when the water runs out: NOT CHARTED")
	}
	return r
}

// waterSeen is when the water was looked at, where that is old.
func (v view) waterSeen(f *handover.Summary, x *handover.Humidifier) string {
	if !isOld(f, "humidifier.water") {
		return ""
	}
	return v.seenOf(f, "humidifier.water", x.WaterSeen)
}

func waterSaid(word string) string {
	if word == "low" {
		return "LOW"
	}
	return word
}

func (v view) setup(f *handover.Summary) row {
	r := row{Label: "Set-up"}
	x := f.Setup.Value
	if x == nil {
		if f.Setup.Applies {
			r.apart("NOT CHARTED")
		}
		return r
	}
	v.sensorSaid(&r, x)
	switch {
	case x.SealHeld.Value != nil && *x.SealHeld.Value:
		r.add("seal held")
	case x.SealHeld.Value != nil:
		r.apart("seal DID NOT HOLD")
	case x.SealHeld.Applies:
		r.add("seal check NOT CHARTED")
	}
	if n := x.NotCharted.Value; n != nil && x.Ticked && len(*n) > 0 {
		r.add("steps not ticked: " + said(plains(*n)))
	}
	if len(x.NotDone) > 0 {
		r.add("steps NOT DONE: " + said(plains(x.NotDone)))
	}
	switch {
	case x.CircuitDueOn.Value != nil:
		r.add("circuit due " + v.day(*x.CircuitDueOn.Value))
	case x.CircuitDueOn.Applies:
		r.add("circuit fitted: NOT CHARTED")
	}
	switch p := x.ProbeCaution.Value; {
	case p != nil && *p:
		r.apart("CAUTION: temperature probe near a source of heat or light, neither outside nor shielded")
	case p != nil:
		r.add("temperature probe outside or shielded")
	}
	return r
}

// sensorSaid adds what the check of the oxygen sensor came to, and its readings.
func (v view) sensorSaid(r *row, x *handover.Setup) {
	var points []string
	for i, p := range x.Points {
		bad := ""
		if !p.OK {
			bad = " OUT OF TOLERANCE"
		}
		if p.HumidPercent != nil {
			bad += " (in humidified gas a sound sensor reads about " + p.HumidPercent.String() + " %: check on dry gas)"
		}
		at := ""
		if i+1 == len(x.Points) || !x.Points[i+1].At.Equal(p.At) {
			at = prefixed(" ", v.moment(p.At))
		}
		points = append(points, p.GasPercent.String()+" % read "+p.ReadPercent.String()+" %"+bad+at)
	}
	read := prefixed(": ", strings.Join(points, ", "))
	switch {
	case x.Calibrated.Value != nil && *x.Calibrated.Value:
		r.add("oxygen sensor passed" + read)
	case x.Calibrated.Value != nil:
		r.apart("oxygen sensor FAILED" + read)
	case x.Calibrated.Applies:
		r.add("oxygen sensor check NOT CHARTED" + read)
	}
}
