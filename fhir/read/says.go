package read

import (
	"slices"
	"strings"
	"time"

	"github.com/google/uuid"

	"cotline/fhir/internal/r4"
	"cotline/handover/entry"
)

// says is what a Patient says of an infant's identity, by the record's fields; empty
// where it says nothing. Absence is never a fact.
func (d *reader) says(o *offered, number string) []entry.Field {
	family, given := nameOf(o)
	sex := o.Text("gender")
	visit := ""
	if stay, ok := d.stay(number); ok && stay != nil {
		for _, id := range stay.List("identifier") {
			if system := d.Policy.FHIR.Identifiers["visit"].System; system != "" && id.Text("system") == system && !past(id) {
				visit = id.Text("value")
			}
		}
	}
	return []entry.Field{
		entry.TextField("mrn", number),
		entry.TextField("family", family),
		entry.TextField("given", given),
		entry.TextField("sex", sex),
		entry.TextField("visit", visit),
	}
}

// differing is what a Patient says otherwise than the record, in the record's order. A
// sex that is unknown says nothing.
func (d *reader) differing(o *offered, k *known) (out []entry.Field) {
	_, number, _ := d.whose(o)
	for _, f := range charted(d.says(o, number)) {
		if v := f.Value.Text; v != "" && v != k.text(f.Name) && !(f.Name == "sex" && v == "unknown") {
			out = append(out, f)
		}
	}
	return out
}

// charted is what is said, as an entry of the kind identity would hold it, if it can
// hold it.
func charted(says []entry.Field) []entry.Field {
	said := slices.DeleteFunc(slices.Clone(says), func(f entry.Field) bool { return f.Value.Text == "" })
	fields := []entry.Field{
		entry.TextField("id", uuid.Nil.String()),
		entry.TextField("infant", "x"),
		entry.TextField("kind", "identity"),
		entry.TextField("at", entry.MomentOf(time.Unix(0, 0).UTC()).Text),
		entry.TextField("by", "x"),
	}
	e, issues := entry.Decode(entry.Value{Type: entry.ObjectValue, Fields: append(fields, said...)})
	if len(issues) > 0 {
		return said
	}
	return e.Fields
}

func names(fields []entry.Field) (out []string) {
	for _, f := range fields {
		out = append(out, f.Name)
	}
	return out
}

// stay is the Encounter in progress of a hospital number, nil without any; two of
// them are none.
func (d *reader) stay(number string) (stay *offered, ok bool) {
	for _, e := range d.stays[number] {
		if stay != nil && d.identity(stay, "", number) != d.identity(e, "", number) {
			return nil, false
		}
		stay = e
	}
	return stay, true
}

// born is the moment of birth where a Patient says it, else the date.
func born(o *offered) string {
	if m := birthTime(o); m != "" {
		return m
	}
	return o.Text("birthDate")
}

func birthTime(o *offered) string {
	for _, x := range o.At("_birthDate").List("extension") {
		if m := x.Text("valueDateTime"); x.Text("url") == r4.BirthTimeURL && m != "" {
			return m
		}
	}
	return ""
}

// bornTwice says whether the day on which the time of birth is written differs from the
// birth date beside it.
func bornTwice(o *offered) bool {
	date, m := o.Text("birthDate"), birthTime(o)
	return date != "" && m != "" && !strings.HasPrefix(m, date)
}

// bornOtherwise says whether a Patient was born on another day than the record has.
func (d *reader) bornOtherwise(o *offered, k *known) bool {
	a, here := d.day(born(o))
	b, there := d.day(k.text("born"))
	return here && there && a != b
}

// day is the civil day, in the unit's zone, of a moment or a date.
func (d *reader) day(s string) (entry.Date, bool) {
	if m, err := entry.ParseMoment(s); err == nil {
		return entry.DateOf(m.Time, d.Policy.Zone), true
	}
	date, err := entry.ParseDate(s)
	return date, err == nil
}

// agrees says whether a Patient can be an infant: born on the same day, at the same
// moment where both give one, and of no other sex or order of birth.
func (d *reader) agrees(o *offered, k *known) bool {
	a, here := d.day(born(o))
	b, there := d.day(k.text("born"))
	if !here || !there || a != b {
		return false
	}
	x, errA := entry.ParseMoment(born(o))
	y, errB := entry.ParseMoment(k.text("born"))
	if errA == nil && errB == nil && !x.Equal(y.Time) {
		return false
	}
	differ := func(said, stands string) bool {
		return said != "" && stands != "" && said != "unknown" && stands != "unknown" && said != stands
	}
	order := ""
	if n := o.At("multipleBirthInteger"); n != nil {
		order = n.Value
	}
	return !differ(o.Text("gender"), k.text("sex")) && !differ(order, k.text("birthOrder"))
}

// nameOf is the name that holds: the official one, else the first that is in use.
func nameOf(o *offered) (family, given string) {
	var found *r4.Part
	for _, n := range o.List("name") {
		switch use := n.Text("use"); {
		case use == "temp" || past(n):
		case use == "official":
			if found.Text("use") != use {
				found = n
			}
		case found == nil && slices.Contains([]string{"", "usual"}, use):
			found = n
		}
	}
	for _, g := range found.List("given") {
		given = strings.TrimSpace(given + " " + g.Value)
	}
	return found.Text("family"), given
}
