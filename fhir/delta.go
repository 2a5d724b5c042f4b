package fhir

import (
	"bytes"
	"maps"
	"slices"
	"time"

	"cotline/fhir/internal/r4"
	"cotline/handover/entry"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
)

// neverWithdrawn are types that cannot say that they were entered in error, or that are
// nobody's.
var neverWithdrawn = []string{"Basic", "Provenance", "Practitioner", "Location"}

// Delta is what a receiver lacks of the export asked for, if it holds the export of
// since as that was known then: every resource whose bytes differ, and every one that
// is gone, as entered-in-error. A resource is gone when no moment yields it any more,
// as known now. Delta covers every infant of the record, so that a discharge closes
// what was open and withdraws nothing.
func Delta(w handover.Ward, since time.Time, ask Ask) (*Export, error) {
	ask.Lean = false // what is gone is told from what it was
	ask.from = earlier(since, ask.At.Add(-w.Policy.FHIR.Left))
	plain := ask
	ask.all = true
	then, err := New(w, Ask{At: since, Known: since, Infant: ask.Infant, Codes: ask.Codes, from: ask.from, all: true})
	if err != nil {
		return nil, err
	}
	now, err := New(w, ask)
	if err != nil {
		return nil, err
	}
	d := &Export{policy: w.Policy, Held: now.Held, pool: maps.Clone(then.pool)}
	maps.Copy(d.pool, now.pool)
	lacks, err := lacking(w, since, plain)
	if err != nil {
		return nil, err
	}
	told := map[string]bool{}
	for _, r := range now.Resources {
		if was := then.pool[r.Key()]; was == nil || !bytes.Equal(was.JSON, r.JSON) {
			d.Resources = append(d.Resources, r)
			told[r.Key()] = true
		}
	}
	// What the receiver was not sent: of an infant who is here again, say.
	for _, r := range lacks {
		if !told[r.Key()] {
			d.Resources = append(d.Resources, r)
			d.pool[r.Key()] = r
		}
	}
	ever := now
	if ask.At.Before(entry.Forever) {
		ask.At, ask.ever = entry.Forever, true
		if ever, err = New(w, ask); err != nil {
			return nil, err
		}
	}
	held := map[string]bool{}
	for _, h := range append(ever.Held, now.Held...) {
		held[h.Infant] = true
	}
	over, err := d.flagsOver(w, then, held, since, plain)
	if err != nil {
		return nil, err
	}
	d.Resources = append(d.Resources, over...)
	stands := func(r *r4.Resource) bool {
		return now.pool[r.Key()] != nil || ever.pool[r.Key()] != nil || held[r.Infant]
	}
	if err := d.withdrawGone(w, ask.Known, then, stands); err != nil {
		return nil, err
	}
	return d, nil
}

// withdrawGone withdraws what was told then and does not stand any more.
func (d *Export) withdrawGone(w handover.Ward, known time.Time, then *Export, stands func(*r4.Resource) bool) error {
	for _, r := range then.Resources {
		driver := r.Type == "Device" && r.Infant == "" // the hospital's
		if stands(r) || driver || slices.Contains(neverWithdrawn, r.Type) {
			continue
		}
		if err := d.withdraw(r, w, known); err != nil {
			return err
		}
		d.Resources = append(d.Resources, r)
	}
	return nil
}

// withdraw makes a resource say that it was entered in error, by whom and why: by an entry
// that amends the one it came of, or, for an index, by what settles it. Everything else in
// it stays, so that a receiver finds the one that it holds.
func (d *Export) withdraw(r *r4.Resource, w handover.Ward, known time.Time) error {
	b := &builder{policy: w.Policy, absent: map[string]bool{}, people: map[string]string{},
		staffed: map[string]*models.Reference{}, codes: r4.CodesOf(w.Policy, nil)}
	all := amendments(w.Entries, known)[r.Entry]
	if err := b.inError(r, all); err != nil {
		return err
	}
	if m, is := r.Model.Body.(*models.Observation); is && len(all) == 0 {
		if note := goneFor(r, w, known); note != nil {
			m.Issued, m.Note = note.Time, append(m.Note, *note)
		}
	}
	for _, p := range b.practitioners() {
		if d.pool[p.Key()] != nil {
			continue
		}
		if err := p.Encode(w.Policy); err != nil {
			return err
		}
		d.pool[p.Key()] = p
		d.Resources = append(d.Resources, p)
	}
	return r.Encode(w.Policy)
}

// lacking are the resources of the export asked for which the export of since did not
// hold, or held otherwise.
func lacking(w handover.Ward, since time.Time, ask Ask) ([]*r4.Resource, error) {
	held, err := New(w, Ask{At: since, Known: since, Infant: ask.Infant, Codes: ask.Codes, from: ask.from})
	if err != nil {
		return nil, err
	}
	now, err := New(w, ask)
	if err != nil {
		return nil, err
	}
	sent := make(map[string][]byte, len(held.Resources))
	for _, r := range held.Resources {
		sent[r.Key()] = r.JSON
	}
	var lacks []*r4.Resource
	for _, r := range now.Resources {
		if !bytes.Equal(sent[r.Key()], r.JSON) {
			lacks = append(lacks, r)
		}
	}
	return lacks, nil
}
