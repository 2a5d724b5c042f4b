package fhir

import (
	"bytes"
	"fmt"
	"slices"
	"time"

	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
	"cotline/handover/entry"
)

// forever lies after every moment of a record.
var forever = time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC)

// neverWithdrawn are of types that have no way to say so, or that belong to nobody.
var neverWithdrawn = []string{"Basic", "Provenance", "Practitioner", "Location"}

// Delta is what a receiver of the export of since, as it was known then, lacks of
// the one asked for: every resource whose bytes differ, and every one that is gone,
// as entered-in-error. It is of each infant of the record, so that discharge closes
// what was open; it withdraws nothing. Gone means that, as known now, no moment
// yields it any more.
func Delta(w handover.Ward, since time.Time, ask Ask) (*Export, error) {
	plain := ask
	ask.all = true
	then, err := New(w, Ask{At: since, Known: since, Infant: ask.Infant, Codes: ask.Codes, all: true})
	if err != nil {
		return nil, err
	}
	now, err := New(w, ask)
	if err != nil {
		return nil, err
	}
	d := &Export{policy: w.Policy, Held: now.Held, pool: map[string]*Resource{}}
	for k, r := range then.pool {
		d.pool[k] = r
	}
	for k, r := range now.pool {
		d.pool[k] = r
	}
	lacks, err := lacking(w, since, plain)
	if err != nil {
		return nil, err
	}
	told := map[string]bool{}
	for _, r := range now.Resources {
		if was := then.pool[r.key()]; was == nil || !bytes.Equal(was.JSON, r.JSON) {
			d.Resources = append(d.Resources, r)
			told[r.key()] = true
		}
	}
	// What the receiver was not sent: of an infant who is here again, say.
	for _, r := range lacks {
		if !told[r.key()] {
			d.Resources = append(d.Resources, r)
			d.pool[r.key()] = r
		}
	}
	ever := now
	if ask.At.Before(forever) {
		ask.At, ask.ever = forever, true
		if ever, err = New(w, ask); err != nil {
			return nil, err
		}
	}
	held := map[string]bool{}
	for _, h := range append(ever.Held, now.Held...) {
		held[h.Infant] = true
	}
	for _, r := range then.Resources {
		if now.pool[r.key()] != nil || held[r.Infant] || slices.Contains(neverWithdrawn, r.Type) || r.Type == "Device" && r.Infant == "" { // a driver is the hospital's
			continue
		}
		switch {
		case r.kind == "due" || r.kind == "flag":
			r, err = d.over(r, w, since, plain)
		case ever.pool[r.key()] != nil:
			continue
		default:
			err = d.withdraw(r, w, ask.Known)
		}
		if err != nil {
			return nil, err
		}
		d.Resources = append(d.Resources, r)
	}
	return d, nil
}

// withdraw makes a resource say that it was entered in error, by whom and why; all
// else stays, so that a receiver finds it.
func (d *Export) withdraw(r *Resource, w handover.Ward, known time.Time) error {
	b := &builder{policy: w.Policy, absent: map[string]bool{}, people: map[string]string{}, codes: codes{system: w.Policy.FHIR.Base + ownSystemPath}}
	var why *entry.Entry // the latest that was known
	if all := amendments(w.Entries, known)[r.entry]; len(all) > 0 {
		why = all[len(all)-1]
	}
	switch m := r.model.body.(type) {
	case *r4.Observation:
		r.model.status = inError
		if why != nil {
			m.Issued = ptr(dateTime(why.Charted))
			m.Note = append(m.Note, b.amendedBy(why))
		}
	case *r4.DeviceUseStatement:
		r.model.status = inError
		if why != nil {
			m.RecordedOn = ptr(dateTime(why.Charted))
			m.Note = append(m.Note, b.amendedBy(why))
		}
	case *r4.Task:
		r.model.status = cancelled
		if why != nil {
			m.LastModified = ptr(laterOf(*m.AuthoredOn, dateTime(why.Charted)))
			m.Note = append(m.Note, b.amendedBy(why))
		}
	case *r4.Encounter:
		r.model.status = inError
	case *r4.DeviceMetric:
		m.OperationalStatus = ptr(r4.DeviceMetricOperationalStatusEnteredInError)
	case *r4.Device:
		r.model.status = inError
	case *r4.Patient:
		m.Active = ptr(false) // the type has no status
	default:
		return fmt.Errorf("%s cannot be withdrawn", r.Type)
	}
	for _, p := range b.practitioners() {
		if d.pool[p.key()] != nil {
			continue
		}
		if err := p.encode(w.Policy); err != nil {
			return err
		}
		d.pool[p.key()] = p
		d.Resources = append(d.Resources, p)
	}
	return r.encode(w.Policy)
}

// lacking are the resources of the export asked for that the export of since did
// not hold as they are now.
func lacking(w handover.Ward, since time.Time, ask Ask) ([]*Resource, error) {
	held, err := New(w, Ask{At: since, Known: since, Infant: ask.Infant, Codes: ask.Codes})
	if err != nil {
		return nil, err
	}
	now, err := New(w, ask)
	if err != nil {
		return nil, err
	}
	sent := make(map[string][]byte, len(held.Resources))
	for _, r := range held.Resources {
		sent[r.key()] = r.JSON
	}
	var lacks []*Resource
	for _, r := range now.Resources {
		if !bytes.Equal(sent[r.key()], r.JSON) {
			lacks = append(lacks, r)
		}
	}
	return lacks, nil
}
