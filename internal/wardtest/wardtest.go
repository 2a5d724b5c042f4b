// Package wardtest gives tests their wards: the demo ward and random ones, read and
// compiled once a test binary however many tests look at them, and any other ward
// from the lines of its record. Product code never imports it.
//
// It reads entries and policies by the engine's own decoders, not by the edge's, so
// that the tests of every package can use it, those that the edge imports too. What
// it reads is charted when it happened, as a record that is a plain file is, unless
// a line says when it was charted.
package wardtest

import (
	"bytes"
	"fmt"
	"iter"
	"slices"
	"sync"
	"testing"
	"time"

	"github.com/goccy/go-yaml"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/ward"
)

// Ward is a record with its policy, and the handover of all of it at a moment, as
// known then.
type Ward struct {
	handover.Ward
	At       time.Time
	Handover *handover.Handover
}

// Demo is the demo ward on the morning after the clock went back.
func Demo(t testing.TB) Ward {
	t.Helper()
	return once(t, "demo", func() Ward {
		policy, lines := ward.Demo()
		return Of(t, policy, bytes.Lines(lines), Moment(t, ward.DemoAt), time.Time{})
	})
}

// Random is a random ward at its last moment.
func Random(t testing.TB, seed uint64, infants, days int) Ward {
	t.Helper()
	return once(t, fmt.Sprint(seed, infants, days), func() Ward {
		return Of(t, ward.Policy(), ward.Random(seed, infants, days), time.Time{}, time.Time{})
	})
}

// Of is the ward of a policy in YAML and a record's lines: at its last moment where
// at is zero, in its own window where since is.
func Of(t testing.TB, policyYAML []byte, lines iter.Seq[[]byte], at, since time.Time) Ward {
	t.Helper()
	w := Ward{At: at, Ward: handover.Ward{Policy: Policy(t, policyYAML)}}
	for line := range lines {
		w.Entries = append(w.Entries, Entry(t, line))
	}
	if at.IsZero() {
		w.At = slices.MaxFunc(w.Entries, func(a, b *entry.Entry) int { return a.At.Compare(b.At.Time) }).At.Time
	}
	w.Handover = handover.Compile(w.Ward, w.At, w.At, since)
	return w
}

var (
	mu   sync.Mutex
	kept = map[string]Ward{}
)

// once makes a ward once. What a test gets is its own down to each infant's
// summary: it may add entries and name the unit or an infant anew. What lies deeper
// is everybody's and must be left as it is.
func once(t testing.TB, key string, read func() Ward) Ward {
	t.Helper()
	mu.Lock()
	defer mu.Unlock()
	w, ok := kept[key]
	if !ok {
		w = read()
		kept[key] = w
	}
	w.Entries = slices.Clone(w.Entries)
	h := *w.Handover
	h.Infants = slices.Clone(h.Infants)
	for i, s := range h.Infants {
		own := *s
		h.Infants[i] = &own
	}
	w.Handover = &h
	return w
}

// policies are texts of policies as JSON: reading YAML takes most of the time.
var policies sync.Map

// Policy is a policy in YAML, as a unit writes it. It is the test's own.
func Policy(t testing.TB, text []byte) *handover.Policy {
	t.Helper()
	asJSON, ok := policies.Load(string(text))
	if !ok {
		read, err := yaml.YAMLToJSON(text)
		if err != nil {
			t.Fatal(err)
		}
		asJSON, _ = policies.LoadOrStore(string(text), read)
	}
	v, issues := entry.ParseJSON(asJSON.([]byte))
	if len(issues) > 0 {
		t.Fatal(issues)
	}
	p, issues := handover.DecodePolicy(v, time.LoadLocation)
	if len(issues) > 0 {
		t.Fatal(issues)
	}
	return p
}

// Entry is one line of a record.
func Entry(t testing.TB, line []byte) *entry.Entry {
	t.Helper()
	v, issues := entry.ParseJSON(line)
	if len(issues) > 0 {
		t.Fatalf("%s: %v", line, issues)
	}
	e, issues := entry.Decode(v)
	if len(issues) > 0 {
		t.Fatalf("%s: %v", line, issues)
	}
	if e.Charted.IsZero() {
		e.Charted = e.At
	}
	return &e
}

// Moment is a moment of RFC 3339.
func Moment(t testing.TB, text string) time.Time {
	t.Helper()
	m, err := entry.ParseMoment(text)
	if err != nil {
		t.Fatal(err)
	}
	return m.Time
}
