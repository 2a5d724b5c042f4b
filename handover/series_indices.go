package handover

import (
	"cotline/handover/entry"
	"slices"
	"time"
)

// IndicesAt are the indices at one reading of SpO2, as of its moment, and the
// entries of the settings that they stand on; FiO2 and Pressure are the ids, empty
// where none was set.
type IndicesAt struct {
	Indices
	FiO2, Pressure string
}

// IndicesOver computes, in one pass, what the handover of each reading's own moment
// says of it when it is the only reading: at the moments of observations of one
// stay, in the record's order. The stay is its admission, support, settings and
// discharge, as they stand and in any order; what happened after a reading is not
// looked at for it. The result is by the reading's id; one without indices has none.
func IndicesOver(p *Policy, stay, observations []*entry.Entry) map[string]IndicesAt {
	entries := make([]*entry.Standing, len(stay))
	for i, e := range stay {
		entries[i] = &entry.Standing{Entry: e}
	}
	slices.SortStableFunc(entries, entry.InOrder)
	r := &reading{p: p, own: map[string][]*entry.Standing{}, carrying: few[*entry.Standing]{}}
	out := map[string]IndicesAt{}
	admitted, left, next := false, false, 0
	for _, e := range observations {
		for ; next < len(entries) && !entries[next].At.After(e.At.Time); next++ {
			switch x := entries[next]; x.Kind {
			case "admission":
				admitted = true
			case "discharge":
				left = admitted // else it is a stray
			case "support":
				r.own[x.Kind] = append(r.own[x.Kind], x)
				r.follow(x)
			case "settings":
				r.carry(x)
			}
		}
		if left {
			break
		}
		if !admitted {
			continue
		}
		r.at, r.own["observations"] = e.At.Time, []*entry.Standing{{Entry: e}}
		if found := r.indicesFact().Value; found != nil {
			out[e.ID] = IndicesAt{*found, r.setBy("fio2Percent", r.at), r.setBy("pressureCmH2O", r.at)}
		}
	}
	return out
}

// setBy is the id of the entry that set a field of the current spell.
func (r *reading) setBy(field string, t time.Time) string {
	if e := r.setAt(r.spell, field, t); e != nil {
		return e.ID
	}
	return ""
}
