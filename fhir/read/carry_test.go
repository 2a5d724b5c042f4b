package read_test

import (
	"bytes"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/fhir/read"
	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/page"
)

// readBack are the entries that files carry, taken by an empty record.
func readBack(t fixture.Fataler, policy *handover.Policy, files ...[]byte) []*entry.Entry {
	t.Helper()
	var all []*entry.Entry
	for _, text := range files {
		r := readJSON(text, read.Given{Policy: policy})
		if len(r.Issues) > 0 {
			t.Fatalf("%v", r.Issues)
		}
		all = append(all, r.Entries...)
	}
	fresh, issues := entry.Accept(entry.Nothing, all, policy.Lists(), policy.ClockTolerance, time.Date(2030, 1, 1, 0, 0, 0, 0, time.UTC))
	if len(issues) > 0 {
		t.Fatalf("%v", issues)
	}
	return fresh
}

// ways are the exports that hold a whole ward, as files.
func ways(t fixture.Fataler, x *fhir.Export) map[string][][]byte {
	t.Helper()
	out := map[string][][]byte{}
	keep := func(name string, b [][]byte, err error) {
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		out[name] = b
	}
	b, err := x.Transactions(fhir.Sending{Mode: fhir.Put})
	keep("put", b, err)
	b, err = x.Transactions(fhir.Sending{Mode: fhir.Conditional})
	keep("conditional", b, err)
	b, err = x.Transactions(fhir.Sending{Mode: fhir.Put, Entries: 40})
	keep("in parts", b, err)
	one, err := x.Collection()
	keep("collection", [][]byte{one}, err)
	files, err := x.NDJSON()
	var lines [][]byte
	for _, f := range files {
		lines = append(lines, bytes.Split(bytes.TrimSpace(f.Content), []byte("\n"))...)
	}
	keep("ndjson", lines, err)
	return out
}

// holdRoundTrip compiles the handover from each export and from the record.
func holdRoundTrip(t fixture.Fataler, w handover.Ward, at, known time.Time) {
	t.Helper()
	policy := *w.Policy
	policy.FHIR.Send = append(slices.Clone(policy.FHIR.Send), "Basic")
	w.Policy = &policy
	x, err := fhir.New(w, fhir.Ask{At: at, Known: known})
	if err != nil {
		t.Fatalf("%v", err)
	}
	if len(x.Held) > 0 {
		return // a receiver would take two infants for one: they are not sent
	}
	want := handover.Compile(w, at, known, time.Time{})
	for name, files := range ways(t, x) {
		got := handover.Compile(handover.Ward{Entries: readBack(t, &policy, files...), Policy: &policy}, at, known, time.Time{})
		if d := cmp.Diff(unrestricted(want), unrestricted(got)); d != "" {
			t.Fatalf("%s: %s", name, d)
		}
	}
	var all [][]byte
	for _, s := range want.Infants {
		b, err := fhir.Document(w, fhir.Edition{Handover: want, Words: page.Words(want, w.Policy), Entries: true}, s.Infant)
		if err != nil {
			t.Fatalf("%v", err)
		}
		all = append(all, b)
	}
	// A document is of one infant: the unit's own words and who left are not in it.
	got := handover.Compile(handover.Ward{Entries: readBack(t, &policy, all...), Policy: &policy}, at, known, time.Time{})
	ofInfants := *want
	ofInfants.Notes, ofInfants.Tasks, ofInfants.Left = got.Notes, got.Tasks, got.Left
	if d := cmp.Diff(unrestricted(&ofInfants), unrestricted(got)); d != "" {
		t.Fatalf("documents: %s", d)
	}
	if len(got.Notes)+len(got.Tasks)+len(got.Left) > 0 {
		t.Fatalf("a document holds what is not its infant's")
	}
}

// unrestricted is the handover as JSON. The name of an infant whose name is not
// shown is not carried, so nobody is found to be like it by name.
func unrestricted(h *handover.Handover) string {
	hidden := map[string]bool{}
	for _, s := range h.Infants {
		hidden[s.Infant] = s.Restricted
	}
	out := *h
	out.Infants = nil
	for _, s := range h.Infants {
		as := *s
		as.LookAlikes = slices.DeleteFunc(slices.Clone(s.LookAlikes), func(l handover.LookAlike) bool {
			return (s.Restricted || hidden[l.Infant]) && l.Why != "number"
		})
		out.Infants = append(out.Infants, &as)
	}
	return string(page.JSON(&out))
}

func TestTheDemoWardIsReadBack(t *testing.T) {
	w, ask := fixture.Demo(t)
	holdRoundTrip(t, w, ask.At, ask.Known)
	holdRoundTrip(t, w, ask.At.Add(-13*time.Hour), ask.Known)
}

// Any invented ward, at moments of its days, as known then, before and later.
func TestRandomWardsAreReadBack(t *testing.T) {
	for seed := range fixture.Seeds(40, 2) {
		w, last := fixture.Random(t, seed, 3, 2)
		for n, known := range []time.Duration{0, 24 * time.Hour, -90 * time.Minute} {
			at := last.Add(-time.Duration(n) * 7 * time.Hour)
			holdRoundTrip(t, w, at, at.Add(known))
		}
	}
}
