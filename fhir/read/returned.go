package read

import (
	"slices"
	"strings"
	"time"

	"github.com/google/uuid"

	"cotline/fhir/internal/r4"
	"cotline/handover/entry"
)

// A resource that was sent from here may come back changed: a weight amended, a status
// entered-in-error. The record is not changed by that, and nobody may miss it. So it is
// held against what was sent, which is computed from the record as it was then and as it
// is now: what stands in either is as it was sent. All else is told, element by element,
// and a nurse says which of it is charted.

// compared are the types that come of entries and are held against them. What is due and
// what to mind are computed anew, and told again as they are.
var compared = map[string]bool{"Observation": true, "DeviceUseStatement": true, "Device": true, "Task": true, "Encounter": true}

// sentOf are the resources that were sent of an infant, as known at a moment, by our
// identifier of each and by its id.
func (d *reader) sentOf(infant string, known time.Time) map[string]*r4.Part {
	at := sending{infant, known.UnixNano()}
	if found, ok := d.sent[at]; ok {
		return found
	}
	if d.computed[infant]++; d.computed[infant] > mostVersions {
		return nil
	}
	found := map[string]*r4.Part{}
	for _, text := range d.Sent(infant, d.Held.Infant(infant), known) {
		n, err := r4.Scan(text, r4.Scanning{})
		if err != nil {
			continue // it was made by this program
		}
		found[n.Text("resourceType")+"/"+n.Text("id")] = n
		if value := d.ownValue(n); value != "" {
			found[value] = n
		}
	}
	d.sent[at] = found
	return found
}

// mostVersions bounds how often what was sent of an infant is computed: what a file
// says was issued at more moments is told as changed.
const mostVersions = 200

// ownValue is our identifier of a resource, by the policy's base.
func (d *reader) ownValue(n *r4.Part) string {
	for _, id := range identifiers(n) {
		if base, own := strings.CutSuffix(id.Text("system"), r4.OwnIDPath); own && base == d.Policy.FHIR.Base {
			return id.Text("value")
		}
	}
	return ""
}

// returned is a resource that was sent from here.
type returned struct {
	*offered
	value  string       // our identifier of it
	entry  *entry.Entry // that it comes of; nil: of several
	infant string
	was    *r4.Part // as it is sent now; nil: it was withdrawn
}

// back holds a resource of ours against what was sent.
func (d *reader) back(o *offered) {
	if d.Sent == nil || !compared[o.kind] {
		return
	}
	r := &returned{offered: o, value: d.ownValue(o.Part)}
	if d.traced(r) {
		d.backAs(r)
	}
}

func (d *reader) backAs(r *returned) {
	o := r.offered
	d.came[r.value], d.came[o.Text("id")] = true, true
	if r.entry != nil {
		d.came[r.entry.ID] = true
	}
	versions := []time.Time{d.Now}
	if r.entry != nil {
		if amended := d.amendments(r.infant)[r.entry.ID]; len(amended) > 0 {
			versions = append(versions, r.entry.Charted.Time)
			for _, a := range amended {
				versions = append(versions, a.Charted.Time)
			}
		}
	}
	for _, path := range []string{"issued", "recordedOn", "lastModified"} {
		if m, err := entry.ParseMoment(o.Text(path)); err == nil {
			versions = append(versions, m.Time)
		}
	}
	for n, known := range versions {
		was := d.sentOf(r.infant, known)[r.value]
		if n == 0 {
			r.was = was
		}
		if was == nil && isOff[o.Text("status")] || was != nil && len(differences(o.kind, o.Part, was)) == 0 && d.sameInfant(r) {
			return
		}
	}
	if r.was == nil && (r.entry == nil || !d.ever(r)) {
		return // of a document, or of what is computed anew
	}
	d.changed(r)
}

// sentByID holds a resource that has lost our identifier against what was sent, if it is
// one of ours by its id.
func (d *reader) sentByID(o *offered) bool {
	r := &returned{offered: o}
	if d.Sent == nil || !compared[o.kind] || !d.traced(r) {
		return false
	}
	d.backAs(r)
	return true
}

