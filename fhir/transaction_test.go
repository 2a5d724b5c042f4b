package fhir_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/fhir/internal/r4"
	"cotline/handover"
)

// Every transaction keeps its limits, holds all it refers to, and together they
// send everything. Eight is the lowest limit that a receiver is known to have.
func TestTransactionsKeepTheirLimits(t *testing.T) {
	w, last := fixture.Random(t, 3, 3, 2)
	w.Policy.FHIR.Send = append(w.Policy.FHIR.Send, "Basic")
	x := fixture.Export(t, w, fhir.Ask{At: last, Known: last})
	for _, s := range []fhir.Sending{
		{Mode: fhir.Put, Entries: 8}, {Mode: fhir.Put, Entries: 100}, {Mode: fhir.Put, Conditional: 8}, {Mode: fhir.Put, Bytes: 64 << 10},
		{Mode: fhir.Conditional, Entries: 100, Conditional: 8}, {Mode: fhir.Conditional},
		{Mode: fhir.Conditional, Entries: 50, Bytes: 1 << 20},
	} {
		parts, err := x.Transactions(s)
		if err != nil {
			t.Fatalf("%+v: %v", s, err)
		}
		seen := map[string]bool{}
		for n, part := range parts {
			if faults := r4.Check(part); len(faults) > 0 {
				t.Fatalf("%+v: %v", s, faults)
			}
			b := fixture.RequestsOf(t, part)
			conditional := false
			for _, e := range b.Entry {
				seen[e.FullURL] = true
				conditional = conditional || e.Request.IfNoneExist != "" || strings.Contains(e.Request.URL, "?")
			}
			if s.Entries > 0 && len(b.Entry) > s.Entries || s.Conditional > 0 && conditional && len(b.Entry) > s.Conditional {
				t.Errorf("%+v: part %d has %d entries", s, n, len(b.Entry))
			}
			if s.Bytes > 0 && len(part) > s.Bytes {
				t.Errorf("%+v: part %d has %d bytes", s, n, len(part))
			}
		}
		if len(seen) != len(x.Resources) {
			t.Errorf("%+v: %d of %d resources are sent", s, len(seen), len(x.Resources))
		}
	}
}

// Sent infant by infant, a ward is the same resources within the same limits, each part
// with all it refers to.
func TestSendIsTransactions(t *testing.T) {
	for seed := range uint64(3) {
		t.Run(fmt.Sprint("ward ", seed), func(t *testing.T) {
			w, last := fixture.Random(t, seed, 3, 2)
			if seed%2 == 1 {
				w.Policy = fixture.SendingAll(t)
			}
			ask := fhir.Ask{At: last, Known: last}
			x := fixture.Export(t, w, ask)
			for _, s := range []fhir.Sending{
				{Mode: fhir.Put, Entries: 20, Bytes: 64 << 10}, {Mode: fhir.Conditional, Entries: 30}, {Mode: fhir.Put},
			} {
				whole, err := x.Transactions(s)
				if err != nil {
					t.Fatal(err)
				}
				var parts [][]byte
				held, err := fhir.Send(w, ask, s, func(text []byte) error { parts = append(parts, bytes.Clone(text)); return nil })
				if err != nil {
					t.Fatal(err)
				}
				if d := cmp.Diff(x.Held, held); d != "" {
					t.Error(d)
				}
				for n, part := range parts {
					if faults := r4.Check(part); len(faults) > 0 {
						t.Fatalf("%+v: part %d: %v", s, n, faults)
					}
					if s.Bytes > 0 && len(part) > s.Bytes || s.Entries > 0 && len(fixture.RequestsOf(t, part).Entry) > s.Entries {
						t.Errorf("%+v: part %d is too long", s, n)
					}
				}
				if d := cmp.Diff(entriesOf(t, whole), entriesOf(t, parts)); d != "" {
					t.Errorf("ward %d, %+v: %s", seed, s, d)
				}
			}
		})
	}
}

// entriesOf are the entries of bundles, by fullUrl.
func entriesOf(t *testing.T, bundles [][]byte) map[string]string {
	t.Helper()
	out := map[string]string{}
	for _, text := range bundles {
		var b struct{ Entry []json.RawMessage }
		if err := json.Unmarshal(text, &b); err != nil {
			t.Fatal(err)
		}
		for _, e := range b.Entry {
			url := fixture.Between(string(e), `"fullUrl":"`, `"`)
			if was, ok := out[url]; ok && was != string(e) {
				t.Errorf("%s is sent twice, and differs: %s %s", url, was, e)
			}
			out[url] = string(e)
		}
	}
	return out
}

