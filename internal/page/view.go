package page

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"cotline/handover"
)

// view puts one handover into words, for a screen or for paper. Both faces lay
// out the same rows, so that they cannot differ in a fact.
type view struct {
	clock
	ward   *handover.Handover
	others map[string]*handover.Summary

	standards map[string]string // of growth, to the number they are cited by
	cited     []string

	elsewhere bool              // for a reader who has not this record: others by their cots alone, no entries
	people    map[string]string // their names, for such a reader, by staff key
}

// newView is of paper and of the short form, which tell no ages, or of a screen.
func newView(h *handover.Handover, ages bool) view {
	v := view{clock: clock{at: h.At, zone: h.Zone, ages: ages}, ward: h, others: map[string]*handover.Summary{},
		standards: map[string]string{}}
	for _, f := range slices.Concat(h.Infants, h.Elsewhere) {
		v.others[f.Infant] = f
	}
	for _, f := range h.Infants {
		if x := f.Head.Value; x != nil {
			v.cite(x.Score)
		}
		if x := f.Weight.Value; x != nil {
			v.cite(x.Score)
		}
		if x := f.BirthWeight.Value; x != nil {
			v.cite(x.Score)
		}
	}
	return v
}

// nearly is the view of the short form on an infant: what happened in its window stands
// without its day, and what is of before it never does.
func (v view) nearly(f *handover.Summary) view {
	v.near = f.Since
	if earliest := v.at.Add(-nearby); v.near.Before(earliest) {
		v.near = earliest
	}
	return v
}

// cite numbers a growth standard at its first use.
func (v *view) cite(s handover.Score) {
	if s.Z != nil && v.standards[s.Standard] == "" {
		v.cited = append(v.cited, s.Standard)
		v.standards[s.Standard] = strconv.Itoa(len(v.cited))
	}
}

// row is a labelled line of facts.
type row struct {
	Label string
	Items []item
}

// item is one fact in words. One that is out of order or missing says so in
// capitals and stands apart: on a line of its own, bold on paper.
type item struct {
	Text  string
	Apart bool
}

func (r *row) add(parts ...string) { r.put(false, parts...) }

func (r *row) apart(parts ...string) { r.put(true, parts...) }

// lead says before the first item what holds for all.
func (r row) lead(words string) row {
	if len(r.Items) > 0 {
		r.Items[0].Text = words + r.Items[0].Text
	}
	return r
}

// put joins the parts that are there with commas.
func (r *row) put(apart bool, parts ...string) {
	if text := joined(", ", parts...); text != "" {
		r.Items = append(r.Items, item{text, apart})
	}
}

func joined(between string, parts ...string) string {
	var there []string
	for _, p := range parts {
		if p != "" {
			there = append(there, p)
		}
	}
	return strings.Join(there, between)
}

// prefixed is nothing where there is nothing to say.
func prefixed(prefix, s string) string {
	if s == "" {
		return ""
	}
	return prefix + s
}

// bracketed joins what is there within brackets, after a space.
func bracketed(parts ...string) string {
	if s := joined(", ", parts...); s != "" {
		return " (" + s + ")"
	}
	return ""
}

// chartedLate is how long after the event an entry was charted for the faces in
// words to say so; the JSON tells every difference above the clock tolerance.
const chartedLate = time.Hour

// changedHands tells of a source what a reader must know beside its moment:
// charted much later than it happened, or corrected.
func (v view) changedHands(s handover.Source) string {
	var charted, corrected string
	if s.Charted.Sub(s.At) >= chartedLate {
		charted = "charted " + v.when(s.Charted)
	}
	if c := s.Corrected; c != nil {
		corrected = "corrected by " + v.person(c.By) + " " + v.when(c.Charted)
	}
	return bracketed(charted, corrected)
}

// seen is when a fact happened, its age on a screen, and what changed hands.
func (v view) seen(s handover.Source) string {
	if s.At.IsZero() {
		return ""
	}
	return v.told(s.At) + v.changedHands(s)
}

// byAt is who charted something and when.
func (v view) byAt(s handover.Source) string { return joined(", ", v.person(s.By), v.seen(s)) }

// person is who charted: by staff key, which the unit's own people know each other by,
// for others by the name that it stands for.
func (v view) person(key string) string {
	if name := v.people[key]; name != "" {
		return name
	}
	return key
}

// found is where an entry is found in the record.
func (v view) found(entry string) string {
	if v.elsewhere {
		return ""
	}
	return prefixed("entry ", short(entry))
}

// short is the start of an entry's id, enough to find it by.
func short(id string) string { return id[:min(8, len(id))] }

// beside puts a second row's facts on after the first's, to save paper.
func beside(a, b row) row {
	a.Items = append(a.Items, b.Items...)
	return a
}

// then is beside, of facts that need their own label: it stands before the first.
func then(a, b row) row {
	if len(a.Items) == 0 {
		return b
	}
	return beside(a, b.lead(strings.ToLower(b.Label)+": "))
}
