package handover

import (
	"strings"
	"time"

	"cotline/handover/entry"
)

// wellBelow is how far below the lower bound one reading is enough.
var wellBelow = entry.Int(5)

// spo2 judges the latest two readings that are not too old, each by the target in
// force at its moment. They are readings of the spell or, in the day after a stop, of
// the stay. One of a break, or of after a stop, is never above.
func (l *look) spo2() []Attention {
	var last []judged
	for _, e := range since(l.own["observations"], l.at.Add(-l.freshFor())) {
		v, ok := e.Number("spo2Percent")
		if !ok || v.IsZero() || !l.judges(e.At.Time) {
			continue
		}
		last = append(last, l.judge(e, v))
	}
	if len(last) == 0 {
		return nil
	}
	x := last[len(last)-1]
	var before judged
	if len(last) > 1 {
		before = last[len(last)-2]
	}
	text := func(side string) string {
		s := "SpO2 " + x.value.String()
		if before.side == side {
			s = "SpO2 " + before.value.String() + ", then " + x.value.String()
		}
		return s + ", " + side + " " + x.bounds() + ", " + l.clock(x.entry.At.Time)
	}
	const path = "observations.spo2Percent"
	switch {
	case x.side == "below" && (before.side == "below" || x.low.Sub(x.value).Cmp(wellBelow) >= 0):
		return one(now(text("below"), path).of(l.source(x.entry)))
	case x.side == "below":
		return one(know(text("below"), path).of(l.source(x.entry)))
	case x.side == "above" && before.side == "above":
		return one(know(text("above"), path).of(l.source(x.entry)))
	}
	return nil
}

// judges says whether readings of a moment are judged.
func (l *look) judges(t time.Time) bool {
	if l.spell != nil {
		return !t.Before(l.spell.start)
	}
	spell := l.lastSpell()
	return spell != nil && l.at.Sub(spell.end) <= 24*time.Hour
}

// judged is a reading and on which side of its target it lies: below, above, or
// neither.
type judged struct {
	entry     *entry.Standing
	value     entry.Decimal
	low, high *entry.Decimal
	side      string
}

func (l *look) judge(e *entry.Standing, v entry.Decimal) judged {
	x := judged{entry: e, value: v, low: numberAt(l.targetAt("spo2LowPercent", e.At.Time), "spo2LowPercent")}
	if x.low == nil {
		return x
	}
	if s := l.spellAt(e.At.Time); s != nil {
		if t := l.targetIn(s, e.At.Time); !t.Air {
			x.high = t.High
		}
	}
	switch {
	case v.Cmp(*x.low) < 0:
		x.side = "below"
	case x.high != nil && v.Cmp(*x.high) > 0:
		x.side = "above"
	}
	return x
}

func (x judged) bounds() string {
	if x.high == nil {
		return x.low.String()
	}
	return x.low.String() + " to " + x.high.String()
}

// warmth: the chamber out of tolerance, the bag low or run out.
func (l *look) warmth() []Attention {
	f := l.s.Humidifier.Value
	if f == nil || f.State.orZero() == "off" {
		return nil
	}
	var out []Attention
	every, _ := l.interval("humidifier", "", l.p.Humidifier)
	if f.State.orZero() == "out-of-tolerance" && (every.None() || l.at.Sub(f.ChamberC.At) <= 2*every.Duration) {
		out = append(out, now("CHAMBER "+f.ChamberC.Value.String()+" °C, "+l.clock(f.ChamberC.At), "humidifier.chamberC").
			of(f.ChamberC.Source))
	}
	switch {
	case f.Water == "low":
		out = append(out, now("WATER LOW, "+l.clock(f.WaterSeen.At), "humidifier.water").of(f.WaterSeen))
	case f.WaterEmptyAt.Value != nil && !f.WaterEmptyAt.Value.After(l.at):
		out = append(out, now("WATER RAN OUT about "+l.clock(*f.WaterEmptyAt.Value), "humidifier.waterEmptyAt"))
	}
	return out
}

