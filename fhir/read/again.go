package read

import (
	"cmp"
	"maps"
	"slices"

	"github.com/google/uuid"

	"cotline/fhir/internal/r4"
	"cotline/handover/entry"
)

// A resource that comes again as it was changes nothing. One that its sender amended,
// corrected or withdrew becomes a correction or a retraction of the entry that was
// charted from it. R4 (observation-status) lets a final Observation change in no other
// way, so a final one with another content is refused. What a person of this record
// corrected or retracted stays as that person left it.

func (d *reader) keep(t *statement) { d.heard[t.id] = append(d.heard[t.id], t) }

// observed charts what was told of each thing, in whatever order it came: first what is
// final, then what was amended, by when it was issued, then what was withdrawn.
func (d *reader) observed() {
	rank := func(t *statement) int {
		return map[string]int{r4.Final: 0, r4.InError: 2}[t.status] + map[bool]int{true: 1}[t.status != r4.Final && t.status != r4.InError]
	}
	for _, id := range slices.Sorted(maps.Keys(d.heard)) {
		all := d.heard[id]
		slices.SortStableFunc(all, func(a, b *statement) int {
			if c := rank(a) - rank(b); c != 0 || a.entry == nil {
				return c
			}
			return a.entry.Charted.Compare(b.entry.Charted.Time)
		})
		v := d.history(id)
		for _, t := range all {
			if t.entry == nil {
				d.withdraw(v, t)
			} else {
				d.tell(v, t)
			}
		}
	}
	slices.SortStableFunc(d.read.Entries, func(a, b *entry.Entry) int { return cmp.Compare(a.Line, b.Line) })
}

// history is an entry and what amends it, held and offered.
type history struct {
	all      []*entry.Entry // the original first; empty: nothing was charted
	repeated bool           // the original is offered again, as what is held
	unsure   bool           // one of these very resources amended it: what order they come in says nothing
}

func (d *reader) history(id string) *history {
	v := &history{}
	if e := d.Held.Entry(id); e != nil {
		v.all = append(append(v.all, e), d.amendments(e.Infant)[id]...)
	}
	return v
}

// amendments are an infant's corrections and retractions by the id of the original,
// read once.
func (d *reader) amendments(infant string) map[string][]*entry.Entry {
	if of, ok := d.amended[infant]; ok {
		return of
	}
	of := entry.Amendments(d.Held.Infant(infant))
	d.amended[infant] = of
	return of
}

// stands is the original with the correction that holds; nil where it was retracted.
func (v *history) stands() *entry.Standing {
	for _, r := range entry.Replay(v.all, entry.Forever).Infants {
		for _, e := range r.Entries {
			return e
		}
	}
	return nil
}

// tell charts what one version says.
func (d *reader) tell(v *history, t *statement) {
	if len(v.all) == 0 {
		v.all, v.repeated, v.unsure = append(v.all, t.entry), true, t.status != r4.Final
		d.read.Entries = append(d.read.Entries, t.entry)
		return
	}
	was := v.all[0]
	refuse := func(path, allowed string) { d.issue(t.o.ordinal, path, entry.CodeIDConflict, "", allowed) }
	stands := v.stands()
	issued, ordered := v.issued(stands)
	ordered = ordered && t.entry.Offered
	newer, older := ordered && t.entry.Charted.After(issued.Time), ordered && t.entry.Charted.Before(issued.Time)
	switch {
	case was.Infant != t.infant:
		refuse("subject", "the infant of whom it was charted ("+was.Infant+"): for another, entered-in-error here and a new "+
			"identifier there")
	case stands == nil:
		d.aside(t.o, retracted)
	case alike(t.entry, stands.Entry):
		d.repeat(v, t)
	case !newer && slices.ContainsFunc(v.all, func(e *entry.Entry) bool { return e.Kind != "retraction" && alike(t.entry, e) }):
		d.aside(t.o, asBefore)
	case older:
		d.aside(t.o, issuedBefore)
	case t.status == r4.Final:
		refuse("status", "amended or corrected: a final Observation of that identity is charted with other content")
	case v.byPerson(stands):
		d.aside(t.o, byAPerson)
	case v.unsure && !newer:
		refuse("issued", "which of two versions is the later one")
	default:
		d.correct(v, t, newer)
	}
}

// issued is when the sender issued the version that stands, if it said so.
func (v *history) issued(s *entry.Standing) (m entry.Moment, ok bool) {
	switch {
	case s == nil:
	case s.Correction != nil:
		m, ok = s.Correction.Charted, s.Correction.Offered
	default:
		m, ok = s.Charted, s.Offered
	}
	return m, ok
}

