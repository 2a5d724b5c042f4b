package sheets

import (
	"bytes"
	"sync"
	"testing"
	"time"

	"github.com/goccy/go-yaml"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/ward"
)

// demo is the invented ward compiled on the morning after the clock went back.
type demo struct {
	handover *handover.Handover
	entries  []*entry.Entry
	policy   *handover.Policy
}

func demoWard(t testing.TB) demo {
	t.Helper()
	yml, lines := ward.Demo()
	d := demo{policy: policyOf(t, yml)}
	for line := range bytes.Lines(lines) {
		d.entries = append(d.entries, entryOf(t, line))
	}
	at, err := time.Parse(time.RFC3339, ward.DemoAt)
	if err != nil {
		t.Fatal(err)
	}
	d.handover = handover.Compile(handover.Ward{Entries: d.entries, Policy: d.policy}, at, at, time.Time{})
	return d
}

func policyOf(t testing.TB, yml []byte) *handover.Policy {
	t.Helper()
	js, err := yaml.YAMLToJSON(yml)
	if err != nil {
		t.Fatal(err)
	}
	v, issues := entry.ParseJSON(js)
	if len(issues) > 0 {
		t.Fatal(issues)
	}
	p, issues := handover.DecodePolicy(v, time.LoadLocation)
	if len(issues) > 0 {
		t.Fatal(issues)
	}
	return p
}

func entryOf(t testing.TB, line []byte) *entry.Entry {
	t.Helper()
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
	return &e
}

// demoBook is the demo's workbook, opened once for all tests that only look.
func demoBook(t testing.TB) (demo, opened) {
	t.Helper()
	once.Do(func() {
		onceDemo = demoWard(t)
		onceBook = open(t, onceDemo.workbook(t))
	})
	o := onceBook
	o.t = t
	return onceDemo, o
}

var (
	once     sync.Once
	onceDemo demo
	onceBook opened
)

func (d demo) workbook(t testing.TB) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Workbook(&b, d.handover, d.entries, d.policy, "0.0.0-test"); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// compiledAt compiles a ward as of a moment and as known then.
func compiledAt(d demo, at time.Time) *handover.Handover {
	return handover.Compile(handover.Ward{Entries: d.entries, Policy: d.policy}, at, at, time.Time{})
}
