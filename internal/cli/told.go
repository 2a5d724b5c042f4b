package cli

import (
	"context"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"text/tabwriter"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/journal"
	"cotline/internal/page"
)

// tellEntries prints what was taken, by infant and kind, and asks about what may be a
// slip.
func (c *charting) tellEntries(ctx context.Context, taken []*entry.Entry, initials bool) error {
	byInfant := map[string][]*entry.Entry{}
	for _, e := range taken {
		byInfant[e.Infant] = append(byInfant[e.Infant], e)
	}
	infants := slices.Sorted(maps.Keys(byInfant))
	infants = slices.DeleteFunc(infants, func(key string) bool { return key == "" })
	if len(infants) == 0 {
		return listTaken(c.program.Stdout, nil, byInfant, initials)
	}
	at := c.program.Now().In(c.policy.Zone).Add(c.policy.ClockTolerance) // what was taken may lie that far ahead
	r, err := c.journal.ReadAbout(ctx, journal.About{Infants: infants, At: at, Known: at}, c.policy)
	if err != nil {
		return recordError{c.record, err}
	}
	if broken := c.warn(r.Findings); broken != nil {
		return broken
	}
	if err := listTaken(c.program.Stdout, called(c.policy, r.Entries, infants, at), byInfant, initials); err != nil {
		return err
	}
	ward := r.Ward(c.policy)
	ward.Only = infants
	c.tellDoubts(ward, at, taken)
	return nil
}

// known is an infant, and what it is called by.
type known struct {
	key string
	handover.Called
}

// called are infants by what they are called by, in the order of that.
func called(policy *handover.Policy, entries []*entry.Entry, infants []string, at time.Time) (out []known) {
	of := map[string][]*entry.Entry{}
	for _, e := range entries {
		of[e.Infant] = append(of[e.Infant], e)
	}
	for _, key := range infants {
		if t := handover.Tell(policy, entry.Replay(of[key], everything).Of(key), at); t != nil {
			out = append(out, known{key, t.Called()})
		}
	}
	slices.SortStableFunc(out, func(a, b known) int { return handover.ByCot(a.Called, b.Called) })
	return out
}

// listTaken is a line an infant, and one of the unit.
func listTaken(w io.Writer, infants []known, byInfant map[string][]*entry.Entry, initials bool) error {
	table := tabwriter.NewWriter(w, 0, 0, 2, ' ', 0)
	for _, k := range infants { // told by Flush
		cot, name, number := page.Called(k.Called, initials)
		fmt.Fprintf(table, "%s\t%s\t%s\t%s\n", cot, name, number, byKind(byInfant[k.key]))
	}
	if of := byInfant[""]; len(of) > 0 {
		fmt.Fprintf(table, "the unit\t\t\t%s\n", byKind(of))
	}
	return table.Flush()
}

// byKind counts entries by kind, in the order of the kinds.
func byKind(entries []*entry.Entry) string {
	count := map[string]int{}
	for _, e := range entries {
		count[e.Kind]++
	}
	var out []string
	for _, k := range entry.Kinds {
		if n := count[k.Name]; n > 0 {
			out = append(out, fmt.Sprintf("%s %d", strings.ReplaceAll(k.Name, "-", " "), n))
		}
	}
	return strings.Join(out, ", ")
}

// everything is as known after all that was charted.
var everything = time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC)