// byPerson says whether what stands is a correction that no sender sent.
func (v *history) byPerson(s *entry.Standing) bool {
	return s.Correction != nil && s.Correction.ID != correctionID(s.Correction, v.all[0].ID)
}

// alike says whether two entries say the same about the same moment: 5.0 and 5 are one
// value, and 09:00+02:00 and 07:00Z one moment.
func alike(a, b *entry.Entry) bool {
	b = b.Says()
	if !a.At.Equal(b.At.Time) || len(a.Fields) != len(b.Fields) {
		return false
	}
	for i, f := range a.Fields {
		x, here := a.Number(f.Name)
		y, there := b.Number(f.Name)
		if f.Name != b.Fields[i].Name || !here || !there || x.Cmp(y) != 0 {
			return false
		}
	}
	return true
}

// repeat offers once more what the record holds, as it holds it, so that it is counted
// as held.
func (d *reader) repeat(v *history, t *statement) {
	if v.repeated {
		return
	}
	v.repeated = true
	as := *v.all[0]
	as.Line = t.o.ordinal
	d.read.Entries = append(d.read.Entries, &as)
}

// correct charts the sender's correction. Where the sender issued it later than what
// stands, its charted is when it was issued: of several corrections the one charted
// last holds.
func (d *reader) correct(v *history, t *statement, newer bool) {
	e := t.entry
	fields := []entry.Field{
		entry.TextField("infant", e.Infant),
		entry.TextField("kind", "correction"),
		entry.TextField("at", e.At.Text),
		entry.TextField("by", e.By),
	}
	if newer {
		fields = append(fields, entry.TextField("charted", e.Charted.Text))
	}
	as := []entry.Field{entry.TextField("kind", e.Kind), entry.TextField("at", e.At.Text)}
	fields = append(fields, entry.TextField("of", v.all[0].ID), entry.TextField("reason", t.status+" by the sender"),
		entry.Field{Name: "entry", Value: entry.Value{Type: entry.ObjectValue, Fields: append(as, e.Fields...)}})
	d.amend(v, t, fields, func(c *entry.Entry) string { return correctionID(c, v.all[0].ID) })
}

// withdraw retracts what was entered in error.
func (d *reader) withdraw(v *history, t *statement) {
	switch {
	case len(v.all) == 0:
		d.aside(t.o, neverCharted)
		return
	case t.infant != "" && t.infant != v.all[0].Infant:
		d.issue(t.o.ordinal, "subject", entry.CodeIDConflict, "", "the infant of whom it was charted ("+v.all[0].Infant+")")
		return
	}
	was, stands := v.all[0], v.stands()
	switch {
	case stands == nil:
		d.aside(t.o, retractedToo)
		return
	case v.byPerson(stands):
		d.aside(t.o, byAPerson)
		return
	}
	fields := []entry.Field{
		entry.TextField("infant", was.Infant),
		entry.TextField("kind", "retraction"),
		entry.TextField("at", was.At.Text),
		entry.TextField("by", d.By),
		entry.TextField("of", was.ID),
		entry.TextField("reason", "entered in error, says the sender"),
	}
	since, known := v.issued(stands)
	if m, err := entry.ParseMoment(t.o.Text("issued")); err == nil && known && m.After(since.Time) {
		fields = append(fields, entry.TextField("charted", m.Text))
	}
	d.amend(v, t, fields, func(*entry.Entry) string { return r4.MustIDOfEntry(was.ID, "retraction") })
}

// amend offers a correction or a retraction under the id that follows from it.
func (d *reader) amend(v *history, t *statement, fields []entry.Field, id func(*entry.Entry) string) {
	e := d.entry(t.o, append([]entry.Field{entry.TextField("id", v.all[0].ID)}, fields...))
	if e == nil {
		return
	}
	e.ID = id(e)
	d.read.Entries = append(d.read.Entries, e)
	stamped := *e
	if !e.Offered {
		stamped.Charted = entry.MomentOf(d.Now)
	}
	v.all, v.unsure = append(v.all, &stamped), true
}

// correctionID is the id of a sender's correction. It follows from what is corrected,
// what it says, and when it was issued.
func correctionID(c *entry.Entry, of string) string {
	name := "correction\n" + string(c.Corrected.AppendCanonical(nil))
	if c.Offered {
		name += "\n" + c.Charted.Text
	}
	return r4.NamedID(uuid.MustParse(of), name).String()
}
