package handover

import (
	"time"

	"github.com/cockroachdb/apd/v3"

	"cotline/handover/entry"
)

// setupFact is what was checked when the circuit was set up.
func (r *reading) setupFact() Maybe[Setup] {
	if !r.in(heatedModes) {
		return Maybe[Setup]{}
	}
	var f Setup
	fitted := latest(r.own["circuit"], being("action", "fitted"))
	sealFrom := r.spell.start.Add(-time.Hour)
	sensorFrom := sealFrom
	if fitted != nil {
		sealFrom, sensorFrom = fitted.At.Time, fitted.At.Add(-time.Hour)
	}
	r.sensor(&f, sensorFrom)
	if e := latest(r.own["seal"], notBefore(sealFrom)); e != nil {
		f.SealHeld = known(e.Flag("held"))
		f.Seal = r.source(e)
	} else {
		f.SealHeld = notCharted[bool]()
	}
	r.ticked(&f)
	f.CircuitDueOn = r.circuitDue(fitted)
	if e := latest(r.own["setup"], having("around")); e != nil && len(e.List("around")) > 0 &&
		!e.At.Before(r.spell.start.Add(-time.Hour)) {
		f.ProbeCaution = known(!e.Flag("probeOutside") && !e.Flag("probeShielded"))
	}
	return known(f)
}

// sensor judges the latest reading of each of the policy's points.
func (r *reading) sensor(f *Setup, from time.Time) {
	f.Points = []SensorPoint{}
	failed, unread := false, false
	for _, point := range r.p.SensorPoints {
		var found *SensorPoint
		for _, e := range r.own["calibration"] {
			if e.At.Before(from) {
				continue
			}
			for _, p := range e.List("points") {
				gas, _ := entry.NumberOf(p.Field("gasPercent"))
				read, _ := entry.NumberOf(p.Field("readPercent"))
				if NearGas(gas, point) {
					found = r.sensorPoint(gas, read, e)
				}
			}
		}
		if found == nil {
			unread = true
			f.Unread = append(f.Unread, point)
			continue
		}
		failed = failed || !found.OK
		f.Points = append(f.Points, *found)
	}
	switch {
	case failed:
		f.Calibrated = known(false)
	case unread:
		f.Calibrated = notCharted[bool]()
	case len(f.Points) > 0:
		f.Calibrated = known(true)
	}
}

// sensorPoint judges one reading. Beside one that failed low stands what a sound
// sensor reads of that gas when it is saturated at the chamber's target, so that a
// check done on humidified gas is known for what it is.
func (r *reading) sensorPoint(gas, read entry.Decimal, e *entry.Standing) *SensorPoint {
	p := &SensorPoint{GasPercent: gas, ReadPercent: read, OK: r.p.sensorOK(gas, read), Source: r.source(e)}
	if !p.OK && read.Cmp(gas) < 0 {
		humid := entry.RoundedFloat(humidReading(gas.Float(), r.p.TargetC.Float()), 1)
		p.HumidPercent = &humid
	}
	return p
}

// SensorCheck judges one check of the oxygen sensor by itself, as the readings of a stay
// are judged together, by the last reading of each gas: it fails where a gas of the policy
// was read outside its tolerance, and is sound where each of them was read and none
// failed; else there is no verdict.
func (p *Policy) SensorCheck(check *entry.Entry) (sound, judged bool) {
	sound, judged = true, len(p.SensorPoints) > 0
	for _, point := range p.SensorPoints {
		read, within := false, true
		for _, x := range check.List("points") {
			gas, _ := entry.NumberOf(x.Field("gasPercent"))
			if value, _ := entry.NumberOf(x.Field("readPercent")); NearGas(gas, point) {
				read, within = true, p.sensorOK(gas, value)
			}
		}
		sound, judged = sound && within, judged && read
	}
	return sound, judged || !sound
}

// NearGas says whether a gas as it was charted is taken for one of the policy: 20.9 % is
// air.
func NearGas(charted, of entry.Decimal) bool { return charted.Sub(of).Abs().Cmp(entry.Int(1)) <= 0 }

// sensorOK holds a reading to the unit's tolerance, bounds in: so many volume
// percent plus so many percent of the gas's own percentage.
func (p *Policy) sensorOK(gas, read entry.Decimal) bool {
	limit := entry.Add(p.ToleranceVol.Exact(), entry.Mul(entry.Mul(p.ToleranceOfGas.Exact(), gas.Exact()), apd.New(1, -2)))
	return read.Sub(gas).Abs().Exact().Cmp(limit) <= 0
}

// ticked sorts the policy's steps by what was ticked since 60 min before the spell: those
// ticked last as not done, and those never ticked. Where none was ever ticked, the whole
// list is one gap, and no step stands there by itself.
func (r *reading) ticked(f *Setup) {
	done := map[string]bool{}
	for _, e := range r.own["setup"] {
		if e.At.Before(r.spell.start.Add(-time.Hour)) {
			continue
		}
		for _, s := range e.List("steps") {
			done[s.Field("step").Text] = s.Field("done").Bool
		}
	}
	f.NotDone = []string{}
	never := []string{}
	for _, step := range r.p.Setup {
		switch yes, told := done[step]; {
		case !told:
			never = append(never, step)
		case !yes:
			f.NotDone = append(f.NotDone, step)
		}
	}
	if f.Ticked = len(done) > 0; f.Ticked {
		f.NotCharted = known(never)
	}
}

// circuitDue is the civil day on which the circuit was fitted plus its interval in
// whole days, started ones up, or the day it was found soiled or faulty and not
// changed since, the earlier.
func (r *reading) circuitDue(fitted *entry.Standing) Maybe[entry.Date] {
	fault := r.circuitFault(fitted)
	if fitted == nil && fault == nil {
		return notCharted[entry.Date]()
	}
	every, _ := r.interval("circuit", "", r.p.Circuit)
	var on entry.Date
	if fitted != nil && !every.None() {
		on = r.day(fitted.At.Time).Add(every.Days())
	}
	if fault != nil {
		if day := r.day(fault.At.Time); on.IsZero() || day.Before(on) {
			on = day
		}
	}
	if on.IsZero() {
		return Maybe[entry.Date]{}
	}
	return known(on)
}

// circuitFault is the first soiled or faulty since the circuit was fitted.
func (r *reading) circuitFault(fitted *entry.Standing) *entry.Standing {
	for _, e := range r.own["circuit"] {
		if fitted != nil && entry.InOrder(e, fitted) < 0 {
			continue
		}
		if action := e.Text("action"); action == "soiled" || action == "faulty" {
			return e
		}
	}
	return nil
}
