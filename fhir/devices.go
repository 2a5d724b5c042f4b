package fhir

import (
	"maps"
	"slices"

	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

// devices adds the infant's Devices and a DeviceUseStatement for each period.
func (i *infant) devices() {
	if i.refer(&device{}) == nil {
		return
	}
	for _, d := range i.care.devices {
		i.device(d)
	}
	if !i.sends("DeviceUseStatement") {
		return
	}
	for _, w := range i.care.everything() {
		for _, u := range w.periods {
			i.statement(u)
		}
	}
}

func (i *infant) device(d *device) {
	known := i.builder.own(d.id)
	m := &r4.Device{Identifier: []r4.Identifier{*identifier(known.System, known.Value)}, Type: i.codes.concept(d.kind), Patient: i.subject}
	switch {
	case d.kind.code == gastricTubeDevice.code:
		if d.size != "" {
			m.Property = append(m.Property, r4.DeviceProperty{Type: *i.codes.concept(frenchSize), ValueQuantity: []r4.Quantity{*quantity(d.size, french)}})
		}
		if d.route != "" {
			m.Property = append(m.Property, r4.DeviceProperty{Type: *i.codes.concept(tubeRoute), ValueCode: []r4.CodeableConcept{*i.codes.concept(routes[d.route])}})
		}
		m.Property = append(m.Property, r4.DeviceProperty{Type: *i.codes.concept(tubeUse), ValueCode: []r4.CodeableConcept{*i.codes.concept(uses[d.use])}})
	case d.size != "":
		m.Property = append(m.Property, r4.DeviceProperty{Type: *i.codes.concept(interfaceSize), ValueCode: []r4.CodeableConcept{*texted(d.size)}})
	}
	d.sent = &resource{kind: "Device", id: d.id, status: d.status(), body: m}
	i.add(i.record.Infant, known, d.sent).entry = d.entry
}

func (b *builder) tagged() {
	for _, tag := range slices.Sorted(maps.Keys(b.drivers)) {
		d := b.drivers[tag]
		known := Identifier{System: b.system("device"), Value: tag}
		asset := identifier(known.System, tag)
		b.add("", known, &resource{kind: "Device", id: d.id, status: active,
			body: &r4.Device{Identifier: []r4.Identifier{*asset}, Type: b.codes.concept(driverDevice)}})
	}
}

// statement adds a period of use: the same id while it lasts and when it is over.
func (i *infant) statement(u *use) {
	known := i.builder.own(u.began.ID + "." + u.role)
	id := i.idOf(u.began, u.role)
	charted, by := i.version(u.began)
	m := &r4.DeviceUseStatement{
		Identifier: []r4.Identifier{*identifier(known.System, known.Value)}, Subject: *i.subject,
		TimingPeriod: &r4.Period{Start: ptr(dateTime(u.began.At))},
		RecordedOn:   ptr(dateTime(charted)), Source: i.staff(by), Device: *literal("Device", u.device.id),
	}
	if u.device.site.code != "" {
		m.BodySite = i.codes.concept(u.device.site)
	}
	m.Note = i.why(u.began)
	status := active
	if u.until != nil {
		status, m.TimingPeriod.End = completed, ptr(dateTime(*u.until))
	}
	i.uses = append(i.uses, &Resource{Type: "DeviceUseStatement", ID: id, Infant: i.record.Infant, Identifier: known, kind: "device", entry: u.began.ID,
		model: &resource{kind: "DeviceUseStatement", id: id, status: status, body: m}})
}
