package read

import (
	"maps"
	"slices"
	"strings"

	"github.com/google/uuid"

	"cotline/fhir/internal/r4"
	"cotline/handover/entry"
)

// What came back changed is charted where a nurse names it, as her correction of the
// entry that it comes of: a number, the moment, or that it was entered in error.

// fieldOf is the field of an entry that a resource alone says; empty: none.
func (r *returned) fieldOf(d *reader) string {
	_, role, _ := strings.Cut(r.value, ".")
	if stands := d.standing(r.entry); stands != nil {
		if _, ok := stands.Number(role); ok {
			return role
		}
	}
	return ""
}

// standing is an entry as it stands, nil where it was retracted.
func (d *reader) standing(e *entry.Entry) *entry.Standing {
	if e == nil {
		return nil
	}
	return (&history{all: append([]*entry.Entry{e}, d.amendments(e.Infant)[e.ID]...)}).stands()
}

// alone says whether an entry yields this Observation and no other.
func (d *reader) alone(r *returned) bool {
	for name, n := range d.sentOf(r.infant, d.Now) {
		if name != r.value && n.Text("resourceType") == "Observation" && strings.HasPrefix(name, r.entry.ID+".") &&
			!strings.HasPrefix(name, r.entry.ID+".index.") {
			return false
		}
	}
	return true
}

// mayBeCharted says whether an entry can say what came back.
func (d *reader) mayBeCharted(r *returned, all []difference) bool {
	stands := d.standing(r.entry)
	says := slices.ContainsFunc(all, func(x difference) bool { return !x.beside })
	if r.kind != "Observation" || r.was == nil || stands == nil || !says {
		return false
	}
	for _, x := range all {
		ok := x.beside
		switch x.path {
		case "status":
			ok = x.is == r4.InError && (r.fieldOf(d) != "" || d.alone(r))
		case "valueQuantity":
			_, was := inGrams(r.was.At(x.path))
			value, unit := "", ""
			if x.now.At("value") != nil {
				value, unit = inGrams(x.now)
			}
			ok = r.fieldOf(d) != "" && r4.IsDecimal(value) && unit == was && x.now.At("comparator") == nil
		case "effectiveDateTime":
			_, err := entry.ParseMoment(r.Text(x.path))
			ok = err == nil && keyOf(r.was.At(x.path)) == stands.At.UTC().String() &&
				(d.alone(r) || slices.Contains(d.Amended, r.entry.ID)) // it moves all that the entry says
		}
		if !ok {
			return false
		}
	}
	return true
}

// amendAs keeps what is to be charted of an entry.
func (d *reader) amendAs(r *returned, all []difference) {
	if d.By == "" {
		d.unsigned(r.offered)
		return
	}
	a := d.amends[r.entry.ID]
	if a == nil {
		a = &toAmend{ordinal: r.ordinal, o: r.offered, numbers: map[string]string{}}
		d.amends[r.entry.ID] = a
	}
	field := r.fieldOf(d)
	refuse := func(path string) {
		d.issue(r.ordinal, path, entry.CodeIDConflict, "", "one version of each resource that --amended names")
	}
	for _, x := range all {
		switch x.path {
		case "status":
			if was, twice := a.numbers[field]; twice && was != "" {
				refuse(x.path)
			}
			a.numbers[field] = ""
		case "valueQuantity":
			value, _ := inGrams(x.now)
			if was, twice := a.numbers[field]; twice && was != value {
				refuse(x.path)
			}
			a.numbers[field] = value
		case "effectiveDateTime":
			m, _ := entry.ParseMoment(x.now.Value)
			if was, err := entry.ParseMoment(a.at); err == nil && !was.Equal(m.Time) {
				refuse(x.path)
			}
			a.at = m.Text
		}
	}
}

// chartAmended charts what was named, a correction or a retraction an entry.
func (d *reader) chartAmended() {
	for _, id := range slices.Sorted(maps.Keys(d.amends)) {
		a, stands := d.amends[id], d.standing(d.Held.Entry(id))
		fields := []entry.Field{
			entry.TextField("infant", stands.Infant),
			entry.TextField("kind", "correction"),
			entry.TextField("at", stands.At.Text),
			entry.TextField("by", d.By),
		}
		var rest []entry.Field
		for _, f := range stands.Fields {
			if value, named := a.numbers[f.Name]; named {
				f.Value.Text = value
			}
			if f.Value.Text != "" || f.Value.Type != entry.NumberValue {
				rest = append(rest, f)
			}
		}
		if _, whole := a.numbers[""]; whole || len(rest) == 0 {
			fields[1] = entry.TextField("kind", "retraction")
			d.offerAmended(
				a,
				append(fields, entry.TextField("of", id), entry.TextField("reason", "entered in error, says the receiver")),
				r4.MustIDOfEntry(id, "retraction"),
			)
			continue
		}
		at := stands.At.Text
		if a.at != "" {
			at = a.at
		}
		said := entry.Value{
			Type:   entry.ObjectValue,
			Fields: append([]entry.Field{entry.TextField("kind", stands.Kind), entry.TextField("at", at)}, rest...),
		}
		from := id
		if stands.Correction != nil {
			from = stands.Correction.ID
		}
		d.offerAmended(a, append(fields, entry.TextField("of", id), entry.TextField("reason", "changed by the receiver"),
			entry.Field{Name: "entry", Value: said}),
			r4.NamedID(uuid.MustParse(from), "amended\n"+string(said.AppendJSON(nil))).String())
	}
}

func (d *reader) offerAmended(a *toAmend, fields []entry.Field, id string) {
	if e := d.entry(a.o, append([]entry.Field{entry.TextField("id", id)}, fields...)); e != nil {
		d.read.Entries = append(d.read.Entries, e)
	}
}
