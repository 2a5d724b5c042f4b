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

// worn follows one thing of which an infant has one at a time: what is on the face, the
// circuit, the driver, the bonnet, a tube.
//
// To put the same on again continues its period. Another, taking it off, the end of the
// spell or discharge ends the period. When support begins again within the policy's
// breakUpTo, or the same is put on within that time, the period that the stop had ended
// goes on, so that no moment takes back what an earlier one yielded.
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

// stop ends the period with the support; what is on the infant stays on.
func (w *worn) stop(e *entry.Standing) {
	if w.on == nil {
		return
	}
	w.on.paused, w.stopped = true, e.At.Time
	w.end(e.At)
}

// start begins a period of what is still on, or continues the one that a break
// interrupted.
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

// sameNumber says whether two charted numbers are equal, however written.
func sameNumber(a, b string) bool {
	x, errX := entry.ParseDecimal(a)
	y, errY := entry.ParseDecimal(b)
	return errX == nil && errY == nil && x.Cmp(y) == 0
}
