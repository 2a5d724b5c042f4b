package page

import (
	"bytes"
	"slices"
	"testing"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/ward"

	"github.com/goccy/go-yaml"
)

// demo is the demo ward's handover at its moment.
func demo(t testing.TB) *handover.Handover {
	t.Helper()
	policy, lines := ward.Demo()
	at, err := entry.ParseMoment(ward.DemoAt)
	if err != nil {
		t.Fatal(err)
	}
	return compiled(t, policy, slices.Collect(bytes.Lines(lines)), at.Time)
}

// compiled is the handover of a record at a moment, all of it known by then.
func compiled(t testing.TB, policyYAML []byte, lines [][]byte, at time.Time) *handover.Handover {
	t.Helper()
	text, err := yaml.YAMLToJSON(policyYAML)
	if err != nil {
		t.Fatal(err)
	}
	value, issues := entry.ParseJSON(text)
	if len(issues) > 0 {
		t.Fatal(issues)
	}
	policy, issues := handover.DecodePolicy(value, time.LoadLocation)
	if len(issues) > 0 {
		t.Fatal(issues)
	}
	w := handover.Ward{Policy: policy}
	for _, line := range lines {
		v, issues := entry.ParseJSON(line)
		if len(issues) > 0 {
			t.Fatal(issues)
		}
		e, issues := entry.Decode(v)
		if len(issues) > 0 {
			t.Fatal(issues)
		}
		if e.Charted.IsZero() {
			e.Charted = e.At
		}
		w.Entries = append(w.Entries, &e)
	}
	return handover.Compile(w, at, at, time.Time{})
}
