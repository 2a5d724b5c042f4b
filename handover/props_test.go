package handover_test

import (
	"bytes"
	"math/rand/v2"
	"regexp"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"cotline/handover"
	"cotline/handover/entry"
	invented "cotline/internal/ward"
	"cotline/internal/wardtest"
)

// The properties below are held over random wards of an invented unit: breaks,
// rests and intervals at their very limits, entries of one moment, corrections of
// corrections, the wrong twin, second stays, late charting, and the night in which
// the clock changes.

var policies sync.Map // by zone: read once

// inventedPolicy is the policy of these wards, in a zone of choice.
func inventedPolicy(t testing.TB, zone string) *handover.Policy {
	t.Helper()
	if p, ok := policies.Load(zone); ok {
		return p.(*handover.Policy)
	}
	text := bytes.Replace(invented.Policy(), []byte("timezone: Europe/Vienna"), []byte("timezone: "+zone), 1)
	p := wardtest.Policy(t, text)
	if p.Zone.String() != zone {
		t.Fatal(p.Zone)
	}
	policies.Store(zone, p)
	return p
}

// randomWard is a ward and a reading of it.
type randomWard struct {
	entries         []*entry.Entry
	policy          *handover.Policy
	at, known, from time.Time
}

func (w randomWard) compile() *handover.Handover {
	return handover.Compile(handover.Ward{Entries: w.entries, Policy: w.policy}, w.at, w.known, w.from)
}

// with is the same reading of other entries.
func (w randomWard) with(entries []*entry.Entry) randomWard {
	w.entries = entries
	return w
}

var wards sync.Map // by seed: parsed once

func randomEntries(t testing.TB, seed uint64) []*entry.Entry {
	t.Helper()
	if w, ok := wards.Load(seed); ok {
		return w.([]*entry.Entry)
	}
	var out []*entry.Entry
	for line := range invented.Random(seed, 3, 2) {
		out = append(out, mustEntry(t, string(line)))
	}
	wards.Store(seed, out)
	return out
}

// draw is a ward and a reading of it: at a moment near that of an entry, with what
// was known then, before or after, and with or without a given start.
func draw(t *rapid.T, tb testing.TB, zone string) randomWard {
	w := randomWard{entries: randomEntries(tb, rapid.Uint64Range(1, 60).Draw(t, "seed")), policy: inventedPolicy(tb, zone)}
	near := func(name string) time.Time {
		e := pick(t, w.entries, name)
		return e.At.Add(time.Duration(rapid.SampledFrom([]int{0, 0, 0, 1, -1, 30, 60, 240, 600}).Draw(t, name+", minutes")) * time.Minute)
	}
	w.at = near("at")
	w.known = w.at
	if rapid.IntRange(0, 3).Draw(t, "other known") == 0 {
		w.known = near("known")
	}
	if rapid.IntRange(0, 2).Draw(t, "since given") == 0 {
		w.from = near("since")
		if w.from.After(w.at) {
			w.from, w.at = w.at, w.from
		}
	}
	return w
}

// pick is one of some entries; rapid would print them whole.
func pick(t *rapid.T, entries []*entry.Entry, name string) *entry.Entry {
	return entries[rapid.IntRange(0, len(entries)-1).Draw(t, name)]
}

// same compares two handovers fact by fact, after putting aside what may differ.
func same(t *rapid.T, want, got *handover.Handover, aside func(string) string) {
	t.Helper()
	a, b := text(want), text(got)
	if aside != nil {
		a, b = aside(a), aside(b)
	}
	if a != b {
		t.Fatalf("(-want +got)\n%s", cmp.Diff(strings.Split(a, "\n"), strings.Split(b, "\n")))
	}
}

// without drops the lines that match.
func without(pattern string) func(string) string {
	drop := regexp.MustCompile(`(?m)^.*` + pattern + `.*\n`)
	return func(s string) string { return drop.ReplaceAllString(s, "") }
}

// unnumbered drops the lines that match, and the numbers of what a person must see.
func unnumbered(pattern string) func(string) string {
	number := regexp.MustCompile(`(?m)^(\S+\.attention\.[a-z0-9-]+)\.\d+ `)
	return func(s string) string { return number.ReplaceAllString(without(pattern)(s), "$1 ") }
}

// The order of entries in a file means nothing, and compiling again changes nothing.
func TestOrderOfEntriesMeansNothing(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		w := draw(r, t, "Europe/Vienna")
		h := w.compile()
		same(r, h, w.compile(), nil)
		mixed := slices.Clone(w.entries)
		rand.New(rand.NewPCG(rapid.Uint64().Draw(r, "order"), 0)).
			Shuffle(len(mixed), func(i, j int) { mixed[i], mixed[j] = mixed[j], mixed[i] })
		same(r, h, w.with(mixed).compile(), nil)
	})
}

// Every infant admitted at the moment stands in the handover, once, and nobody else.
func TestNobodyIsLeftOut(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		w := draw(r, t, "Europe/Vienna")
		var want, got []string
		for _, record := range entry.Replay(w.entries, w.known).Infants {
			if record.Admitted(w.at) != nil {
				want = append(want, record.Infant)
			}
		}
		for _, s := range w.compile().Infants {
			got = append(got, s.Infant)
		}
		slices.Sort(got)
		if diff := cmp.Diff(want, got); diff != "" {
			r.Fatalf("(-want +got)\n%s", diff)
		}
	})
}

