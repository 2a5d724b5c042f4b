package access_test

import (
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"cotline/internal/access"
	"cotline/internal/access/accesstest"
)

// back reads a trace part by part, from its end to its beginning, or as far as is asked.
func back(t rapid.TB, a *access.Access, about access.About, part access.Part) (out access.Reading) {
	for {
		r, err := a.TraceBack(ctx, access.Console(), access.Origin{}, home, about, part)
		if err != nil {
			t.Fatal(err)
		}
		if len(r.Events) > part.Events {
			t.Fatalf("%d events, of at most %d", len(r.Events), part.Events)
		}
		out.Events, out.Findings = append(r.Events, out.Events...), append(out.Findings, r.Findings...)
		if out.Head.Position == 0 {
			out.Head = r.Head
		}
		if part.Before > 0 && r.Older >= part.Before {
			t.Fatalf("before %d: older is %d", part.Before, r.Older)
		}
		if part.Before = r.Older; r.Older == 0 {
			return out
		}
	}
}

// However it is parted, a trace has the events that it has in one, and is as whole.
func TestTraceInParts(t *testing.T) {
	a, store, _ := ward(t)
	maeve := accesstest.In(t, a, "maeve").Who
	at := accesstest.Start
	a.Now = func() time.Time { return at }
	for n := range 40 {
		at = at.Add(time.Hour)
		kind := []access.EventKind{access.Read, access.Printed, access.Charted}[n%3]
		fits(t, "note", a.Note(ctx, maeve, access.Origin{}, access.Event{Unit: home, Kind: kind, Infants: []string{"reed-1"}}))
	}
	rapid.Check(t, func(t *rapid.T) {
		about := access.About{}
		if rapid.Bool().Draw(t, "some kinds") {
			about.Kinds = []access.EventKind{access.Printed, access.SignIn}
		}
		if rapid.Bool().Draw(t, "since") {
			about.Since = accesstest.Start.Add(time.Duration(rapid.IntRange(0, 41).Draw(t, "hours")) * time.Hour)
		}
		part := access.Part{Events: rapid.IntRange(1, 50).Draw(t, "events"), Rows: rapid.IntRange(1, 50).Draw(t, "rows")}
		whole, err := a.Trace(ctx, access.Console(), access.Origin{}, home, about)
		if err != nil {
			t.Fatal(err)
		}
		parts := back(t, a, about, part)
		if diff := cmp.Diff(whole.Events, parts.Events); diff != "" || len(parts.Findings) > 0 || parts.Head != whole.Head {
			t.Errorf("%v of %v: %v\n%s", part, about, parts.Findings, diff)
		}
	})
	var rows []access.Traced
	store.Change(home, func(all []access.Traced) []access.Traced { rows = all; return all })
	rapid.Check(t, func(t *rapid.T) {
		n, rowsAPart := rapid.IntRange(0, len(rows)-1).Draw(t, "row"), rapid.IntRange(1, 50).Draw(t, "rows")
		how := rapid.SampledFrom([]string{"text", "chain", "gone"}).Draw(t, "how")
		store.Change(home, func([]access.Traced) []access.Traced {
			all := append([]access.Traced{}, rows...)
			switch how {
			case "text":
				all[n].Text = all[n].Text[:9] + "0" + all[n].Text[10:]
			case "chain":
				all[n].Chain[7] ^= 1
			case "gone":
				all = append(all[:n], all[n+1:]...)
			}
			return all
		})
		if parts := back(t, a, access.About{}, access.Part{Events: 100, Rows: rowsAPart}); len(parts.Findings) == 0 {
			t.Errorf("%s of row %d: not found", how, n+1)
		}
	})
}
