package storetest

import (
	"errors"
	"fmt"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"cotline/internal/journal"
)

// randomWork appends, thinks better of it, closes and opens again in any order,
// and holds the store to a list in memory. Each run has a unit of its own.
func randomWork(t *testing.T, open func() journal.Store) {
	s := open()
	run := 0
	rapid.Check(t, func(r *rapid.T) {
		run++
		unit := fmt.Sprint("unit ", run)
		var want []journal.Row
		n := 0
		for _, step := range rapid.SliceOfN(rapid.SampledFrom([]string{"append", "append", "append", "open again"}), 1, 8).Draw(r,
			"steps") {
			if step == "open again" {
				if err := s.Close(); err != nil {
					r.Fatal(err)
				}
				s = open()
				continue
			}
			many := rapid.IntRange(0, 4).Draw(r, "rows")
			keep := rapid.Bool().Draw(r, "keep")
			var added []journal.Row
			err := s.Write(ctx, unit, func(tx journal.Tx) error {
				for range many {
					n++
					infant := rapid.SampledFrom([]string{"", "a", "b"}).Draw(r, "infant")
					row, err := add(tx, uuid(n), infant, rapid.StringMatching(`\{[a-zäöü'"]{0,9}\}`).Draw(r, "text"))
					if err != nil {
						return err
					}
					added = append(added, row)
				}
				if !keep {
					return errNotKept
				}
				return nil
			})
			if keep {
				want = append(want, added...)
			}
			if keep && err != nil || !keep && !errors.Is(err, errNotKept) {
				r.Fatal(err)
			}
		}
		if got := all(t, s, unit); !slices.Equal(got, want) {
			r.Fatalf("got %v, want %v", got, want)
		}
	})
}

var errNotKept = errors.New("not kept")
