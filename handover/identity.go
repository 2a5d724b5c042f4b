package handover

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"

	"cotline/handover/entry"
)

// identified is the latest entry of the record that charted a field of identity.
func (r *reading) identified(field string) *entry.Standing {
	return r.identifiedBy(having(field))
}

// identifiedBy is the latest entry of identity that passes.
func (r *reading) identifiedBy(pass func(*entry.Standing) bool) *entry.Standing {
	admitted, told := latest(r.kinds["admission"], pass), latest(r.kinds["identity"], pass)
	if admitted == nil || told != nil && entry.InOrder(told, admitted) > 0 {
		return told
	}
	return admitted
}

func (r *reading) identity(field string) string {
	if e := r.identified(field); e != nil {
		return e.Text(field)
	}
	return ""
}

// restricted says that no name of the infant is shown anywhere.
func (r *reading) restricted() bool {
	e := r.identified("restricted")
	return e != nil && e.Flag("restricted")
}

// born is the birth date: the civil day in the unit's zone.
func (r *reading) born() entry.Date {
	text := r.identity("born")
	if m, err := entry.ParseMoment(text); err == nil {
		return r.day(m.Time)
	}
	d, _ := entry.ParseDate(text)
	return d
}

// bornMoment is the moment of birth, or the start of the birth date.
func (r *reading) bornMoment() time.Time {
	if m, err := entry.ParseMoment(r.identity("born")); err == nil {
		return m.Time
	}
	return r.born().Start(r.p.Zone)
}

// gestation in days, and whether its days are known.
func (r *reading) gestation() (days int, exact, ok bool) {
	weeks, odd, dotted := strings.Cut(r.identity("gestation"), "+")
	if weeks == "" {
		return 0, false, false
	}
	w, _ := strconv.Atoi(weeks)
	d, _ := strconv.Atoi(odd)
	return 7*w + d, dotted, true
}

// ageFact is by the terms of the AAP (Engle, Pediatrics 2004;114:1362): day of
// life counts the day of birth as 0.
func (r *reading) ageFact() Age {
	f := Age{Gestation: r.identity("gestation"), DayOfLife: r.today().Sub(r.born())}
	days, exact, ok := r.gestation()
	if !ok {
		return f
	}
	if !exact {
		f.About = true
		f.Postmenstrual = strconv.Itoa(days/7 + f.DayOfLife/7)
		return f
	}
	days += f.DayOfLife
	f.Postmenstrual = fmt.Sprintf("%d+%d", days/7, days%7)
	return f
}

// formerly is the name before the latest change of a name, for 7 days of 24 h.
func (r *reading) formerly() string {
	var family, given, former string
	var changed time.Time
	said := slices.Concat(r.kinds["admission"], r.kinds["identity"])
	slices.SortFunc(said, entry.InOrder)
	for _, e := range said {
		f, g := family, given
		if e.Has("family") {
			f = e.Text("family")
		}
		if e.Has("given") {
			g = e.Text("given")
		}
		if (family != "" || given != "") && (f != family || g != given) {
			former, changed = strings.TrimSpace(given+" "+family), e.At.Time
		}
		family, given = f, g
	}
	if former == "" || r.at.Sub(changed) >= 7*24*time.Hour {
		return ""
	}
	return former
}

// cotEntry is what put the infant in the present cot.
func (r *reading) cotEntry() *entry.Standing {
	if e := latest(r.own["move"], always); e != nil && entry.InOrder(e, r.stay.Admission) > 0 {
		return e
	}
	return r.stay.Admission
}

// visit is the hospital's number of this stay.
func (r *reading) visit() string {
	own := func(e *entry.Standing) bool { return e.Has("visit") && r.stay.Holds(e) }
	if e := r.identifiedBy(own); e != nil {
		return e.Text("visit")
	}
	return ""
}

// who is who an infant is, and where.
func (r *reading) who() *Summary {
	s := &Summary{
		Infant: r.record.Infant, Cot: r.cotEntry().Text("cot"), MRN: r.identity("mrn"),
		Sex: r.identity("sex"), Mother: r.identity("mother"), Visit: r.visit(),
		BirthOrder: r.identity("birthOrder"), Multiples: r.identity("multiples"), Since: r.since,
	}
	if s.MRN == "" {
		s.Temporary = r.identity("temporary")
	}
	if r.restricted() {
		s.Restricted = true
	} else {
		s.Family, s.Given, s.Formerly = r.identity("family"), r.identity("given"), r.formerly()
	}
	return s
}

func (r *reading) left() Left {
	d := r.stay.Discharge
	l := Left{Infant: r.record.Infant, Cot: r.cotEntry().Text("cot"), MRN: r.identity("mrn"),
		To: d.Text("to"), Place: d.Text("place"), Source: r.source(d)}
	if l.MRN == "" {
		l.Temporary = r.identity("temporary")
	}
	if r.restricted() {
		l.Restricted = true
	} else {
		l.Family, l.Given = r.identity("family"), r.identity("given")
	}
	return l
}
