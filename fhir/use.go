package fhir

import (
	"time"

	"cotline/handover/entry"
)

// use is a period in which a device was in use: one DeviceUseStatement.
type use struct {
	device *device
	began  *entry.Standing // its id comes from this entry
	role   string
	until  *entry.Moment // nil while it lasts
	paused bool          // ended by a stop that may yet prove a break
}

// worn follows one thing that an infant has one of: what is on the face, the
// circuit, the driver, the bonnet, a tube.
//
// Putting the same on again continues a period; another, taking it off, the end of
// the spell or discharge ends it. Support that begins again within the policy's
// breakUpTo, or the same put on within it, goes on with the period that the stop
// had ended, so that no moment takes back what an earlier one yielded.
type worn struct {
	role    string
	periods []*use
	on      *use      // the period that is open
	there   *device   // what is on, though support may have stopped
	stopped time.Time // when the last period was paused
}

func (w *worn) place(d *device, e *entry.Standing, goesOn func(stopped, began time.Time) bool) {
	w.there = d
	if w.on != nil && w.on.device == d {
		return
	}
	w.end(e.At)
	if last := w.last(); last != nil && last.paused && last.device == d && goesOn(w.stopped, e.At.Time) {
		w.resume(last)
		return
	}
	w.unpause()
	d.off = false
	w.on = &use{device: d, began: e, role: w.role}
	w.periods = append(w.periods, w.on)
}

// remove takes it off.
func (w *worn) remove(e *entry.Standing) {
	w.end(e.At)
	w.unpause()
	w.there = nil
}

// stop ends the period with support; what is on stays on.
func (w *worn) stop(e *entry.Standing) {
	if w.on == nil {
		return
	}
	w.on.paused, w.stopped = true, e.At.Time
	w.end(e.At)
}

// start begins a period of what is still on, or goes on with the paused one.
func (w *worn) start(e *entry.Standing, goesOn func(stopped, began time.Time) bool) {
	if w.on == nil && w.there != nil {
		w.place(w.there, e, goesOn)
	}
}

func (w *worn) end(at entry.Moment) {
	if w.on != nil {
		w.on.until, w.on.device.off = &at, true
		w.on = nil
	}
}

func (w *worn) resume(u *use) {
	u.until, u.paused, u.device.off = nil, false, false
	w.on = u
}

func (w *worn) unpause() {
	if last := w.last(); last != nil {
		last.paused = false
	}
}

func (w *worn) last() *use {
	if len(w.periods) == 0 {
		return nil
	}
	return w.periods[len(w.periods)-1]
}

// inUse follows everything that an infant's devices do over a stay.
type inUse struct {
	*infant
	face, circuit, driver, bonnet worn
	tube                          map[string]*worn   // by use
	at                            map[string]*device // what an entry is about, by its id
	driverAt                      map[string]*device // the driver in use at a check of the sensor, by its id
	supported                     bool
	stopped                       time.Time // of the last spell, or of a break in it
	devices                       []*device // in the order in which they came
	turns                         turns
}

func newInUse(i *infant) inUse {
	return inUse{infant: i, at: map[string]*device{}, driverAt: map[string]*device{}, face: worn{role: "use.interface"}, circuit: worn{role: "use.circuit"},
		driver: worn{role: "use.driver"}, bonnet: worn{role: "use.bonnet"},
		tube: map[string]*worn{"feeding": {role: "use.tube"}, "venting": {role: "use.tube"}}}
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
			u.bonnet.place(u.sized(bonnetDevice, siteHead, e.Text("size")), e, u.withinBreak)
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
	u.turns.face(u, e)
	typ, size := e.Text("type"), e.Text("size")
	if typ == "off" {
		u.face.remove(e)
		return
	}
	d := u.lastFace()
	if d == nil || d.kind.code != interfaces[typ].code || size != "" && size != d.size {
		d = u.sized(interfaces[typ], siteNose, size)
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

// followSupport follows the spells of support: a start within one changes it, and
// what does not lie in one counts for nothing.
func (u *inUse) followSupport(e *entry.Standing) {
	tag := e.Text("driver")
	switch state := e.Text("state"); {
	case state == "started" && !u.supported:
		goesOn := !u.stopped.IsZero() && u.withinBreak(u.stopped, e.At.Time)
		u.turns.start(u, e, goesOn)
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

// followTube follows the tubes by use: placed brings one in, and so does found
// when none of its use is in or when route or size differ.
func (u *inUse) followTube(e *entry.Standing) {
	w := u.tube[tubeUseOf(e)]
	action, route, size := e.Text("action"), e.Text("route"), e.Text("sizeFr")
	in := w.there
	switch {
	case action == "none" || action == "removed":
		u.at[e.ID] = in
		w.remove(e)
		return
	case action == "placed", action == "found" && (in == nil || route != in.route || size != "" && in.size != "" && !sameNumber(size, in.size)):
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

// sameNumber says whether two charted numbers are equal, however written.
func sameNumber(a, b string) bool {
	x, errX := entry.ParseDecimal(a)
	y, errY := entry.ParseDecimal(b)
	return errX == nil && errY == nil && x.Cmp(y) == 0
}