// In mode conditional the receiver names everything; what can be corrected is
// updated, never created conditionally, for that drops the correction.
func TestConditional(t *testing.T) {
	at := fixture.Moment(t, "2026-03-01T10:00:00+01:00")
	x := fixture.Export(t, handover.Ward{Entries: fixture.Entries(t, []byte(fixture.Small)), Policy: fixture.WardPolicy(t)},
		fhir.Ask{At: at, Known: at})
	b, err := x.Transaction(fhir.Conditional)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range fixture.RequestsOf(t, b).Entry {
		kind := e.Resource.ResourceType
		id := e.Resource.Identifier[0]
		query := "identifier=" + id.System + "|" + id.Value
		if e.Resource.ID != "" {
			t.Errorf("%s carries an id", kind)
		}
		switch {
		case kind == "Patient", kind == "Device" && id.Value == "ax-1": // a driver is the hospital's
			if e.Request.Method != "POST" || e.Request.URL != kind || e.Request.IfNoneExist != query {
				t.Errorf("%s: %+v", kind, e.Request)
			}
		default:
			if e.Request.Method != "PUT" || e.Request.URL != kind+"?"+query || e.Request.IfNoneExist != "" {
				t.Errorf("%s: %+v", kind, e.Request)
			}
		}
	}
}

// Where the receiver's own Patient is known, none is sent, and all refers to it.
func TestMatched(t *testing.T) {
	at := fixture.Moment(t, "2026-03-01T10:00:00+01:00")
	w := handover.Ward{Entries: fixture.Entries(t, []byte(fixture.Small)), Policy: fixture.WardPolicy(t)}
	w.Policy.FHIR.Patients = "match"
	parts, err := fixture.Export(t, w, fhir.Ask{At: at, Known: at}).
		Transactions(fhir.Sending{Mode: fhir.Put, Patients: map[string]string{"in-a": "Patient/4711"}})
	if err != nil {
		t.Fatal(err)
	}
	s := string(parts[0])
	if strings.Contains(s, `"resourceType":"Patient"`) || !strings.Contains(s, `"subject":{"reference":"Patient/4711"`) {
		t.Error("a Patient was sent, or the receiver's is not referred to")
	}
}

func TestEmptyTransaction(t *testing.T) {
	at := fixture.Moment(t, "2020-01-01T10:00:00+01:00")
	x := fixture.Export(t, handover.Ward{Entries: fixture.Entries(t, []byte(fixture.Small)), Policy: fixture.WardPolicy(t)},
		fhir.Ask{At: at, Known: at})
	b, err := x.Transaction(fhir.Put)
	if err != nil || string(b) != `{"resourceType":"Bundle","type":"transaction"}` {
		t.Error(string(b), err)
	}
	if _, err := x.Transaction("patch"); err == nil {
		t.Error("an unknown mode was taken")
	}
}

func TestCollection(t *testing.T) {
	at := fixture.Moment(t, "2026-03-01T10:00:00+01:00")
	x := fixture.Export(t, handover.Ward{Entries: fixture.Entries(t, []byte(fixture.Small)), Policy: fixture.WardPolicy(t)},
		fhir.Ask{At: at, Known: at})
	b, err := x.Collection()
	if err != nil {
		t.Fatal(err)
	}
	if got := fixture.RequestsOf(t, b); len(got.Entry) != len(x.Resources) {
		t.Errorf("%d entries of %d resources", len(got.Entry), len(x.Resources))
	}
}

// A part that cannot be written ends the export, however much is still to be made.
func TestSendEndsWithTheFirstError(t *testing.T) {
	w, ask := fixture.Demo(t)
	full := errors.New("the disk is full")
	for after := range 3 {
		n := 0
		_, err := fhir.Send(w, ask, fhir.Sending{Mode: fhir.Put, Entries: 5}, func([]byte) error {
			if n++; n > after {
				return full
			}
			return nil
		})
		if !errors.Is(err, full) || n != after+1 {
			t.Errorf("after %d parts: %d were given, %v", after, n, err)
		}
	}
}
