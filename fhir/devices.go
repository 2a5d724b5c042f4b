package fhir

import (
	"maps"
	"slices"

	"cotline/fhir/internal/r4"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

// devices adds the infant's Devices and a DeviceUseStatement for each period.
func (i *infant) devices() {
	if !i.sendsDevices() {
		return
	}
	for _, d := range i.care.devices {
		if !i.spared["Device/"+d.id] {
			i.device(d)
		}
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
	known := i.known(d)
	m := &models.Device{Identifier: []models.Identifier{*r4.IdentifierOf(known.System, known.Value)}, Type: i.codes.Concept(d.kind),
		Patient: i.subject}
	switch {
	case d.kind.Code == r4.GastricTubeDevice.Code:
		if d.size != "" {
			m.Property = append(m.Property, models.DeviceProperty{Type: *i.codes.Concept(r4.FrenchSize),
				ValueQuantity: []models.Quantity{*r4.Quantity(d.size, r4.French)}})
		}
		if d.route != "" {
			m.Property = append(m.Property, models.DeviceProperty{Type: *i.codes.Concept(r4.TubeRoute),
				ValueCode: []models.CodeableConcept{*i.codes.Concept(r4.Routes[d.route])}})
		}
		m.Property = append(m.Property, models.DeviceProperty{Type: *i.codes.Concept(r4.TubeUse),
			ValueCode: []models.CodeableConcept{*i.codes.Concept(r4.Uses[d.use])}})
	case d.size != "":
		m.Property = append(m.Property, models.DeviceProperty{Type: *i.codes.Concept(r4.InterfaceSize),
			ValueCode: []models.CodeableConcept{*r4.Texted(d.size)}})
	}
	d.sent = &r4.Model{Kind: "Device", ID: d.id, Status: d.status(), Body: m}
	i.add(known, d.sent)
	i.out[len(i.out)-1].Entry = d.entry
}

// tagged are the drivers, which several infants share. They are the hospital's: whether
// one is fit for use is not ours to say, so none is active or inactive. Who is on it tells
// a period of use.
func (b *builder) tagged() (out []*r4.Resource) {
	for _, tag := range slices.Sorted(maps.Keys(b.drivers)) {
		d := b.drivers[tag]
		known := b.known(d)
		asset := r4.IdentifierOf(known.System, tag)
		out = append(out, &r4.Resource{Type: "Device", ID: d.id, Identifier: known, Model: &r4.Model{
			Kind: "Device", ID: d.id, Status: r4.Unsaid,
			Body: &models.Device{Identifier: []models.Identifier{*asset}, Type: b.codes.Concept(r4.DriverDevice)}}})
	}
	return out
}

// statement adds a period of use. Its id is the same while it lasts and once it is
// over.
func (i *infant) statement(u *use) {
	known := i.builder.own(u.began.ID + "." + u.role)
	id := i.idOf(u.began, u.role)
	if i.spared["DeviceUseStatement/"+id] {
		return
	}
	charted, by := i.version(u.began)
	m := &models.DeviceUseStatement{
		Identifier: []models.Identifier{*r4.IdentifierOf(known.System, known.Value)}, Subject: *i.subject,
		TimingPeriod: &models.Period{Start: r4.Ptr(r4.DateTime(u.began.At))},
		RecordedOn:   r4.Ptr(r4.DateTime(charted)), Source: i.staff(by), Device: *i.refer(u.device),
	}
	if u.device.site.Code != "" {
		m.BodySite = i.codes.Concept(u.device.site)
	}
	if why := u.began.Text("why"); why != "" && u.role == i.care.driver.role {
		m.ReasonCode = []models.CodeableConcept{*r4.Texted(why)}
	}
	m.Note = i.why(u.began)
	if i.sends("Observation") { // the type has no encounter: what it was derived from has
		m.DerivedFrom = []models.Reference{*r4.Literal("Observation", i.idOf(u.began, u.began.Kind))}
	}
	status := r4.Active
	if u.until != nil {
		status, m.TimingPeriod.End = r4.Completed, r4.Ptr(r4.DateTime(*u.until))
	}
	i.uses = append(i.uses, &r4.Resource{Type: "DeviceUseStatement", ID: id, Infant: i.record.Infant, Identifier: known, Kind: "device",
		Entry: u.began.ID,
		Model: &r4.Model{Kind: "DeviceUseStatement", ID: id, Status: status, Body: m}})
}
