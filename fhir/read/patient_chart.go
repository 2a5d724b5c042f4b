package read

import (
	"github.com/google/uuid"

	"cotline/fhir/internal/r4"
	"cotline/handover/entry"
)

// identify charts what a Patient says of an infant, as known from now on. The id
// follows from the infant and from what is said anew: the same again is the same entry.
func (d *reader) identify(o *offered, k *known) {
	if d.By == "" {
		d.unsigned(o)
		return
	}
	d.met[k.key] = true
	differing := d.differing(o, k)
	name := "identity\n" + k.key
	for _, f := range differing {
		name += "\n" + f.Name
		if e := k.says[f.Name]; e != nil {
			name += " " + e.ID
		}
	}
	at := entry.MomentOf(d.Now).Text
	fields := []entry.Field{
		entry.TextField("id", r4.NamedID(r4.IDOfInfant(d.Policy, k.key), name).String()),
		entry.TextField("infant", k.key),
		entry.TextField("kind", "identity"),
		entry.TextField("at", at),
		entry.TextField("by", d.By),
	}
	e := d.entry(o, append(fields, differing...))
	if e == nil {
		return
	}
	d.read.Entries = append(d.read.Entries, e)
	k.charts(&entry.Standing{Entry: e})
	whose(d.byNumber, k.text("mrn"), k.key)
	if _, number, _ := d.whose(o); number != "" {
		stay, _ := d.stay(number)
		d.used[stay] = true
	}
}

// admission charts the infant from the start of the stay that goes on, as the file says
// it.
func (d *reader) admission(o *offered, number string) {
	d.met[d.Admit] = true
	if d.By == "" {
		d.unsigned(o)
		return
	}
	switch k := d.infants[d.Admit]; {
	case k != nil && d.byNumber[number] != d.Admit:
		d.issue(o.ordinal, "", entry.CodeResource, "", "a key that no infant of the record has: "+d.Admit+" is another's")
		return
	case k != nil && d.bornOtherwise(o, k):
		d.bornOf(o, k)
		return
	}
	stay, ok := d.stay(number)
	switch {
	case !ok:
		d.issue(o.ordinal, "", entry.CodeResource, "", "one Encounter in progress of the infant to be admitted")
		return
	case stay == nil:
		d.issue(o.ordinal, "", entry.CodeResource, "", "beside the Patient its Encounter in progress, whose period says since when")
		return
	}
	at := stay.At("period").Text("start")
	if _, err := entry.ParseMoment(at); err != nil {
		d.issue(stay.ordinal, "period.start", entry.CodeFormat, "", "a moment with its offset: since when the infant is here")
		return
	}
	fields := []entry.Field{
		entry.TextField("id", r4.NamedID(uuid.NameSpaceURL, "admission\n"+d.identity(stay, "", number)+"\n"+number).String()),
		entry.TextField("infant", d.Admit),
		entry.TextField("kind", "admission"),
		entry.TextField("at", at),
		entry.TextField("by", d.By),
	}
	says := append(d.says(o, number), entry.TextField("born", born(o)), entry.TextField("cot", d.Cot))
	if n := o.At("multipleBirthInteger"); n != nil {
		says = append(says, entry.Field{Name: "birthOrder", Value: entry.NewNumber(n.Value)})
	}
	for _, f := range says {
		if f.Value.Text != "" {
			fields = append(fields, f)
		}
	}
	d.used[stay] = true
	e := d.entry(o, fields)
	if e == nil {
		return
	}
	d.read.Entries = append(d.read.Entries, e)
	k := d.infants[d.Admit]
	if k == nil {
		k = &known{key: d.Admit, says: map[string]*entry.Standing{}}
		d.infants[d.Admit] = k
	}
	k.charts(&entry.Standing{Entry: e})
	k.admitted = true
	whose(d.byNumber, number, d.Admit)
}

func (d *reader) unsigned(o *offered) {
	d.issue(o.ordinal, "", entry.CodeMissing, "", unsigned)
}

// unmet refuses an offer that lacks the Patient of an infant to be admitted or
// identified.
func (d *reader) unmet() {
	if d.Admit != "" && !d.met[d.Admit] {
		d.read.Issues = append(d.read.Issues, entry.Issue{Path: "--admit", Code: entry.CodeReference, Found: shown(d.Admit),
			Allowed: "one Patient, active, of a hospital number"})
	}
	for _, key := range d.Identify {
		if d.met[key] {
			continue
		}
		found, allowed := key, "a Patient with the hospital number of "+key
		switch k := d.infants[key]; {
		case k == nil:
			found, allowed = shown(key), "the key of an infant of the record"
		case k.text("mrn") == "":
			allowed = "one Patient of the birth and sex of " + key + ", where no other infant without a number is like it; else chart " +
				"the identity by hand"
		}
		d.read.Issues = append(d.read.Issues, entry.Issue{Path: "--identify", Code: entry.CodeReference, Found: found, Allowed: allowed})
	}
}