// traced finds whose a resource is, by the entry that its identifier names, by its
// subject, or by its id.
func (d *reader) traced(r *returned) bool {
	of, _, _ := strings.Cut(r.value, ".")
	if e := d.Held.Entry(strings.ToLower(of)); e != nil && r.value != "" {
		r.entry, r.infant = e, e.Infant
		return e.Infant != ""
	}
	number, _ := d.subject(r.offered)
	r.infant = d.byNumber[number]
	if r.infant == "" {
		return false
	}
	if r.value != "" {
		return true
	}
	if id, err := uuid.Parse(r.Text("id")); err != nil || id.Version() != 5 {
		return false
	}
	found := d.sentOf(r.infant, d.Now)[r.kind+"/"+r.Text("id")]
	if found == nil {
		return false
	}
	r.value = d.ownValue(found)
	of, _, _ = strings.Cut(r.value, ".")
	r.entry = d.Held.Entry(of)
	return true
}

// ever says whether the resource was ever sent: by what was known when its entry, or
// what amends it, was charted.
func (d *reader) ever(r *returned) bool {
	all := append([]*entry.Entry{r.entry}, d.amendments(r.infant)[r.entry.ID]...)
	return slices.ContainsFunc(all, func(e *entry.Entry) bool { return d.sentOf(r.infant, e.Charted.Time)[r.value] != nil })
}

// sameInfant says whether a resource is of the infant of whom it was sent, where it says
// a hospital number.
func (d *reader) sameInfant(r *returned) bool {
	number, why := d.subject(r.offered)
	if number == "" {
		return why != twoNumbers
	}
	k := d.infants[r.infant]
	return k == nil || slices.Contains(k.numbers, number)
}

// changed tells in what a resource differs, and charts it where somebody named it.
func (d *reader) changed(r *returned) {
	var all []difference
	if r.was == nil {
		all = []difference{{path: "status", was: "withdrawn", is: told(r.At("status"))}}
	} else {
		all = differences(r.kind, r.Part, r.was)
	}
	if !d.sameInfant(r) {
		all = append(all, difference{path: "subject", was: r.infant, is: "another hospital number"})
	}
	said := ""
	for _, x := range all {
		said += x.path + "=" + keyOf(x.now) + x.is + "\n"
	}
	if d.told[r.value+"\n"+said] {
		return // it stands in several parts
	}
	d.told[r.value+"\n"+said] = true
	how := "chart it by hand, or leave it"
	if d.mayBeCharted(r, all) {
		if how = "--amended " + r.value + " charts it"; d.asked(r) {
			d.amendAs(r, all)
			all = slices.DeleteFunc(all, func(x difference) bool { return !x.beside })
			how = "chart it by hand, or leave it"
		}
	} else if d.asked(r) {
		d.issue(r.ordinal, all[0].path, entry.CodeChanged, all[0].is, "a number, its moment or entered-in-error: chart it by hand")
		return
	}
	for _, x := range all {
		d.read.Changed = append(d.read.Changed, entry.Issue{Line: r.ordinal, Path: x.path, Code: entry.CodeChanged, Found: x.is,
			Allowed: x.was + " was sent" + d.named(r) + ": " + how})
	}
}

// named says which resource it is: what of which infant, and from when.
func (d *reader) named(r *returned) string {
	what := r.kind
	if r.was != nil && r.kind == "Observation" {
		what = r.was.At("code").Text("text")
	}
	out := " as " + what + " of " + r.infant
	if r.entry != nil {
		out += ", " + r.entry.At.Text
	}
	return out
}

// asked says whether somebody named a resource: by our identifier of it, by its id, or
// by its entry's.
func (d *reader) asked(r *returned) bool {
	return slices.ContainsFunc(d.Amended, func(name string) bool {
		return name == r.value || name == r.Text("id") || r.entry != nil && name == r.entry.ID
	})
}

// unmetAmended refuses an offer that lacks a resource that somebody named.
func (d *reader) unmetAmended() {
	for _, name := range d.Amended {
		if !d.came[name] {
			d.read.Issues = append(d.read.Issues, entry.Issue{Path: "--amended", Code: entry.CodeReference, Found: shown(name),
				Allowed: "the identifier of a resource in the files that was sent from this record"})
		}
	}
}
