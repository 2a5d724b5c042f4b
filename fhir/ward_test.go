package fhir_test

import (
	"bytes"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/goccy/go-yaml"

	"cotline/fhir"
	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/ward"
)

// policyOf reads a policy as a unit writes it.
func policyOf(t testing.TB, text string) *handover.Policy {
	t.Helper()
	asJSON, err := yaml.YAMLToJSON([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	v, issues := entry.ParseJSON(asJSON)
	if len(issues) > 0 {
		t.Fatal(issues)
	}
	p, issues := handover.DecodePolicy(v, time.LoadLocation)
	if len(issues) > 0 {
		t.Fatal(issues)
	}
	return p
}

// wardPolicy is the policy of the invented wards.
func wardPolicy(t testing.TB) *handover.Policy { return policyOf(t, string(ward.Policy())) }

// sendingAll is that policy, with every resource type sent but Basic, which carries
// the texts of entries.
func sendingAll(t testing.TB) *handover.Policy {
	const few = "send: [Observation, DeviceUseStatement, Device]"
	all := strings.Replace(string(ward.Policy()), few, "send: ["+strings.Join(slices.DeleteFunc(slices.Clone(handover.SendTypes), func(kind string) bool { return kind == "Basic" }), ", ")+"]", 1)
	if all == string(ward.Policy()) {
		t.Fatal("the policy does not say what is sent")
	}
	return policyOf(t, all)
}

// entriesOf reads NDJSON and stamps what has no charted with its at.
func entriesOf(t testing.TB, lines []byte) []*entry.Entry {
	t.Helper()
	var out []*entry.Entry
	for _, line := range bytes.Split(bytes.TrimSpace(lines), []byte("\n")) {
		v, issues := entry.ParseJSON(line)
		if len(issues) > 0 {
			t.Fatalf("%s: %v", line, issues)
		}
		e, issues := entry.Decode(v)
		if len(issues) > 0 {
			t.Fatalf("%s: %v", line, issues)
		}
		if !e.Offered {
			e.Charted = e.At
		}
		out = append(out, &e)
	}
	return out
}

func moment(t testing.TB, s string) time.Time {
	t.Helper()
	m, err := entry.ParseMoment(s)
	if err != nil {
		t.Fatal(err)
	}
	return m.Time
}

// demo is the demo ward at the moment it is handed over.
func demo(t testing.TB) (handover.Ward, fhir.Ask) {
	t.Helper()
	policy, lines := ward.Demo()
	at := moment(t, ward.DemoAt)
	return handover.Ward{Entries: entriesOf(t, lines), Policy: policyOf(t, string(policy))}, fhir.Ask{At: at, Known: at}
}

// random is a random ward a while into its days.
func random(t testing.TB, seed uint64, infants, days int) (handover.Ward, time.Time) {
	t.Helper()
	var lines []byte
	for line := range ward.Random(seed, infants, days) {
		lines = append(lines, line...)
	}
	entries := entriesOf(t, lines)
	last := entries[len(entries)-1].At.Time
	return handover.Ward{Entries: entries, Policy: wardPolicy(t)}, last
}
