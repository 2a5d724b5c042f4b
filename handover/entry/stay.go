package entry

import (
	"slices"
	"time"
)

// Stay is admission to discharge. It takes in entries since birth or, for a
// later one, since the discharge before it.
type Stay struct {
	Admission *Standing
	Discharge *Standing // nil while it lasts
	after     time.Time // entries after this moment belong to it; zero for the first
	First     bool      // it takes in what was charted since birth
}

// Holds says whether an entry belongs to the stay: what happens at the very
// moment of a discharge belongs to the stay it ends, but for the admission of
// the next.
func (s *Stay) Holds(e *Standing) bool {
	if !s.First && !e.At.After(s.after) {
		return e == s.Admission
	}
	return s.Discharge == nil || !e.At.After(s.Discharge.At.Time)
}

// StaysOf finds the stays of a record in order. A second admission without a
// discharge, and a discharge without an admission, are returned as strays.
func StaysOf(entries []*Standing) (stays []*Stay, strays []*Standing) {
	var open *Stay
	for _, e := range entries {
		switch e.Kind {
		case "admission":
			if open != nil {
				strays = append(strays, e)
				continue
			}
			open = &Stay{Admission: e, First: len(stays) == 0}
			if !open.First {
				open.after = stays[len(stays)-1].Discharge.At.Time
			}
			stays = append(stays, open)
		case "discharge":
			if open == nil {
				strays = append(strays, e)
				continue
			}
			open.Discharge = e
			open = nil
		}
	}
	return stays, strays
}

// UpTo are the entries that happened up to and including a moment.
func UpTo(entries []*Standing, at time.Time) []*Standing {
	n, _ := slices.BinarySearchFunc(entries, at, func(e *Standing, at time.Time) int {
		if e.At.After(at) {
			return 1
		}
		return -1
	})
	return entries[:n]
}

// Stays are the infant's stays as they stand at a moment, in order.
func (r *Record) Stays(at time.Time) []*Stay {
	stays, _ := StaysOf(UpTo(r.Entries, at))
	return stays
}

// Admitted is the stay that the infant is in at a moment, nil when in none.
func (r *Record) Admitted(at time.Time) *Stay {
	stays := r.Stays(at)
	if len(stays) == 0 || stays[len(stays)-1].Discharge != nil {
		return nil
	}
	return stays[len(stays)-1]
}

// Of are the entries of the stay that happened up to at, in the record's order.
func (r *Record) Of(s *Stay, at time.Time) []*Standing {
	var out []*Standing
	for _, e := range UpTo(r.Entries, at) {
		if s.Holds(e) {
			out = append(out, e)
		}
	}
	return out
}
