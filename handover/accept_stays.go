package handover

import (
	"slices"
	"time"
)

// forever is a moment after every charted one.
var forever = time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC)

// stays refuses what happened to an infant who was not admitted then. It is
// judged on the record with the whole file in it, in the order of moments. What
// a correction or a retraction leaves without its start is no fault of the
// entry: it is taken if it fits the record with or without them.
func (a *acceptance) stays(fresh []*Entry) {
	touched := map[string][]*Entry{}
	var keys []string
	for _, e := range fresh {
		if e.Infant != "" && !e.amends() {
			if touched[e.Infant] == nil {
				keys = append(keys, e.Infant)
			}
			touched[e.Infant] = append(touched[e.Infant], e)
		}
	}
	slices.Sort(keys)
	amendments := map[string][]*Entry{}
	for _, e := range fresh {
		if e.amends() {
			amendments[e.Infant] = append(amendments[e.Infant], e)
		}
	}
	for _, key := range keys {
		all := slices.Concat(a.held.Infant(key), touched[key], amendments[key])
		amended := standingOf(all, key)
		plain := standingOf(slices.DeleteFunc(slices.Clone(all), (*Entry).amends), key)
		for _, e := range touched[key] {
			code, told := plain.fault(e)
			if code != "" {
				code, told = amended.fault(e)
			}
			if code != "" {
				a.add(e, "at", code, e.At.Text, told)
			}
		}
	}
	for key, list := range amendments {
		if touched[key] == nil && key != "" && len(a.held.Infant(key)) == 0 {
			a.add(list[0], "infant", CodeNotAdmitted, key, "an infant of this record")
		}
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
	for _, r := range Replay(entries, forever).Infants {
		if r.Infant == infant {
			s.stays, s.strays = staysOf(r.Entries)
			for _, e := range r.Entries {
				s.byID[e.ID] = e
			}
		}
	}
	return s
}

// fault says what is wrong with an entry's place among the stays.
func (s *standing) fault(e *Entry) (Code, string) {
	as := s.byID[e.ID]
	if as == nil {
		return "", "" // retracted: it counts for nothing
	}
	if slices.Contains(s.strays, as) {
		if e.Kind == "admission" {
			return CodeAlreadyAdmitted, "an admission after a discharge: the infant is admitted already"
		}
		return CodeNotAdmitted, "an infant who is admitted then"
	}
	for _, stay := range s.stays {
		if stay.holds(as) && !(stay.first && as.At.Before(bornAt(stay.Admission))) {
			return "", ""
		}
	}
	switch {
	case len(s.stays) == 0:
		return CodeNotAdmitted, "an infant who was admitted; this one never was"
	case as.At.Before(bornAt(s.stays[0].Admission)):
		return CodeNotAdmitted, "not before the infant was born"
	}
	return CodeNotAdmitted, "an infant who is admitted then; this one was between stays or has left"
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
