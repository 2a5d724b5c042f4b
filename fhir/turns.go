package fhir

import (
	"time"

	"cotline/handover/entry"
)

// turns finds the changes between mask and prongs within a spell, and looks through off
// and cannula. What is charted while support has stopped counts only if the stop turns
// out to be a break.
type turns struct {
	typ     string // mask or prongs, the latest of the spell
	started time.Time
	now     string            // what is on the face, in a spell or not
	pending []*entry.Standing // since the stop
	found   map[string]bool   // ids of the entries that made a change
}

func (t *turns) face(u *inUse, e *entry.Standing) {
	t.now = e.Text("type")
	if !u.supported {
		t.pending = append(t.pending, e)
		return
	}
	t.change(e)
}

func (t *turns) change(e *entry.Standing) {
	typ := e.Text("type")
	if typ != "mask" && typ != "prongs" {
		return
	}
	if t.typ != "" && t.typ != typ && !e.At.Equal(t.started) {
		if t.found == nil {
			t.found = map[string]bool{}
		}
		t.found[e.ID] = true
	}
	t.typ = typ
}

func (t *turns) start(e *entry.Standing, goesOn bool) {
	if goesOn {
		for _, p := range t.pending {
			t.change(p)
		}
	} else {
		t.typ, t.started = "", e.At.Time
		if t.now == "mask" || t.now == "prongs" {
			t.typ = t.now
		}
	}
	t.pending = nil
}
