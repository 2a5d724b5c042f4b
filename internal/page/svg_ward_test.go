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

// drawn is a ward, and its handover at a moment.
type drawn struct {
	handover.Ward
	h *handover.Handover
}

func wardOf(t testing.TB, policyYAML []byte, lines [][]byte, at, since time.Time) drawn {
	t.Helper()
	text, err := yaml.YAMLToJSON(policyYAML)
	if err != nil {
		t.Fatal(err)
	}
	value, issues := entry.ParseJSON(text)
	policy, more := handover.DecodePolicy(value, time.LoadLocation)
	if issues = append(issues, more...); len(issues) > 0 {
		t.Fatal(issues)
	}
	d := drawn{Ward: handover.Ward{Policy: policy}}
	for _, line := range lines {
		v, issues := entry.ParseJSON(line)
		e, more := entry.Decode(v)
		if issues = append(issues, more...); len(issues) > 0 {
			t.Fatal(issues)
		}
		if e.Charted.IsZero() {
			e.Charted = e.At
		}
		d.Entries = append(d.Entries, &e)
	}
	if at.IsZero() {
		at = slices.MaxFunc(d.Entries, func(a, b *entry.Entry) int { return a.At.Compare(b.At.Time) }).At.Time
	}
	d.h = handover.Compile(d.Ward, at, at, since)
	return d
}

func demoDrawn(t testing.TB) drawn {
	t.Helper()
	policy, lines := ward.Demo()
	return wardOf(t, policy, slices.Collect(bytes.Lines(lines)), clockOf(ward.DemoAt), time.Time{})
}

// pictures are every picture of a ward, by kind and infant.
func (d drawn) pictures(t testing.TB) map[string][]byte {
	t.Helper()
	out := map[string][]byte{}
	for _, f := range d.h.Infants {
		s, ok := handover.SeriesOf(d.Ward, d.h, f.Infant)
		if !ok {
			t.Fatal("no series of ", f.Infant)
		}
		out["strip "+f.Infant] = ShiftStrip(s)
		head, ok := handover.HeadSeriesOf(d.Ward, d.h, f.Infant)
		if !ok {
			t.Fatal("no head series of ", f.Infant)
		}
		out["head "+f.Infant] = HeadChart(head)
		out["face "+f.Infant] = FaceMap(d.h, f)
	}
	return out
}
