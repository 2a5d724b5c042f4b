package sheets

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/wardtest"
)

const wearLines = `{"id":"00000000-0000-4000-8000-00000000000a","infant":"in-1","kind":"admission","at":"2026-10-24T08:00:00+02:00",` +
	`"by":"rn-reed","born":"2026-10-20","cot":"1","mrn":"007"}
{"id":"00000000-0000-4000-8000-000000000001","infant":"in-1","kind":"support","at":"2026-10-24T10:00:00+02:00","by":"rn-reed","state":"started","mode":"cpap"}
{"id":"00000000-0000-4000-8000-000000000002","infant":"in-1","kind":"interface","at":"2026-10-24T10:05:00+02:00","by":"rn-reed","type":"mask","size":"=pea","reason":"first"}
{"id":"00000000-0000-4000-8000-000000000003","infant":"in-1","kind":"interface","at":"2026-10-24T14:05:00+02:00","by":"rn-reed","type":"off"}
{"id":"00000000-0000-4000-8000-000000000004","infant":"in-1","kind":"interface","at":"2026-10-25T02:30:00+02:00","charted":"2026-10-25T04:00:00+01:00","by":"rn-sage","type":"prongs"}
{"id":"00000000-0000-4000-8000-000000000005","infant":"in-1","kind":"interface","at":"2026-10-25T02:30:00+01:00","by":"rn-sage","type":"mask","size":"oat","reason":"leak"}`

// A period a row, with the hours that passed, in the night the clock goes back too.
func TestInterfacesSheet(t *testing.T) {
	var entries []*entry.Entry
	for line := range strings.Lines(wearLines) {
		entries = append(entries, wardtest.Entry(t, []byte(line)))
	}
	at := time.Date(2026, 10, 25, 6, 0, 0, 0, time.UTC)
	p := wardtest.Policy(t, []byte("unit: Sorrel unit\ntimezone: Europe/Vienna\n"))
	o := workbook(t, handover.Compile(handover.Ward{Entries: entries, Policy: p}, at, at, time.Time{}), entries)
	var got []string
	for _, r := range o.records("Interfaces") {
		var row []string
		for _, c := range []string{"Hospital number, or label", "Type", "Size", "On from (Europe/Vienna)",
			"On from, offset from UTC", "On until (Europe/Vienna)", "On until, offset from UTC",
			"Hours on support", "Ended by", "Reason it was put on", "By", "Charted (Europe/Vienna)"} {
			v, ok := r[c]
			if !ok {
				t.Fatalf("no column %q", c)
			}
			row = append(row, v)
		}
		got = append(got, strings.Join(row, "|"))
	}
	want := []string{
		"007|mask|=pea|2026-10-24 10:05|+02:00|2026-10-24 14:05|+02:00|4.00|taken off|first|rn-reed|when it happened",
		"007|prongs|not charted|2026-10-25 02:30|+02:00|2026-10-25 02:30|+01:00|1.00|another type or size|not " +
			"charted|rn-sage|2026-10-25 04:00",
		"007|mask|oat|2026-10-25 02:30|+01:00|still on|–|4.50|still on|leak|rn-sage|when it happened",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
}

// Every period of the demo ward stands in the sheet.
func TestInterfacesOfTheDemo(t *testing.T) {
	d, o := demoBook(t)
	records := map[string]*entry.Record{}
	for _, r := range entry.Replay(d.entries, d.handover.Known).Infants {
		records[r.Infant] = r
	}
	want := 0
	for _, s := range d.handover.Infants {
		r := records[s.Infant]
		want += len(handover.Wears(d.policy, r, r.Admitted(d.handover.At), d.handover.At))
	}
	if got := len(o.records("Interfaces")); got != want || want < 20 {
		t.Errorf("%d rows, want %d", got, want)
	}
}
