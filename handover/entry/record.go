package entry

import (
	"cmp"
	"slices"
	"time"
)

// Standing is an entry as it stands in a reading: with the content of the
// correction that holds, under the original's id.
type Standing struct {
	*Entry            // original id, infant, by and charted; At and Fields as they stand
	Correction *Entry // nil: never corrected
}

// Record is one infant's entries (or the unit's own, with an empty Infant) as
// they stand in a reading, in the record's order. Nothing is removed: what was
// withdrawn stays readable in Withdrawn.
type Record struct {
	Infant    string
	Entries   []*Standing
	Withdrawn []*Entry // retracted originals, in order
}

// Records holds a whole ward.
type Records struct {
	Infants []*Record // by infant's key
	Unit    *Record
}

// Replay folds entries, in any order, into what had been written down by known:
// corrections and retractions known by then are applied. It keeps no reference
// to a clock; an entry without Charted must have been stamped. One that is given
// twice counts once.
func Replay(entries []*Entry, known time.Time) *Records {
	amended := amendmentsIn(entries, known)
	records := map[string]*Record{"": {}}
	r := records[""]
	room := make([]Standing, 0, len(entries))
	for _, e := range entries {
		if e.Amends() || e.Charted.After(known) {
			continue
		}
		if r == nil || r.Infant != e.Infant { // those of one infant mostly follow each other
			r = records[e.Infant]
		}
		if r == nil {
			r = &Record{Infant: e.Infant}
			records[e.Infant] = r
		}
		by := amended[e.ID]
		if by.retracted {
			r.Withdrawn = append(r.Withdrawn, e)
			continue
		}
		room = append(room, stand(e.clean(), by.correction)) // an entry of before that rule, too
		r.Entries = append(r.Entries, &room[len(room)-1])
	}
	out := &Records{Unit: records[""]}
	for key, r := range records {
		slices.SortFunc(r.Entries, InOrder)
		slices.SortFunc(r.Withdrawn, Order)
		r.Entries = slices.CompactFunc(r.Entries, func(a, b *Standing) bool { return a.At.Equal(b.At.Time) && a.ID == b.ID })
		r.Withdrawn = slices.CompactFunc(r.Withdrawn, func(a, b *Entry) bool { return a.ID == b.ID })
		if key != "" {
			out.Infants = append(out.Infants, r)
		}
	}
	slices.SortFunc(out.Infants, func(a, b *Record) int { return cmp.Compare(a.Infant, b.Infant) })
	return out
}

// amendment is what became of an entry.
type amendment struct {
	retracted  bool
	correction *Entry // the one that holds; nil: none
}

// amendmentsIn are what became of entries, by the original's id; nil, into which it is
// cheap to look, where nothing did.
func amendmentsIn(entries []*Entry, known time.Time) map[string]amendment {
	var amending []*Entry
	for _, e := range entries {
		if e.Amends() && !e.Charted.After(known) {
			amending = append(amending, e)
		}
	}
	if amending == nil {
		return nil
	}
	amended := make(map[string]amendment, len(amending))
	for _, e := range amending {
		if e.Kind == "retraction" {
			amended[e.Reference("of")] = amendment{retracted: true}
		}
	}
	for _, e := range amending {
		if e.Corrected == nil {
			continue
		}
		of := e.Reference("of")
		by := amended[of]
		if !amended[e.ID].retracted && (by.correction == nil || later(e, by.correction)) {
			by.correction = e
			amended[of] = by
		}
	}
	return amended
}

// later says which of two corrections holds: the latest charted, then the
// greater id.
func later(a, b *Entry) bool {
	if c := a.Charted.Compare(b.Charted.Time); c != 0 {
		return c > 0
	}
	return a.ID > b.ID
}

func stand(e, correction *Entry) Standing {
	if correction == nil {
		return Standing{Entry: e}
	}
	as := *e
	as.At = correction.Corrected.At
	as.Fields = correction.Corrected.clean().Fields
	return Standing{Entry: &as, Correction: correction}
}

// InOrder compares entries by the record's order, each as it stands.
func InOrder(a, b *Standing) int { return Order(a.Entry, b.Entry) }

// Order compares entries by the record's order, each as it was charted: the moment;
// at one moment, what ends before what begins; then when the original was charted;
// then its id.
func Order(a, b *Entry) int {
	if c := a.At.Compare(b.At.Time); c != 0 {
		return c
	}
	if a.ends() != b.ends() {
		if a.ends() {
			return -1
		}
		return 1
	}
	if c := a.Charted.Compare(b.Charted.Time); c != 0 {
		return c
	}
	return cmp.Compare(a.ID, b.ID)
}

// ends says whether an entry ends something.
func (e *Entry) ends() bool {
	switch e.Kind {
	case "discharge":
		return true
	case "support":
		return e.Text("state") == "stopped"
	case "interface":
		return e.Text("type") == "off"
	case "tube":
		return e.Text("action") == "removed" || e.Text("action") == "none"
	case "bonnet":
		return e.Text("action") != "fitted" && e.Text("action") != "found"
	case "circuit":
		return e.Text("action") != "fitted"
	case "humidifier":
		return e.Text("state") == "off"
	}
	return false
}

// Of is one infant's record, empty where there is none.
func (r *Records) Of(key string) *Record {
	for _, one := range r.Infants {
		if one.Infant == key {
			return one
		}
	}
	return &Record{Infant: key}
}
