package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"testing"
	"time"

	"cotline/handover/entry"
	"cotline/internal/intake"
	"cotline/internal/journal"
	"cotline/internal/page"
	"cotline/internal/store/sqlite"
	"cotline/internal/ward"
)

// A handover of some infants is the same whether the whole record is read for it or
// what concerns them alone: at any moment, as known at any other, whatever was
// charted late, corrected or withdrawn, and in whatever order it came.
func TestReadingSomeIsReadingAll(t *testing.T) {
	t.Parallel()
	for seed := range uint64(2) {
		t.Run(fmt.Sprint(seed), func(t *testing.T) { readsSome(t, seed, 10, 10) })
	}
}

func readsSome(t *testing.T, seed uint64, infants, days int) {
	ctx := context.Background()
	policy, issues := intake.Policy(ward.Policy())
	if len(issues) > 0 {
		t.Fatal(issues)
	}
	var lines []byte
	for line := range ward.Random(seed, infants, days) {
		lines = append(append(lines, bytes.TrimRight(line, "\n")...), '\n')
	}
	offer, err := intake.NDJSON(bytes.NewReader(lines))
	if err != nil || len(offer.Issues) > 0 {
		t.Fatal(err, offer.Issues)
	}
	first, last := offer.Entries[0].At.Time, offer.Entries[0].At.Time
	for _, e := range offer.Entries {
		if e.At.Before(first) {
			first = e.At.Time
		}
		for _, at := range []time.Time{e.At.Time, e.Charted.Time} {
			if at.After(last) {
				last = at
			}
		}
	}
	if seed%2 == 1 { // as it comes is not as it happened
		rand.New(rand.NewPCG(seed, 2)).Shuffle(len(offer.Entries), func(a, b int) {
			offer.Entries[a], offer.Entries[b] = offer.Entries[b], offer.Entries[a]
		})
	}
	store, err := sqlite.Open(ctx, filepath.Join(t.TempDir(), "ward.db"), true)
	if err != nil {
		t.Fatal(err)
	}
	defer store.Close()
	j := &journal.Journal{Store: store, Unit: unit, Now: func() time.Time { return last.Add(time.Hour) }, Engine: version,
		Compile: compiled}
	if _, err := j.Append(ctx, policy, journal.Offer(offer.Entries)); err != nil {
		var refused *journal.Refused
		if errors.As(err, &refused) {
			t.Fatal(refused.Issues)
		}
		t.Fatal(err)
	}
	whole, err := j.Read(ctx)
	if err != nil || len(whole.Findings) > 0 {
		t.Fatal(err, whole.Findings)
	}
	var keys []string
	for _, r := range entry.Replay(whole.Entries, last.Add(time.Hour)).Infants {
		keys = append(keys, r.Infant)
	}
	r := rand.New(rand.NewPCG(seed, 1))
	moment := func() time.Time { return first.Add(time.Duration(r.Int64N(int64(last.Sub(first) + 2*time.Hour)))) }
	smaller, told := 0, 0
	for range 20 {
		w := window{at: moment(), known: moment()}
		if r.IntN(2) == 0 {
			w.known = last.Add(time.Hour)
		}
		if r.IntN(3) == 0 {
			w.since = w.at.Add(-time.Duration(r.IntN(60)) * time.Hour)
		}
		some := []string{keys[r.IntN(len(keys))]}
		if r.IntN(2) == 0 {
			some = append(some, keys[r.IntN(len(keys))])
		}
		about := journal.About{Infants: some, At: w.at, Known: w.known, Since: w.since}
		part, err := j.ReadAbout(ctx, about, policy)
		if err != nil || len(part.Findings) > 0 {
			t.Fatal(err, part.Findings)
		}
		if len(part.Entries) < len(whole.Entries) {
			smaller++
		}
		s := &settings{infants: some}
		all := compile(whole.Ward(policy), w, whole)
		if s.choose(all) != nil {
			continue // nobody of them is here
		}
		told++
		chosen := part.Ward(policy)
		chosen.Only = some
		got := compile(chosen, w, part)
		if err := s.choose(got); err != nil {
			t.Fatalf("at %v: %v", w.at, err)
		}
		if want, got := page.JSON(all), page.JSON(got); !bytes.Equal(want, got) {
			t.Fatalf("infants %v at %v, known %v, since %v: %s", some, w.at, w.known, w.since, firstDifferent(string(want), string(got)))
		}
		var want, text bytes.Buffer
		if err := page.Text(&want, all, page.Options{}); err != nil {
			t.Fatal(err)
		}
		if err := page.Text(&text, got, page.Options{}); err != nil {
			t.Fatal(err)
		}
		if want.String() != text.String() {
			t.Fatalf("infants %v at %v: as text: %s", some, w.at, firstDifferent(want.String(), text.String()))
		}
	}
	if smaller == 0 || told == 0 {
		t.Errorf("of 20 readings %d read less than all, %d told of an infant", smaller, told)
	}
}