// What is charted for others changes nothing but conflicts and look-alikes.
func TestOtherInfantsChangeNothing(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		w := draw(r, t, "Europe/Vienna")
		h := w.compile()
		for _, s := range h.Infants {
			alone := w.with(slices.DeleteFunc(slices.Clone(w.entries),
				func(e *entry.Entry) bool { return e.Infant != "" && e.Infant != s.Infant })).compile()
			one := *h
			one.Infants = []*handover.Summary{s}
			one.Late = slices.DeleteFunc(slices.Clone(h.Late), func(l handover.Late) bool { return l.Infant != s.Infant })
			one.Left = slices.DeleteFunc(slices.Clone(h.Left), func(l handover.Left) bool { return l.Infant != s.Infant })
			same(r, &one, alone, unnumbered(`\.(lookAlikes|conflicts|attention\.(look-alike|conflict))\.`))
		}
	})
}

// What had not been written down, and what had not happened, is not seen.
func TestWhatComesLaterChangesNothing(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		w := draw(r, t, "Europe/Vienna")
		amended := map[string]bool{}
		for _, e := range w.entries {
			if e.Kind == "correction" {
				amended[e.Reference("of")] = true
			}
		}
		seen := slices.DeleteFunc(slices.Clone(w.entries), func(e *entry.Entry) bool {
			later := e.At.After(w.at) && e.Kind != "correction" && e.Kind != "retraction" && !amended[e.ID]
			return later || e.Charted.After(w.known)
		})
		h := w.compile()
		var aside func(string) string
		for _, s := range h.Infants {
			if s.Since.After(w.known) { // what was told then was known later than what is known now
				aside = without(`\.(changes\.|new =|attention\.(new|look-alike)\.)`)
			}
		}
		same(r, h, w.with(seen).compile(), aside)
	})
}

// A correction equals charting it right the first time, but for who and when.
func TestACorrectionIsAsIfChartedRight(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		w := draw(r, t, "Europe/Vienna")
		corrected := map[string]bool{}
		var plain []*entry.Entry
		for _, e := range w.entries {
			if e.Kind == "correction" || e.Kind == "retraction" {
				corrected[e.Reference("of")] = true
			} else {
				plain = append(plain, e)
			}
		}
		plain = slices.DeleteFunc(plain, func(e *entry.Entry) bool { return corrected[e.ID] })
		right := pick(r, plain, "entry")
		like := slices.DeleteFunc(slices.Clone(plain), func(e *entry.Entry) bool { return e.Kind != right.Kind })
		other := pick(r, like, "charted at first")
		wrong, as := *right, *right
		wrong.At, wrong.Fields = other.At, other.Fields
		as.ID, as.By, as.Charted, as.Offered = "", "", entry.Moment{}, false
		fix := entry.Entry{ID: entryID(1), Infant: right.Infant, Kind: "correction", At: right.Charted, Charted: right.Charted,
			By: "someone-else", Corrected: &as,
			Fields: []entry.Field{{Name: "of", Value: entry.Value{Type: entry.TextValue, Text: right.ID}}}}
		var entries []*entry.Entry
		for _, e := range w.entries {
			if e == right {
				entries = append(entries, &wrong, &fix)
			} else {
				entries = append(entries, e)
			}
		}
		same(r, w.compile(), w.with(entries).compile(), provenanceAside(right.ID, right.By))
	})
}

// provenanceAside takes away who charted one entry and that it was corrected, and
// why something changed, for that may be the correction.
func provenanceAside(id, by string) func(string) string {
	source := regexp.MustCompile(`(?m)^(\S+ = ` + id + ` .*?) (` + regexp.QuoteMeta(by) + `|someone-else)( charted .*?)?( corrected .*)?$`)
	why := regexp.MustCompile(`(?m)^(.*\.changes\..*), (happened|corrected|late) (\S*)$`)
	listed := without(`\.doubts\.staff = `)
	return func(s string) string {
		return why.ReplaceAllString(source.ReplaceAllString(listed(s), "$1$3"), "$1 $3")
	}
}

// Settings charted as two entries of one moment, each with some of the fields or
// both with all of them, are as if charted as one; but what arrived or was written late
// is told, and counted, by entry.
func TestSettingsInTwoEntries(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		w := draw(r, t, "Europe/Vienna")
		settings := slices.DeleteFunc(slices.Clone(w.entries), func(e *entry.Entry) bool {
			return e.Kind != "settings" || slices.ContainsFunc(w.entries, func(a *entry.Entry) bool { return a.Reference("of") == e.ID })
		})
		if len(settings) == 0 {
			r.Skip("no settings")
		}
		one := pick(r, settings, "entry")
		first, second := *one, *one
		second.ID = one.ID[:len(one.ID)-1] + "x" // next to it in order
		if rapid.Bool().Draw(r, "by field") {
			n := rapid.IntRange(0, len(one.Fields)).Draw(r, "fields")
			first.Fields, second.Fields = one.Fields[:n], one.Fields[n:]
		}
		var entries []*entry.Entry
		for _, e := range w.entries {
			if e == one {
				entries = append(entries, &first, &second)
			} else {
				entries = append(entries, e)
			}
		}
		counted := without(`late\.\d+ = `)
		same(r, w.compile(), w.with(entries).compile(), func(s string) string { return counted(strings.ReplaceAll(s, second.ID, one.ID)) })
	})
}
