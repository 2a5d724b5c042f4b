package fhir

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"cotline/fhir/internal/r4"
	"cotline/handover/entry"
)

// Mode is how a transaction names what it sends. A receiver is sent one mode for good:
// a second one would double everything that it holds.
type Mode string

// The modes.
const (
	// Put sends every resource under its own id: PUT Type/<uuid>.
	Put Mode = "put"
	// Conditional leaves ids to the receiver. What entries correct is updated by
	// business identifier; the hospital's Patient, drivers, Practitioner and Location,
	// which no entry corrects, are created where the receiver has none.
	Conditional Mode = "conditional"
)

// What the policy's fhir.patients says of whose the Patient resources are.
const (
	patientsMatch       = "match"
	patientsConditional = "conditional"
	PatientsOurs        = "ours"
)

// Sending is how an export is put into transactions. A limit of zero is none.
type Sending struct {
	Mode        Mode
	Entries     int // most entries of a transaction
	Conditional int // most entries of one that has a conditional entry
	Bytes       int // most bytes of one, if it has more than it must
	// Patients are the receiver's own references (Patient/123) by infant's key.
	// Where one is given, no Patient is sent. The policy's fhir.patients: match
	// needs one for each infant.
	Patients map[string]string
}

// Transaction is the whole export as one transaction bundle.
func (x *Export) Transaction(mode Mode) ([]byte, error) {
	all, err := x.Transactions(Sending{Mode: mode})
	if err != nil {
		return nil, err
	}
	return all[0], nil
}

// Transactions are the export as transaction bundles in order, at least one. Each holds
// everything that it refers to, so each may be sent alone to an empty receiver, sent
// again, or be the only one that was applied; what several refer to stands in each of
// them.
//
// Each entry has the fullUrl urn:uuid:<id>, and references within the bundle are that
// text to the byte, in every mode: a Patient that the receiver may hold already can be
// referred to in no other way. A group with more members than fit into one bundle is
// sent without them, and names them by their identifiers.
//
// Every bundle is checked before it is returned; a fault is an error, and nothing
// leaves.
func (x *Export) Transactions(s Sending) (out [][]byte, err error) {
	err = x.EachTransaction(s, func(text []byte) error { out = append(out, bytes.Clone(text)); return nil })
	return out, err
}

// EachTransaction calls with each of the bundles of Transactions in turn; none but the
// one at hand is in memory, and the next is written where it stands.
func (x *Export) EachTransaction(s Sending, with func(text []byte) error) error {
	var infants []string
	for _, r := range x.Resources {
		if r.Type == "Patient" {
			infants = append(infants, r.Infant)
		}
	}
	if err := x.mayBeSent(s, infants); err != nil {
		return err
	}
	b := x.newTransaction(s)
	p := x.packer(s, func(part []*r4.Resource) error { return x.write(b, s, part, with) })
	if err := p.packAll(x.Resources); err != nil {
		return err
	}
	return p.flush()
}

// mayBeSent says why some infants cannot be sent so; nil where they can.
func (x *Export) mayBeSent(s Sending, infants []string) error {
	if s.Mode != Put && s.Mode != Conditional {
		return fmt.Errorf("transaction mode %q: put or conditional is wanted", s.Mode)
	}
	if x.policy.FHIR.Patients != patientsMatch {
		return nil
	}
	infants = slices.DeleteFunc(infants, func(key string) bool { return s.Patients[key] != "" })
	if len(infants) == 0 {
		return nil
	}
	return &Unmatched{infants}
}

// Unmatched says whose Patient the receiver has not been asked for.
type Unmatched struct{ Infants []string }

func (e *Unmatched) Error() string {
	return "fhir.patients is match, and these infants have not been looked up at the receiver: " + strings.Join(e.Infants, ", ")
}

// write calls with one bundle of some resources, which hold all they refer to.
func (x *Export) write(b *bundle, s Sending, part []*r4.Resource, with func(text []byte) error) error {
	if err := x.fill(b, s, part); err != nil {
		return err
	}
	text, err := b.done()
	if err != nil {
		return err
	}
	return with(text)
}

// fill writes one bundle of some resources.
func (x *Export) fill(b *bundle, s Sending, part []*r4.Resource) error {
	b.begin()
	for _, r := range part {
		b.answer(r)
	}
	for _, r := range part {
		if r.Type == "Patient" && s.Patients[r.Infant] != "" {
			continue
		}
		var named bool
		b.request, named = x.request(b.request[:0], s.Mode, r)
		if err := b.entry(r, named, b.request); err != nil {
			return err
		}
	}
	return nil
}

// conditional says whether an entry is a conditional one.
func (x *Export) conditional(mode Mode, r *r4.Resource) bool {
	return mode == Conditional || r.Type == "Patient" && x.policy.FHIR.Patients == patientsConditional && !labelled(r)
}

// labelled says whether a Patient is one under a temporary label that is ours alone.
func labelled(r *r4.Resource) bool { return r.Type == "Patient" && r.Identifier.Value == r.ID }

// request appends how a resource is sent, and says whether it carries its id. What can be
// corrected is never created conditionally: a receiver that has an older one would keep
// it, and answer that all is well. A Patient of ours is found by our own identifier,
// which it has from the first day on, so a hospital number that becomes known is a
// change of it. A Patient of the hospital's may be there already, under its number
// alone.
func (x *Export) request(into []byte, mode Mode, r *r4.Resource) (request []byte, named bool) {
	switch {
	case !x.conditional(mode, r):
		into = append(into, `"method":"PUT","url":`...)
		return entry.AppendString(into, r.Key()), true
	case r.Type == "Patient" && x.policy.FHIR.Patients == PatientsOurs:
		return conditionalUpdate(into, r.Type, r4.Identifier{System: x.policy.FHIR.Base + r4.OwnIDPath, Value: r.ID}), false
	case r.Type == "Patient" && !labelled(r), r.Type == "Practitioner", r.Type == "Location", r.Type == "Device" && r.Infant == "":
		into = append(append(append(into, `"method":"POST","url":"`...), r.Type...), `","ifNoneExist":`...)
		return entry.AppendString(into, queryOf(r.Identifier)), false
	}
	return conditionalUpdate(into, r.Type, r.Identifier), false
}

// conditionalUpdate is a request that updates the one of an identifier.
func conditionalUpdate(into []byte, kind string, known r4.Identifier) []byte {
	return entry.AppendString(append(into, `"method":"PUT","url":`...), kind+"?"+queryOf(known))
}
