package access_test

import (
	"strings"
	"testing"

	"cotline/internal/access"
	"cotline/internal/access/accesstest"
	"cotline/internal/journal"
)

func noted(t *testing.T) (*access.Access, *accesstest.Memory) {
	t.Helper()
	a, store, _ := ward(t)
	maeve := accesstest.In(t, a, "maeve").Who
	from := access.Origin{Address: "192.0.2.7", Request: "r-1"}
	for _, e := range []access.Event{
		{Unit: home, Kind: access.Read, What: "page", Infants: []string{"reed-1"}},
		{Unit: home, Kind: access.Read, What: "ward", Whole: true},
		{Unit: home, Kind: access.Corrected, Infants: []string{"sedge-2", "reed-1", "sedge-2"}},
		{Unit: home, Kind: access.Printed, Infants: []string{"sedge-2"}},
		{Unit: "moss", Kind: access.Read, Infants: []string{"reed-1"}},
	} {
		fits(t, "note", a.Note(ctx, maeve, from, e))
	}
	return a, store
}

func TestWhoLooked(t *testing.T) {
	a, _ := noted(t)
	r, err := a.Trace(ctx, accesstest.In(t, a, "kim").Who, access.Origin{}, home, access.About{Infant: "reed-1"})
	fits(t, "trace", err)
	if len(r.Events) != 3 || len(r.Findings) > 0 {
		t.Fatalf("%+v", r)
	}
	e := r.Events[0]
	if e.Who != "maeve" || e.Address != "192.0.2.7" || e.Request != "r-1" || e.Method != access.ByPassword || e.Session == "" ||
		!e.At.Equal(accesstest.Start) {
		t.Errorf("%+v", e)
	}
	if got := strings.Join(r.Events[2].Infants, " "); got != "reed-1 sedge-2" {
		t.Errorf("infants %s", got)
	}
	all := events(t, a, home, access.TraceRead) // who reads the trace stands in it
	if len(all) != 1 || all[0].Who != "kim" || all[0].Infants[0] != "reed-1" {
		t.Errorf("%+v", all)
	}
}

// The chain is the journal's: the same texts make the same links.
func TestTraceChainIsTheJournals(t *testing.T) {
	a, store := noted(t)
	var head journal.Head
	fits(t, "read", store.Read(ctx, func(v access.View) error {
		return v.Trace(home, 0, func(r access.Traced) error {
			head = journal.Head{Position: head.Position + 1, Chain: head.Chain.Next(r.Text)}
			return nil
		})
	}))
	r, err := a.Trace(ctx, access.Console(), access.Origin{}, home, access.About{})
	if err != nil || r.Head != head || int(head.Position) != len(r.Events) {
		t.Error(r.Head, head, err)
	}
}

func TestTraceThatWasChanged(t *testing.T) {
	for name, c := range map[string]struct {
		do   func([]access.Traced) []access.Traced
		want int64 // position of the first finding
	}{
		"a word": {func(r []access.Traced) []access.Traced {
			r[2].Text = strings.Replace(r[2].Text, "olga", "evie", 1)
			return r
		}, 3},
		"a word and its chain": {func(r []access.Traced) []access.Traced {
			r[2].Text = strings.Replace(r[2].Text, "olga", "evie", 1)
			r[2].Chain = r[1].Chain.Next(r[2].Text)
			return r
		}, 4},
		"one taken out": {func(r []access.Traced) []access.Traced { return append(r[:2], r[3:]...) }, 4},
		"two that changed places": {func(r []access.Traced) []access.Traced {
			r[2].Text, r[3].Text = r[3].Text, r[2].Text
			return r
		}, 3},
		"another unit's": {func(r []access.Traced) []access.Traced {
			text := strings.Replace(r[0].Text, `"unit":"fern"`, `"unit":"moss"`, 1)
			return []access.Traced{{Position: 1, Text: text, Chain: journal.Hash{}.Next(text)}}
		}, 1},
		"what is no event": {func([]access.Traced) []access.Traced {
			return []access.Traced{{Position: 1, Text: "{", Chain: journal.Hash{}.Next("{")}}
		}, 1},
	} {
		t.Run(name, func(t *testing.T) {
			a, store := noted(t)
			store.Change(home, c.do)
			r, err := a.Trace(ctx, access.Console(), access.Origin{}, home, access.About{})
			if err != nil || len(r.Findings) == 0 || r.Findings[0].Position != c.want {
				t.Errorf("%+v %v", r.Findings, err)
			}
		})
	}
}

