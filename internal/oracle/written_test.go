//go:build outside

package oracle

import (
	"slices"
	"testing"
	"time"

	"cotline/fhir"
	"cotline/fhir/guide"
	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/page"
)

// written is a sample of everything that package fhir writes, by name: transactions
// in both modes, of the types that the demo's policy names and of every type, a delta
// with what it withdraws, a collection, documents of signed and unsigned handovers,
// and definitions. A resource of a shape that an earlier one has is left out where nothing
// refers to it, and a document whose resources have been seen, all of them.
func written(t testing.TB) map[string][]byte {
	t.Helper()
	return writings.of(func() map[string][]byte { return write(t) })
}

var writings kept[map[string][]byte]

func write(t testing.TB) map[string][]byte {
	t.Helper()
	all := map[string][]byte{}
	unseen := fresh{}
	add := func(name string, b []byte, err error) {
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		all[name] = b
	}
	w, at := demo(t)
	b, err := unseen.shapes(t, exported(t, w, fhir.Ask{At: at, Known: at})).Transaction(fhir.Put)
	add("demo, put", b, err)
	b, err = unseen.shapes(t, amended(t).delta).Transaction(fhir.Put)
	add("random 1, every type, delta of a night", b, err)
	signed, accepted := lastSigned(t, w)
	asOf, _ := signed.Moment("asOf")
	h := handover.Compile(w, asOf.Time, signed.At.Time, asOf.Add(-12*time.Hour))
	issue := fhir.Edition{Handover: h, Words: page.Words(h, w.Policy), Signed: signed, Accepted: accepted}
	b, err = fhir.Document(w, issue, signed.List("infants")[0].Text)
	add("demo, signed document", b, err)
	shipped, err := guide.Definitions(w.Policy)
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range shipped {
		add(r.Type+" "+r.ID, r.JSON, nil)
	}

	w, at = random(t, 1)
	w = everyType(w)
	b, err = unseen.shapes(t, exported(t, w, fhir.Ask{At: at, Known: at})).Transaction(fhir.Put)
	add("random 1, every type, put", b, err)
	h = handover.Compile(w, at, at, at.Add(-12*time.Hour))
	for _, s := range h.Infants {
		b, err = fhir.Document(w, fhir.Edition{Handover: h, Words: page.Words(h, w.Policy), Entries: true}, s.Infant)
		if err != nil {
			t.Fatal(err)
		}
		some := *whole
		for _, r := range entries(t, b) {
			some = unseen.take(t, "document ", r) || some
		}
		if some {
			add("random 1, document of "+s.Infant, b, nil)
		}
	}
	w, at = random(t, 2)
	x := unseen.shapes(t, exported(t, everyType(w), fhir.Ask{At: at, Known: at}))
	b, err = x.Transaction(fhir.Conditional)
	add("random 2, every type, conditional", b, err)
	b, err = x.Collection()
	add("random 2, every type, collection", b, err)
	return all
}

// lastSigned is the last signed handover of a ward that somebody accepted.
func lastSigned(t testing.TB, w handover.Ward) (signed *entry.Entry, accepted []*entry.Entry) {
	t.Helper()
	for _, e := range slices.Backward(w.Entries) {
		switch {
		case e.Kind == "acceptance":
			accepted = append(accepted, e)
		case e.Kind == "handover":
			of := slices.DeleteFunc(slices.Clone(accepted), func(a *entry.Entry) bool { return a.Reference("handover") != e.ID })
			if len(of) > 0 {
				return e, of
			}
		}
	}
	t.Fatal("no handover was accepted")
	return nil, nil
}

// everyType makes a ward send every type that a unit may name.
func everyType(w handover.Ward) handover.Ward {
	p := *w.Policy
	p.FHIR.Send = handover.SendTypes
	return handover.Ward{Entries: w.Entries, Policy: &p}
}
