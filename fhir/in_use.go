package fhir

import (
	"time"

	"cotline/fhir/internal/r4"
	"cotline/handover/entry"
)

// inUse follows everything that an infant's devices do over a stay.
type inUse struct {
	*infant
	face, circuit, driver, bonnet worn
	tube                          map[string]*worn   // by use
	at                            map[string]*device // what an entry is about, by its id
	driverAt                      map[string]*device // the driver in use at a check of the sensor, by its id
	supported                     bool
	stopped                       time.Time       // of the last spell, or of a break in it
	devices                       []*device       // in the order in which they came
	rotated                       map[string]bool // ids of the entries by which mask and prongs changed places
}

// newInUse follows the entries of one stay, in the record's order.
func newInUse(i *infant, stay []*entry.Standing) inUse {
	u := inUse{infant: i, at: map[string]*device{}, driverAt: map[string]*device{}, rotated: map[string]bool{},
		face: worn{role: "use.interface"}, circuit: worn{role: "use.circuit"}, driver: worn{role: "use.driver"},
		bonnet: worn{role: "use.bonnet"},
		tube:   map[string]*worn{"feeding": {role: "use.tube"}, "venting": {role: "use.tube"}}}
	for _, e := range i.policy.Rotations(stay) {
		u.rotated[e.ID] = true
	}
	for _, e := range stay {
		u.follow(e)
	}
	return u
}

// follow takes the next entry, in the record's order.
func (u *inUse) follow(e *entry.Standing) {
	switch e.Kind {
	case "interface":
		u.followFace(e)
	case "support":
		u.followSupport(e)
	case "circuit":
		if e.Text("action") == "fitted" {
			u.circuit.place(u.fittedCircuit(e), e, u.withinBreak)
		}
		u.at[e.ID] = u.circuit.there
	case "bonnet":
		switch e.Text("action") {
		case "fitted", "found":
			u.bonnet.place(u.sized(r4.BonnetDevice, r4.SiteHead, e.Text("size")), e, u.withinBreak)
		case "removed", "none":
			u.bonnet.remove(e)
		}
		u.at[e.ID] = u.bonnet.there
	case "tube":
		u.followTube(e)
	case "calibration":
		if u.driver.on != nil {
			u.driverAt[e.ID] = u.driver.there
		}
	case "discharge":
		for _, w := range u.everything() {
			w.remove(e)
		}
		for _, d := range u.sizes {
			d.left = true
		}
	}
}

func (u *inUse) everything() []*worn {
	return []*worn{&u.face, &u.circuit, &u.driver, &u.bonnet, u.tube["feeding"], u.tube["venting"]}
}

// followFace follows the interface; a size left out on the same type is as it was.
func (u *inUse) followFace(e *entry.Standing) {
	typ, size := e.Text("type"), e.Text("size")
	if typ == "off" {
		u.face.remove(e)
		return
	}
	d := u.lastFace()
	if d == nil || d.kind.Code != r4.Interfaces[typ].Code || size != "" && size != d.size {
		d = u.sized(r4.Interfaces[typ], r4.SiteNose, size)
	}
	u.face.place(d, e, u.withinBreak)
	u.at[e.ID] = d
}

// lastFace is the interface that is on, or was on before it was taken off.
func (u *inUse) lastFace() *device {
	if last := u.face.last(); last != nil {
		return last.device
	}
	return nil
}

// followSupport follows the spells of support. A start within a spell changes it; an
// entry outside any spell counts for nothing.
func (u *inUse) followSupport(e *entry.Standing) {
	tag := e.Text("driver")
	switch state := e.Text("state"); {
	case state == "started" && !u.supported:
		goesOn := !u.stopped.IsZero() && u.withinBreak(u.stopped, e.At.Time)
		u.supported = true
		u.face.start(e, u.withinBreak)
		u.circuit.start(e, u.withinBreak)
		if goesOn && tag == "" {
			u.driver.start(e, u.withinBreak)
		}
	case !u.supported:
		return
	case state == "stopped":
		u.supported, u.stopped = false, e.At.Time
		u.face.stop(e)
		u.circuit.stop(e)
		u.driver.stop(e)
		return
	}
	if tag != "" {
		u.driver.place(u.taggedDriver(tag), e, u.withinBreak)
	}
	if u.driver.on != nil {
		u.at[e.ID] = u.driver.there
	}
}

// followTube follows the tubes by use. A tube comes in when it is placed; and when it
// is found, if none of that use is in or if route or size differ.
func (u *inUse) followTube(e *entry.Standing) {
	w := u.tube[tubeUseOf(e)]
	action, route, size := e.Text("action"), e.Text("route"), e.Text("sizeFr")
	in := w.there
	switch {
	case action == "none" || action == "removed":
		u.at[e.ID] = in
		w.remove(e)
		return
	case action == "placed", action == "found" && (in == nil || route != in.route ||
		size != "" && in.size != "" && !sameNumber(size, in.size)):
		in = u.placedTube(e)
		w.place(in, e, u.withinBreak)
	case in == nil:
		return
	}
	if route != "" {
		in.route = route
	}
	if size != "" {
		in.size = size
	}
	u.at[e.ID] = in
}

func tubeUseOf(e *entry.Standing) string {
	if u := e.Text("use"); u != "" {
		return u
	}
	return "feeding"
}

// sized is the infant's device of a type and size: the same one for every period in
// which it is worn.
func (u *inUse) sized(kind, site r4.Concept, size string) *device {
	d := u.sizes[sizedKind{kind.Code, size}]
	if d == nil {
		d = u.came(&device{id: r4.IDOfDevice(u.policy, u.record.Infant, kind, size), kind: kind, site: site, size: size})
		u.sizes[sizedKind{kind.Code, size}] = d
	}
	d.left = false // in another stay
	return d
}

func (u *inUse) fittedCircuit(e *entry.Standing) *device {
	return u.came(&device{id: u.idOf(e, "device"), kind: r4.CircuitDevice, entry: e.ID})
}

func (u *inUse) placedTube(e *entry.Standing) *device {
	site := r4.SiteMouth
	if e.Text("route") == "nasal" {
		site = r4.SiteNose
	}
	return u.came(&device{id: u.idOf(e, "device"), kind: r4.GastricTubeDevice, site: site, route: e.Text("route"),
		use: tubeUseOf(e), entry: e.ID})
}

func (u *inUse) came(d *device) *device {
	u.devices = append(u.devices, d)
	return d
}

// taggedDriver is the driver of that tag.
func (b *builder) taggedDriver(tag string) *device {
	d := b.drivers[tag]
	if d == nil {
		d = &device{id: r4.IDOfDriver(b.system("device"), tag), kind: r4.DriverDevice, tag: tag}
		b.drivers[tag] = d
	}
	return d
}
