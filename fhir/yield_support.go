package fhir

import (
	models "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/fhir/internal/r4"
	"cotline/handover"
	"cotline/handover/entry"
)

func (i *infant) support(e *entry.Standing) {
	f := fact{role: "support", category: r4.Therapy, code: i.codes.Concept(r4.Support),
		value: r4.Coded(i.codes.Concept(r4.SupportStates[e.Text("state")])), device: i.care.at[e.ID], anew: i.anewOf(e).device}
	f.components = i.worded(f.components, e, "mode", r4.SupportMode, r4.SupportModes)
	f.components = i.noted(f.components, e, "driver", r4.DriverTag)
	f.components = i.noted(f.components, e, "why", r4.SupportWhy)
	f.components = i.worded(f.components, e, "reason", r4.SupportReason, r4.SupportReasons)
	i.observe(e, f)
}

// interfaceOn says type and size in words and codes, so that a receiver who takes no
// DeviceUseStatement loses nothing. It also says when mask and prongs changed places,
// which cannot be searched for by date in a DeviceUseStatement.
func (i *infant) interfaceOn(e *entry.Standing) {
	typ, d := r4.Interfaces[e.Text("type")], i.care.at[e.ID]
	f := fact{role: "interface", category: r4.Therapy, code: i.codes.Concept(r4.InterfaceOn), value: r4.Coded(i.codes.Concept(typ)),
		device: d, anew: i.anewOf(e).device}
	if d != nil {
		f.site = i.codes.Concept(r4.SiteNose)
		f.value = r4.Coded(i.codes.Said(typ, sizedText(typ.Text, d.size)))
		if d.size != "" {
			f.components = append(f.components, r4.ComponentOf(i.codes.Concept(r4.InterfaceSize), r4.Told(d.size)))
		}
	}
	f.components = i.worded(f.components, e, "fit", r4.InterfaceFit, r4.Fits)
	f.components = i.flagged(f.components, e, "clear", r4.InterfaceClear)
	f.components = i.worded(f.components, e, "reason", r4.InterfaceReason, r4.Reasons)
	i.observe(e, f)
	if i.care.rotated[e.ID] {
		i.observe(e, fact{role: "rotation", category: r4.Therapy, code: i.codes.Concept(r4.Rotation),
			value: r4.Coded(i.codes.Concept(r4.Rotations[e.Text("type")])), device: d, site: i.codes.Concept(r4.SiteNose),
			anew: i.anewOf(e).turn})
	}
}

func (i *infant) setup(e *entry.Standing) {
	f := fact{role: "setup", category: r4.Procedure, code: i.codes.Concept(r4.SetupDone)}
	for _, s := range e.List("steps") {
		f.components = append(f.components, r4.ComponentOf(i.codes.Listed(r4.SetupStep, r4.StepList, s.Field("step").Text),
			r4.Truth(s.Field("done").Bool)))
	}
	for _, w := range e.List("around") {
		f.components = append(f.components, r4.ComponentOf(i.codes.Concept(r4.SetupAround), r4.Coded(i.codes.Concept(r4.Arounds[w.Text]))))
	}
	f.components = i.flagged(f.components, e, "probeOutside", r4.ProbeOutside)
	f.components = i.flagged(f.components, e, "probeShielded", r4.ProbeShield)
	i.observe(e, f)
}

// calibration is one Observation for each reading, with its gas, below one for the
// check, which says what it came to, and each reading again as a component. It comes to
// nothing where a gas of the policy was not read.
func (i *infant) calibration(e *entry.Standing) {
	check := fact{role: "calibration", category: r4.Procedure, code: i.codes.Concept(r4.SensorCheck)}
	if sound, judged := i.policy.SensorCheck(e.Entry); judged {
		verdict := r4.SensorUnsound
		if sound {
			verdict = r4.SensorSound
		}
		check.value, check.method = r4.Coded(i.codes.Concept(verdict)), i.codes.Concept(r4.SensorMethod)
	}
	for _, flow := range e.List("flows") {
		check.components = append(check.components,
			r4.ComponentOf(i.codes.Concept(r4.SensorFlow), r4.Measured(flow.Text, r4.LitresMinute)))
	}
	var points []fact
	for n, p := range e.List("points") {
		role := indexed("calibration.point", n)
		check.members = append(check.members, role)
		points = append(points, fact{role: role, category: r4.Procedure, code: i.codes.Concept(r4.SensorRead),
			value: r4.Measured(p.Field("readPercent").Text, r4.Percent),
			components: []r4.Component{r4.ComponentOf(i.codes.Concept(r4.SensorGas),
				r4.Measured(p.Field("gasPercent").Text, r4.Percent))}})
		check.components = append(check.components, r4.ComponentOf(i.readIn(p.Field("gasPercent")),
			r4.Measured(p.Field("readPercent").Text, r4.Percent)))
	}
	i.observe(e, check)
	for _, p := range points {
		i.observe(e, p)
	}
}

