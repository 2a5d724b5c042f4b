package fhir

import "cotline/handover/entry"

func (i *infant) support(e *entry.Standing) {
	f := fact{role: "support", category: therapy, code: i.codes.concept(support),
		value: coded(i.codes.concept(supportStates[e.Text("state")])), device: i.care.at[e.ID], anew: i.anewOf(e).device}
	f.components = i.worded(f.components, e, "mode", supportMode, supportModes)
	f.components = i.noted(f.components, e, "driver", driverTag)
	f.components = i.worded(f.components, e, "reason", supportReason, supportReasons)
	i.observe(e, f)
}

// interfaceOn says type and size in words and codes, so that a receiver who takes
// no DeviceUseStatement loses nothing, and the change between mask and prongs,
// which cannot be found by date there.
func (i *infant) interfaceOn(e *entry.Standing) {
	typ, d := interfaces[e.Text("type")], i.care.at[e.ID]
	f := fact{role: "interface", category: therapy, code: i.codes.concept(interfaceOn), value: coded(i.codes.concept(typ)), device: d, anew: i.anewOf(e).device}
	if d != nil {
		f.site = i.codes.concept(siteNose)
		f.value = coded(i.codes.said(typ, sizedText(typ.text, d.size)))
		if d.size != "" {
			f.components = append(f.components, component{i.codes.concept(interfaceSize), told(d.size)})
		}
	}
	f.components = i.worded(f.components, e, "reason", interfaceReason, reasons)
	i.observe(e, f)
	if i.care.turns.found[e.ID] {
		i.observe(e, fact{role: "rotation", category: therapy, code: i.codes.concept(rotation),
			value: coded(i.codes.concept(rotations[e.Text("type")])), device: d, site: i.codes.concept(siteNose), anew: i.anewOf(e).turn})
	}
}

func (i *infant) setup(e *entry.Standing) {
	f := fact{role: "setup", category: procedure, code: i.codes.concept(setupDone)}
	for _, s := range e.List("steps") {
		f.components = append(f.components, component{i.codes.said(setupStep, s.Field("step").Text), truth(s.Field("done").Bool)})
	}
	for _, w := range e.List("around") {
		f.components = append(f.components, component{i.codes.concept(setupAround), coded(i.codes.concept(arounds[w.Text]))})
	}
	f.components = i.flagged(f.components, e, "probeOutside", probeOutside)
	f.components = i.flagged(f.components, e, "probeShielded", probeShield)
	i.observe(e, f)
}

// calibration is one Observation a reading, each with its gas, under one check.
func (i *infant) calibration(e *entry.Standing) {
	check := fact{role: "calibration", category: procedure, code: i.codes.concept(sensorCheck)}
	for _, flow := range e.List("flows") {
		check.components = append(check.components, component{i.codes.concept(sensorFlow), measured(flow.Text, litresMin)})
	}
	var points []fact
	for n, p := range e.List("points") {
		role := indexed("calibration.point", n)
		check.members = append(check.members, role)
		points = append(points, fact{role: role, category: procedure, code: i.codes.concept(sensorRead),
			value:      measured(p.Field("readPercent").Text, percent),
			components: []component{{i.codes.concept(sensorGas), measured(p.Field("gasPercent").Text, percent)}}})
	}
	i.observe(e, check)
	for _, p := range points {
		i.observe(e, p)
	}
}

func (i *infant) seal(e *entry.Standing) {
	result := sealLost
	if e.Flag("held") {
		result = sealHeld
	}
	f := fact{role: "seal", category: procedure, code: i.codes.concept(leakCheck), value: coded(i.codes.concept(result))}
	if text, ok := number(e.Fields, "pressureCmH2O"); ok {
		f.components = []component{{i.codes.concept(leakPressure), measured(text, cmH2O)}}
	}
	i.observe(e, f)
}

func (i *infant) humidifier(e *entry.Standing) {
	if w := e.Text("state"); w != "" {
		i.observe(e, fact{role: "state", category: therapy, code: i.codes.concept(humidifier), value: coded(i.codes.concept(humidifiers[w]))})
	}
	if w := e.Text("water"); w != "" {
		i.observe(e, fact{role: "water", category: therapy, code: i.codes.concept(water), value: coded(i.codes.concept(waters[w]))})
	}
	i.numbers(e, []numeric{{"chamberC", chamberTemp, celsius, therapy}, {"waterMl", waterVolume, millilit, therapy}})
}

func (i *infant) circuit(e *entry.Standing) {
	i.observe(e, fact{role: "circuit", category: procedure, code: i.codes.concept(circuit),
		value: coded(i.codes.concept(circuits[e.Text("action")])), device: i.care.at[e.ID], anew: i.anewOf(e).device})
}

// alarm keeps the order in which causes were looked for.
func (i *infant) alarm(e *entry.Standing) {
	f := fact{role: "alarm", category: procedure, code: i.codes.concept(alarm), value: coded(i.codes.concept(abouts[e.Text("about")]))}
	for _, t := range e.List("tried") {
		f.components = append(f.components, component{i.codes.said(alarmCause, t.Field("cause").Text), truth(t.Field("found").Bool)})
	}
	f.components = i.noted(f.components, e, "action", alarmAction)
	if m, ok := e.Moment("settledAt"); ok && !m.Before(e.At.Time) {
		f.until = dateTime(m)
	}
	i.observe(e, f)
}
