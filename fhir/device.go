package fhir

import (
	"maps"
	"slices"

	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover/entry"
)

// device is one Device: of an infant by type and size, a placement of a tube, a
// fitting of a circuit; a driver is shared by its tag and belongs to no infant.
type device struct {
	id    string
	kind  concept
	site  concept // where it is worn
	size  string  // by the unit's own name; of a tube in Fr
	route string  // of a tube
	use   string  // of a tube
	tag   string  // of a driver
	entry string  // that brought it, where it is of one
	off   bool    // its period of use has ended, and none goes on
	left  bool    // the infant has left since
	sent  *resource
}

// status of a tube or circuit ends with its wear, for the next one is another Device. A
// type and size of interface or bonnet may be put on again while the infant is here.
func (d *device) status() string {
	if d.left || d.off && d.entry != "" {
		return inactive
	}
	return active
}

// sized is the infant's device of a type and size, one for all its wear periods.
func (u *inUse) sized(kind, site concept, size string) *device {
	name := "Device\n" + kind.code + "\n" + size
	d := u.sizes[name]
	if d == nil {
		d = u.came(&device{id: named(ofInfant(u.policy, u.record.Infant), name).String(), kind: kind, site: site, size: size})
		u.sizes[name] = d
	}
	d.left = false // in another stay
	return d
}

func (u *inUse) fittedCircuit(e *entry.Standing) *device {
	return u.came(&device{id: u.idOf(e, "device"), kind: circuitDevice, entry: e.ID})
}

func (u *inUse) placedTube(e *entry.Standing) *device {
	site := siteMouth
	if e.Text("route") == "nasal" {
		site = siteNose
	}
	return u.came(&device{id: u.idOf(e, "device"), kind: gastricTubeDevice, site: site, route: e.Text("route"), use: tubeUseOf(e), entry: e.ID})
}

func (u *inUse) came(d *device) *device {
	u.devices = append(u.devices, d)
	return d
}

// taggedDriver is the driver of that tag.
func (b *builder) taggedDriver(tag string) *device {
	d := b.drivers[tag]
	if d == nil {
		d = &device{id: ofDriver(b.system("device"), tag), kind: driverDevice, tag: tag}
		b.drivers[tag] = d
	}
	return d
}

func (i *infant) idOf(e *entry.Standing, role string) string {
	id, err := ofEntry(e.ID, role)
	if err != nil {
		i.err = err
	}
	return id
}

// refer is a reference to a device, nil when the receiver takes none.
func (b *builder) refer(d *device) *r4.Reference {
	if !b.sends("Device") && !b.sends("DeviceUseStatement") {
		return nil
	}
	return literal("Device", d.id)
}

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

// shared adds the people, cots and drivers that the infants' entries name, before
// all else.
func (b *builder) shared() {
	rest := b.out
	b.out = append(b.practitioners(), b.locations()...)
	if b.refer(&device{}) != nil {
		b.tagged()
	}
	b.out = append(b.out, rest...)
}

func (b *builder) tagged() {
	for _, tag := range slices.Sorted(maps.Keys(b.drivers)) {
		d := b.drivers[tag]
		known := Identifier{b.system("device"), tag}
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