// sensors: the oxygen sensor, the seal of this circuit, and the safety check.
func (l *look) sensors() []Attention {
	var out []Attention
	if f := l.s.Setup.Value; f != nil {
		if f.Calibrated.Value != nil && !*f.Calibrated.Value {
			out = append(out, l.failed(f))
		}
		if f.SealHeld.Value != nil && !*f.SealHeld.Value && !l.sealedSince(f.Seal) {
			row := know("seal not held, "+l.clock(f.Seal.At), "setup.sealHeld")
			if l.inWindow(f.Seal.At) {
				row = now("SEAL NOT HELD, "+l.clock(f.Seal.At), "setup.sealHeld")
			}
			out = append(out, row.of(f.Seal))
		}
	}
	if f := l.s.Safety; f != nil {
		var not []string
		for _, x := range f.Items {
			if !x.OK {
				not = append(not, x.Item)
			}
		}
		if len(not) > 0 {
			out = append(out, now("SAFETY CHECK not ok: "+plainWords(strings.Join(not, ", "))+", "+l.clock(f.At), "safety").of(f.Source))
		}
	}
	return out
}

// failed is the oxygen sensor by its latest reading that failed.
func (l *look) failed(f *Setup) Attention {
	var worst *SensorPoint
	for i := range f.Points {
		if p := &f.Points[i]; !p.OK && (worst == nil || p.At.After(worst.At)) {
			worst = p
		}
	}
	return now("OXYGEN SENSOR reads "+worst.ReadPercent.String()+" in "+worst.GasPercent.String()+" %, "+l.clock(worst.At),
		"setup.calibrated").of(worst.Source)
}

// sealedSince says whether the interface was seen sealed after a check of the seal.
func (l *look) sealedSince(seal Source) bool {
	checked := find(l.own["seal"], seal.Entry)
	return latest(l.own["interface"], func(e *entry.Standing) bool {
		return e.Text("fit") == "sealed" && entry.InOrder(e, checked) > 0
	}) != nil
}

// bonnet: found tight or slack, or outside its range.
func (l *look) bonnet() []Attention {
	f := l.s.Bonnet.Value
	if f == nil {
		return nil
	}
	var out []Attention
	found := l.readBonnet().found
	for _, finding := range []string{"tight", "slack"} {
		if e := found[finding]; e != nil {
			out = append(out, know("bonnet "+finding+", "+l.clock(e.At.Time), "bonnet"))
		}
	}
	if f.Fits.Value != nil && !*f.Fits.Value {
		out = append(out, know("head outside the range of bonnet "+f.Size.orZero(), "bonnet.fits"))
	}
	return out
}

// rules: the unit's own that are met.
func (l *look) rules() []Attention {
	var out []Attention
	for _, t := range l.s.Thresholds {
		if t.Met == nil || !*t.Met {
			continue
		}
		row := know(oneLine(t.Name)+" ("+oneLine(t.Source)+")", "thresholds")
		if t.First {
			row.Level = Now
		}
		out = append(out, row)
	}
	return out
}

// readOutFor is how long a note waits to be read out.
const readOutFor = 48 * time.Hour

// readOut: notes to be read out until a handover told them.
func (l *look) readOut() []Attention {
	var out []Attention
	for _, e := range l.own["note"] {
		if !e.Flag("readOut") || l.at.Sub(e.At.Time) > readOutFor || l.toldAt(e) {
			continue
		}
		out = append(out, know("READ OUT “"+oneLine(e.Text("text"))+"”", "notes").of(l.source(e)))
	}
	return out
}

// toldAt says whether a note was told at a handover that was accepted. One that arrived
// after a handover was cut did not stand on its sheet.
func (l *look) toldAt(note *entry.Standing) bool {
	for _, h := range l.unit.taken[l.record.Infant] {
		if !h.asOf.Before(note.At.Time) && !h.asOf.Before(note.Charted.Time) && !h.arrived()[note.ID] {
			return true
		}
	}
	return false
}

// lates: how much the handover before could not hold.
func (l *look) lates() []Attention {
	if l.late == 0 {
		return nil
	}
	return one(know(count(l.late, "entry", "entries")+" arrived or written late", "late"))
}

// oldBy is the due item that tells a fact as overdue.
var oldBy = map[string]string{"observations": "observations", "humidifier": "humidifier", "skin": "skin", "tubes": "tube"}

// oldFacts: how many facts are old and are not told as overdue.
func (l *look) oldFacts() []Attention {
	n := 0
	for _, x := range l.s.Old {
		group, _, _ := strings.Cut(x.Path, ".")
		told := false
		for _, d := range l.s.Due {
			told = told || d.State == "overdue" && d.What == oldBy[group]
		}
		if !told {
			n++
		}
	}
	if n == 0 {
		return nil
	}
	return one(know(count(n, "fact is old", "facts are old"), "old"))
}
