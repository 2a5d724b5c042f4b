package handover_test

import (
	"reflect"
	"regexp"
	"strconv"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"cotline/handover"
	"cotline/handover/entry"
)

// Where no clock changes, a week more or less changes no figure.
func TestAWeekLater(t *testing.T) {
	const week = 7 * 24 * time.Hour
	rapid.Check(t, func(r *rapid.T) {
		w := draw(r, t, "Asia/Kolkata")
		n := rapid.SampledFrom([]int{-4, -1, 1, 52}).Draw(r, "weeks")
		moved := w.with(shifted(w.entries, time.Duration(n)*week, 7*n))
		moved.at, moved.known = w.at.Add(time.Duration(n)*week), w.known.Add(time.Duration(n)*week)
		if !w.from.IsZero() {
			moved.from = w.from.Add(time.Duration(n) * week)
		}
		sameRelatively(r, w.compile(), moved.compile())
	})
}

// The zone means nothing where the clocks of bedside and unit go with it.
func TestAnotherZone(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		w := draw(r, t, "Etc/GMT")
		hours := rapid.SampledFrom([]int{-11, -3, 5, 14}).Draw(r, "hours east")
		west := strconv.Itoa(-hours) // the sign of these zones is turned about
		if hours < 0 {
			west = "+" + west
		}
		by := -time.Duration(hours) * time.Hour
		moved := w.with(shifted(w.entries, by, 0))
		moved.policy = inventedPolicy(t, "Etc/GMT"+west)
		moved.at, moved.known = w.at.Add(by), w.known.Add(by)
		if !w.from.IsZero() {
			moved.from = w.from.Add(by)
		}
		sameRelatively(r, w.compile(), moved.compile())
	})
}

// shifted are the entries with every moment in them so much later, and every birth
// date so many days.
func shifted(entries []*entry.Entry, by time.Duration, days int) []*entry.Entry {
	var out []*entry.Entry
	for _, e := range entries {
		out = append(out, shiftedEntry(e, by, days))
	}
	return out
}

func shiftedEntry(e *entry.Entry, by time.Duration, days int) *entry.Entry {
	x := *e
	x.At = entry.MomentOf(e.At.Add(by))
	x.Charted = entry.MomentOf(e.Charted.Add(by))
	if e.Corrected != nil {
		x.Corrected = shiftedEntry(e.Corrected, by, days)
	}
	kind, _ := entry.KindOf(e.Kind)
	x.Fields = nil
	for _, f := range e.Fields {
		if spec, _ := kind.Spec(f.Name); spec.Type == entry.Instant || spec.Type == entry.Birth {
			if m, err := entry.ParseMoment(f.Value.Text); err == nil {
				f.Value.Text = entry.MomentOf(m.Add(by)).Text
			} else if d, err := entry.ParseDate(f.Value.Text); err == nil {
				f.Value.Text = d.Add(days).String()
			}
		}
		x.Fields = append(x.Fields, f)
	}
	return &x
}

// sameRelatively compares two handovers with every moment told by how long it lies
// from the reading, and every day by how many.
func sameRelatively(t *rapid.T, want, got *handover.Handover) {
	t.Helper()
	a, b := relative(want), relative(got)
	if diff := cmp.Diff(a, b); diff != "" {
		t.Fatalf("(-want +got)\n%s", diff)
	}
}

var isoDay = regexp.MustCompile(`\d{4}-\d{2}-\d{2}`)

// saidDay is a civil day within a text.
var saidDay = regexp.MustCompile(`\d{1,2} (Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Oct|Nov|Dec)( \d{4})?`)

func relative(h *handover.Handover) []string {
	w := walker{zone: h.Zone, from: h.At}
	w.walk("", reflect.ValueOf(h))
	today := entry.DateOf(h.At, h.Zone)
	var out []string
	for _, f := range w.out {
		if f.path == "zone" || f.path == "policy" {
			continue
		}
		f.value = saidDay.ReplaceAllString(f.value, "that day")
		out = append(out, f.path+" = "+isoDay.ReplaceAllStringFunc(f.value, func(s string) string {
			d, err := entry.ParseDate(s)
			if err != nil {
				return s
			}
			return strconv.Itoa(d.Sub(today)) + " d"
		}))
	}
	return out
}
