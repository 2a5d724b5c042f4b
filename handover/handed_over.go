package handover

import (
	"slices"

	"cotline/handover/entry"
)

// Confirmations are what a nurse who takes over looks at herself.
var Confirmations = []string{"pressure", "fio2", "interface", "skin", "tube"}

// handedOver is the latest handover of the stay that names the infant, but for one
// for a break, and how it was accepted; nil before the first.
func (r *reading) handedOver(u *unitReading) *HandedOver {
	var h *signedHandover
	for _, x := range u.signed {
		if x.names[r.record.Infant] && r.stay.Holds(x.entry) {
			h = x
		}
	}
	if h == nil {
		return nil
	}
	f := &HandedOver{Entry: h.entry.ID, By: h.entry.By, To: h.entry.Text("to"), AsOf: h.asOf, At: h.entry.At.Time}
	a := h.acceptedFor(r.record.Infant)
	if a == nil {
		return f
	}
	f.Accepted = &Accepted{By: a.By, At: a.At.Time, Entry: a.ID, Asked: a.Text("asked"), NotConfirmed: []string{}}
	if a.Has("readBack") {
		yes := a.Flag("readBack")
		f.Accepted.ReadBack = &yes
	}
	confirmed := entry.Lookup(entry.Lookup(a.Fields, "confirmed").Fields, r.record.Infant)
	if confirmed.Type != entry.Absent { // charted, as none too
		f.Accepted.Confirmed = []string{}
	}
	for _, v := range confirmed.List {
		f.Accepted.Confirmed = append(f.Accepted.Confirmed, v.Text)
	}
	for _, what := range r.applied(h) {
		if !slices.Contains(f.Accepted.Confirmed, what) {
			f.Accepted.NotConfirmed = append(f.Accepted.NotConfirmed, what)
		}
	}
	return f
}

// applied are those of the five that applied at a handover's asOf, by what is
// known now.
func (r *reading) applied(h *signedHandover) []string {
	then := newReading(r.p, r.record, r.stay, h.asOf)
	return confirmable(then.spell != nil, then.in(pressureModes), then.tubesFact())
}

// Confirmable are those of Confirmations that apply to the infant now.
func (s *Summary) Confirmable() []string {
	pressure := slices.ContainsFunc(s.Settings, func(x Setting) bool { return x.Field == "pressureCmH2O" })
	return confirmable(s.Support.State == "on", pressure, s.Tubes)
}

func confirmable(on, pressure bool, tubes Maybe[[]Tube]) (out []string) {
	for _, what := range Confirmations {
		applies := true
		switch what {
		case "pressure":
			applies = pressure
		case "fio2", "interface":
			applies = on
		case "tube":
			applies = tubes.Value == nil || len(*tubes.Value) > 0
		}
		if applies {
			out = append(out, what)
		}
	}
	return out
}
