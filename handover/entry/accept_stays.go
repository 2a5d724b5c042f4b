package entry

import (
	"maps"
	"slices"
	"time"
)

// Forever is a moment after every charted one.
var Forever = time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC)

// stays refuses what happened to an infant who was not admitted then. It is
// judged on the record with the whole file in it, in the order of moments. What
// a correction or a retraction leaves without its start is no fault of the
// entry: it is taken if it fits the record with or without them.
func (a *acceptance) stays(fresh []*Entry) {
	offered := map[string][]*Entry{}
	for _, e := range fresh {
		if e.Infant != "" {
			offered[e.Infant] = append(offered[e.Infant], e)
		}
	}
	for _, key := range slices.Sorted(maps.Keys(offered)) {
		// What is charted of a stay counts only where a stay may begin or end elsewhere.
		held := a.held.Stays
		if slices.ContainsFunc(offered[key], func(e *Entry) bool {
			return e.Amends() || e.Kind == "admission" || e.Kind == "discharge"
		}) {
			held = a.held.Infant
		}
		a.stay(held(key), offered[key], key)
	}
}

func (a *acceptance) stay(held, fresh []*Entry, infant string) {
	all := slices.Concat(held, fresh)
	originals := slices.DeleteFunc(slices.Clone(all), (*Entry).Amends)
	with, without := standingOf(all, infant), standingOf(originals, infant)
	fault := func(e *Entry) (Code, string) {
		if code, _ := without.fault(e); code == "" {
			return "", ""
		}
		return with.fault(e)
	}
	var bounds []*Entry // admissions and discharges that are offered
	for _, e := range fresh {
		switch {
		case e.Kind == "correction":
			a.correctedStay(e, originals, with, infant)
			continue
		case e.Amends():
			continue
		case e.Kind == "admission", e.Kind == "discharge":
			bounds = append(bounds, e)
		}
		if code, told := fault(e); code != "" {
			a.add(e, "at", code, e.At.Text, told)
			a.issues[len(a.issues)-1].Nobody = code == CodeNotAdmitted && len(with.stays) == 0
		}
	}
	if len(bounds) == 0 {
		return
	}
	// A stay that begins or ends elsewhere must not push out what is held.
	slices.SortStableFunc(bounds, Order)
	before := standingOf(held, infant)
	blamed := map[*Entry]bool{}
	for _, e := range held {
		if e.Amends() || before.out(e) {
			continue
		}
		code, _ := fault(e)
		if code == "" {
			continue
		}
		by := bounds[0]
		for _, b := range bounds {
			if Order(b, e) < 0 {
				by = b
			}
		}
		if !blamed[by] {
			blamed[by] = true
			a.add(by, "at", code, by.At.Text, "a moment that leaves what is charted in its stay: entry "+e.ID+" at "+e.At.Text+
				" would be outside; retract it, or correct the moment")
		}
	}
}

// correctedStay refuses a correction that moves its entry out of every stay.
func (a *acceptance) correctedStay(c *Entry, originals []*Entry, with *standing, infant string) {
	of := a.find(c.Reference("of"))
	if of == nil || of.Kind != c.Corrected.Kind || of.Infant != infant {
		return // told by references
	}
	alone := standingOf(append(slices.Clone(originals), c), infant)
	if code, told := alone.fault(of); code != "" && with.out(of) {
		a.add(c, "entry.at", code, c.Corrected.At.Text, told)
	}
}

// standing is one reading of an infant's whole record.
type standing struct {
	stays  []*Stay
	strays []*Standing
	byID   map[string]*Standing
}

func standingOf(entries []*Entry, infant string) *standing {
	s := &standing{byID: map[string]*Standing{}}
	for _, r := range Replay(entries, Forever).Infants {
		if r.Infant == infant {
			s.stays, s.strays = StaysOf(r.Entries)
			for _, e := range r.Entries {
				s.byID[e.ID] = e
			}
		}
	}
	return s
}

// out says whether an entry stands outside every stay.
func (s *standing) out(e *Entry) bool {
	code, _ := s.fault(e)
	return code != ""
}

// fault says what is wrong with an entry's place among the stays.
func (s *standing) fault(e *Entry) (Code, string) {
	as := s.byID[e.ID]
	if as == nil {
		return "", "" // retracted: it counts for nothing
	}
	if slices.Contains(s.strays, as) {
		if e.Kind == "admission" {
			return CodeAlreadyAdmitted, "an admission after a discharge: " + e.Infant + " is admitted already"
		}
		return CodeNotAdmitted, "an infant who is admitted then; " + e.Infant + " is not"
	}
	for _, stay := range s.stays {
		if stay.Holds(as) && !(stay.First && as.At.Before(bornAt(stay.Admission))) {
			return "", ""
		}
	}
	switch {
	case len(s.stays) == 0:
		return CodeNotAdmitted, "an infant who was admitted; " + e.Infant + " never was"
	case as.At.Before(bornAt(s.stays[0].Admission)):
		return CodeNotAdmitted, "not before " + e.Infant + " was born"
	}
	return CodeNotAdmitted, "an infant who is admitted then; " + e.Infant + " was between stays or has left"
}

// bornAt is the earliest moment at which an infant with that admission can have
// been born: a birth date without a time may be any hour of it, anywhere.
func bornAt(admission *Standing) time.Time {
	born := admission.Text("born")
	if m, err := ParseMoment(born); err == nil {
		return m.Time
	}
	d, _ := ParseDate(born)
	return d.utc().Add(-14 * time.Hour)
}