// readIn is what a reading of the sensor is called by its gas: air and oxygen have codes,
// any other stands in the text, and as a value beside the reading's own Observation.
func (i *infant) readIn(gas entry.Value) *models.CodeableConcept {
	percent, _ := entry.NumberOf(gas)
	switch {
	case handover.NearGas(percent, entry.Int(21)):
		return i.codes.Concept(r4.SensorAir)
	case handover.NearGas(percent, entry.Int(100)):
		return i.codes.Concept(r4.SensorOxygen)
	}
	return i.codes.Said(r4.SensorRead, "Read in "+gas.Text+" % oxygen")
}

// safety is what was in order at the cot, item by item.
func (i *infant) safety(e *entry.Standing) {
	f := fact{role: "safety", category: r4.Procedure, code: i.codes.Concept(r4.SafetyCheck)}
	for _, x := range e.List("items") {
		f.components = append(f.components, r4.ComponentOf(i.codes.Listed(r4.SafetyItem, r4.ItemList, x.Field("item").Text),
			r4.Truth(x.Field("ok").Bool)))
	}
	i.observe(e, f)
}

func (i *infant) seal(e *entry.Standing) {
	result := r4.SealLost
	if e.Flag("held") {
		result = r4.SealHeld
	}
	f := fact{role: "seal", category: r4.Procedure, code: i.codes.Concept(r4.LeakCheck), value: r4.Coded(i.codes.Concept(result))}
	if text, ok := r4.NumberOf(e.Fields, "pressureCmH2O"); ok {
		f.components = []r4.Component{r4.ComponentOf(i.codes.Concept(r4.LeakPressure), r4.Measured(text, r4.CmH2O))}
	}
	i.observe(e, f)
}

func (i *infant) humidifier(e *entry.Standing) {
	if w := e.Text("state"); w != "" {
		i.observe(e, fact{role: "state", category: r4.Therapy, code: i.codes.Concept(r4.Humidifier),
			value: r4.Coded(i.codes.Concept(r4.Humidifiers[w]))})
	}
	if w := e.Text("water"); w != "" {
		i.observe(e, fact{role: "water", category: r4.Therapy, code: i.codes.Concept(r4.Water),
			value: r4.Coded(i.codes.Concept(r4.Waters[w]))})
	}
	i.numbers(e, []numeric{{"chamberC", r4.ChamberTemp, r4.Celsius, r4.Therapy}, {"waterMl", r4.WaterVolume, r4.Millilitres, r4.Therapy}})
}

func (i *infant) circuit(e *entry.Standing) {
	i.observe(e, fact{role: "circuit", category: r4.Procedure, code: i.codes.Concept(r4.Circuit),
		value: r4.Coded(i.codes.Concept(r4.Circuits[e.Text("action")])), device: i.care.at[e.ID], anew: i.anewOf(e).device})
}

// alarm keeps the order in which causes were looked for.
func (i *infant) alarm(e *entry.Standing) {
	f := fact{role: "alarm", category: r4.Procedure, code: i.codes.Concept(r4.Alarm),
		value: r4.Coded(i.codes.Concept(r4.Abouts[e.Text("about")]))}
	for _, t := range e.List("tried") {
		f.components = append(f.components, r4.ComponentOf(i.codes.Cause(i.policy, t.Field("cause").Text),
			r4.Truth(t.Field("found").Bool)))
	}
	f.components = i.noted(f.components, e, "action", r4.AlarmAction)
	if m, ok := e.Moment("settledAt"); ok && !m.Before(e.At.Time) {
		f.until = r4.DateTime(m)
	}
	i.observe(e, f)
}
