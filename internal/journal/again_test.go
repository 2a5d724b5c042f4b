package journal_test

import (
	"errors"
	"strings"
	"testing"

	"cotline/internal/journal"
)

// What a handover was signed on is made anew, whatever was charted since and whichever
// policy is in force; older ones are of the whole ward.
func TestAgain(t *testing.T) {
	for _, whole := range []bool{false, true} {
		b := newBench(t)
		b.chart(t, admission(t, 1, "a"), entryOf(t, 2, "a", "weight", "09:00", `"weightG":1210`), note(t, 3, "x"))
		b.chart(t, signing(t, 4, "11:30"))
		if whole {
			signWhole(t, b)
			b = older(t, b)
		}
		b.under(t, `{"unit":"Rush"}`, entryOf(t, 5, "a", "head", "09:30", `"circumferenceCm":25.1`))
		b.chart(t, signing(t, 6, "11:40"))
		s, found, err := b.Signed(ctx, id(4))
		if err != nil || !found || (s.Form == journal.WholeWard) != whole {
			t.Fatal(s.Form, found, err)
		}
		cut, err := b.Again(ctx, s)
		if err != nil {
			t.Fatal(err)
		}
		if got := b.Compile(cut.Ward, cut.At, cut.Known, cut.Head); string(got) != string(s.JSON) {
			t.Errorf("whole %v: %s\nwant %s", whole, got, s.JSON)
		}
		other := s
		other.JSON = []byte(strings.Replace(string(s.JSON), "11:30", "11:31", 1))
		kept := s
		kept.Form = journal.Kept
		for _, x := range []journal.Signed{other, kept} {
			if _, err := b.Again(ctx, x); !errors.Is(err, journal.ErrNotAsSigned) {
				t.Errorf("whole %v: %v", whole, err)
			}
		}
		b.damage(t, `UPDATE journal SET text = replace(text, '1210', '1120')`)
		if _, err := b.Again(ctx, s); !errors.Is(err, journal.ErrDamaged) {
			t.Error(err)
		}
	}
}