// Whichever byte of a row or of its chain is another, the trace is not whole.
func TestOneBitOfTheTrace(t *testing.T) {
	a, store := noted(t)
	found := func(what string, row, at int) {
		t.Helper()
		r, err := a.Trace(ctx, access.Console(), access.Origin{}, home, access.About{})
		if err != nil || len(r.Findings) == 0 {
			t.Errorf("%s of row %d, byte %d: not found, %v", what, row, at, err)
		}
	}
	var rows []access.Traced
	store.Change(home, func(all []access.Traced) []access.Traced { rows = all; return all })
	change := func(n int, row access.Traced) {
		store.Change(home, func(all []access.Traced) []access.Traced { all[n] = row; return all })
	}
	for n, row := range rows {
		for at := range row.Text {
			text := []byte(row.Text)
			text[at] ^= 1 << (at % 8)
			change(n, access.Traced{Position: row.Position, Text: string(text), Chain: row.Chain})
			found("text", n, at)
		}
		for at := range row.Chain {
			other := row
			other.Chain[at] ^= 1 << (at % 8)
			change(n, other)
			found("chain", n, at)
		}
		change(n, access.Traced{Position: row.Position ^ 1, Text: row.Text, Chain: row.Chain})
		found("position", n, 0)
		change(n, row)
	}
	if r, err := a.Trace(ctx, access.Console(), access.Origin{}, home, access.About{}); err != nil || len(r.Findings) > 0 {
		t.Error("nothing is changed any more", r.Findings, err)
	}
}

func TestWhatIsNoWordIsNotTraced(t *testing.T) {
	a, _ := noted(t)
	for what, e := range map[string]access.Event{
		"no unit":        {Kind: access.Read},
		"no kind":        {Unit: home},
		"made-up kind":   {Unit: home, Kind: "looked through the window"},
		"a line":         {Unit: home, Kind: access.Read, What: "a\nb"},
		"a long text":    {Unit: home, Kind: access.Read, What: strings.Repeat("x", 5000)},
		"a line of keys": {Unit: home, Kind: access.Read, Infants: []string{"a\x1b[2J"}},
	} {
		if err := a.Note(ctx, nil, access.Origin{}, e); err == nil {
			t.Errorf("%s is traced", what)
		}
	}
	many := make([]string, 51)
	for i := range many {
		many[i] = strings.Repeat("k", i+1)
	}
	fits(t, "many", a.Note(ctx, nil, access.Origin{}, access.Event{Unit: home, Kind: access.Exported, Infants: many}))
	all := events(t, a, home, access.Exported)
	if len(all) != 1 || !all[0].Whole || all[0].Infants != nil {
		t.Errorf("%+v", all)
	}
}

// Rows that are gone from the end show against the mark; the first that is traced then says
// so in the trace itself, and nobody is kept out.
func TestTraceThatWasCut(t *testing.T) {
	a, store := noted(t)
	whole := len(events(t, a, home))
	store.Change(home, func(r []access.Traced) []access.Traced { return r[:len(r)-2] })
	r, err := a.Trace(ctx, access.Console(), access.Origin{}, home, access.About{})
	if err != nil || len(r.Findings) != 1 || !strings.Contains(r.Findings[0].What, "are gone") {
		t.Fatal(r.Findings, err)
	}
	accesstest.In(t, a, "olga")
	lost := events(t, a, home, access.TraceLost)
	if len(lost) != 1 || !strings.Contains(lost[0].Detail, "it ended at position") || int(lost[0].Position) != whole-1 {
		t.Errorf("%d: %+v", whole, lost)
	}
}
