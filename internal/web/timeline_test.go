package web

import (
	"net/http"
	"net/url"
	"strings"
	"testing"
	"time"
)

// Every entry of an infant stands on its pages, once, with who charted it; what was
// corrected and withdrawn is said so, and no restricted name is there.
func TestTimeline(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	v := b.as(t, "nurse")
	for _, f := range look(t, b.fern.live()).Ward().Infants {
		path, text := infantPath("fern", f.Infant)+"/entries", ""
		for pages := 0; path != ""; pages++ {
			if pages > 200 {
				t.Fatal("no end")
			}
			got := v.get(t, path)
			if got.status != http.StatusOK {
				t.Fatal(path, got.status)
			}
			text, path = text+got.body, ""
			if _, rest, ok := strings.Cut(got.body, `href="`+infantPath("fern", f.Infant)+"/entries?"); ok {
				query, _, _ := strings.Cut(rest, `"`)
				path = infantPath("fern", f.Infant) + "/entries?" + strings.ReplaceAll(query, "&amp;", "&")
			}
		}
		if f.Restricted && f.Family != "" && strings.Contains(text, f.Family) {
			t.Errorf("%s: a restricted name", f.Cot)
		}
		for _, e := range b.held(t).Entries {
			if n := strings.Count(text, `id="e-`+e.ID+`"`); e.Infant == f.Infant && !e.Amends() && n != 1 {
				t.Errorf("%s: %s stands %d times", f.Cot, e.Kind, n)
			}
			if e.Infant != f.Infant || e.Kind != "retraction" {
				continue
			}
			if !strings.Contains(text, "WITHDRAWN: ") {
				t.Errorf("%s: nothing is said to be withdrawn", f.Cot)
			}
		}
	}
}

// What was corrected says so, with who and why.
func TestTimelineTellsCorrections(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	v, f, before := b.as(t, "nurse"), b.two(t)[0], b.head(t)
	b.fern.chart(t, offered(t, []byte(`{"id":"00000000-0000-4000-8000-00000000bbbe","infant":"`+f.Infant+`","kind":"weight","at":"`+
		b.fern.clock.Now().Format(time.RFC3339)+`","by":"rn-agate","weightG":1780}`+"\n"))...)
	path := entryPath("fern", f.Infant, b.since(t, before)[0].ID, "correct")
	posted := with(shown(t, v.get(t, path).body), "weight.weightG", "1770", "reason", "the scale was read again")
	mustGoOn(t, v.post(t, path, posted))
	text := v.get(t, infantPath("fern", f.Infant)+"/entries").body
	if !strings.Contains(text, "CORRECTED by") || !strings.Contains(text, "the scale was read again") || !strings.Contains(text, "1770") ||
		strings.Contains(text, "1780") {
		t.Error(text)
	}
	early := url.Values{"before": {"2000-01-01T00:00:00+00:00"}}.Encode()
	if got := v.get(t, infantPath("fern", f.Infant)+"/entries?"+early); !strings.Contains(
		got.body,
		"Nothing was charted before that",
	) {
		t.Errorf("%d", got.status)
	}
}

// A figure leads to the entry that it is from: that entry stands on the page it leads to;
// what cannot be computed says what lacks.
func TestFiguresLeadToEntries(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	v := b.as(t, "nurse")
	for _, f := range look(t, b.fern.live()).Ward().Infants {
		got := v.get(t, infantPath("fern", f.Infant)+"/facts")
		if got.status != http.StatusOK {
			t.Fatal(got.status)
		}
		for _, x := range f.NotComputed {
			if !strings.Contains(wordsOf(nodes(t, got.body, "rows")[0]), strings.Join(strings.Fields(x.Why), " ")) {
				t.Errorf("%s: not said why %s is not computed", f.Cot, x.Path)
			}
		}
		seen := map[string]bool{}
		for _, s := range f.Settings {
			if s.Fact == nil || seen[s.Fact.Entry] {
				continue
			}
			seen[s.Fact.Entry] = true
			to := entriesAt("fern", f.Infant, s.Fact.Entry)
			if !strings.Contains(got.body, `href="`+to+`"`) {
				t.Errorf("%s: %s does not lead to its entry", f.Cot, s.Field)
			}
			path, anchor, _ := strings.Cut(to, "#")
			if there := v.get(t, path); !strings.Contains(there.body, `id="`+anchor+`"`) {
				t.Errorf("%s: %s leads where its entry is not", f.Cot, s.Field)
			}
		}
		if f.Support.State == "on" && len(f.Gaps) == 0 && len(seen) == 0 {
			t.Errorf("%s: no figure was looked at", f.Cot)
		}
	}
}
