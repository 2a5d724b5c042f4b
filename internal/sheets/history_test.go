package sheets

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/wardtest"
)

// historyOf compiles the short record as of a moment after all of it and reads some columns of a sheet.
func historyOf(t *testing.T, sheet string, columns ...string) []string {
	t.Helper()
	var entries []*entry.Entry
	for line := range strings.Lines(recordLines) {
		entries = append(entries, wardtest.Entry(t, []byte(line)))
	}
	slices.Reverse(entries)
	at := time.Date(2026, 10, 21, 6, 0, 0, 0, time.UTC)
	p := wardtest.Policy(t, []byte("unit: Sorrel unit\ntimezone: Europe/Vienna\n"))
	h := handover.Compile(handover.Ward{Entries: entries, Policy: p}, at, at, time.Time{})
	o := workbook(t, h, entries)
	var out []string
	for _, r := range o.records(sheet) {
		var row []string
		for _, c := range columns {
			v, ok := r[c]
			if !ok { // left out: no row has a value there
				v = "ABSENT"
			}
			row = append(row, v)
		}
		out = append(out, strings.Join(row, "|"))
	}
	return out
}

// What stands is shown, with the correction that holds; what was withdrawn is not.
func TestHistories(t *testing.T) {
	for _, c := range []struct {
		sheet   string
		columns []string
		want    []string
	}{
		{"Settings", []string{"Happened (Europe/Vienna)", "Set pressure (cmH2O)", "Set FiO2 (%)", "By", "Charted (Europe/Vienna)",
			"Corrected (Europe/Vienna)"},
			[]string{"2026-10-20 10:02|5.50|ABSENT|rn-sage|2026-10-20 10:01|2026-10-20 12:00"}},
		{"Growth", []string{"Kind", "Weight (g)", "Head circumference (cm)", "Bonnet: Action"},
			[]string{"weight|1220|does not apply|ABSENT", "weight|1230|does not apply|ABSENT", "head|does not apply|25.0|ABSENT"}},
		{"Skin", []string{"Happened (Europe/Vienna)", "Septum", "Bridge", "Occiput"},
			[]string{"2026-10-20 16:30|blanching; dry, crust; Under a barrier: yes|intact|ABSENT"}},
		{"Devices", []string{"Kind", "Support: State", "Support: Mode", "Humidifier: Chamber (°C)"},
			[]string{"support|started|cpap|ABSENT"}},
		{"Episodes", []string{"Cot"}, []string{"Nothing of this was charted in the present stays."}},
	} {
		if diff := cmp.Diff(c.want, historyOf(t, c.sheet, c.columns...)); diff != "" {
			t.Errorf("%s: %s", c.sheet, diff)
		}
	}
}

// A kind that is added to the table of kinds reaches the workbook without a line of code.
func TestInventedKind(t *testing.T) {
	before := entry.Kinds
	defer func() { entry.Kinds = before }()
	entry.Kinds = append(slices.Clone(before), entry.Kind{Name: "lullaby", Label: "Lullaby", Fields: []entry.Spec{
		{Name: "loudnessDb", Label: "Loudness", Type: entry.Number, Unit: "dB", Min: "0", Max: "60"},
		{Name: "song", Label: "Song", Type: entry.Text, Longest: 40},
	}})
	e := wardtest.Entry(
		t,
		[]byte(
			`{"id":"00000000-0000-4000-8000-0000000000aa","infant":"in-a","kind":"lullaby","at":"2026-10-20T16:00:00+02:00",`+
				`"by":"rn-reed","loudnessDb":42.0,"song":"+ one"}`,
		),
	)
	o := workbook(t, byHand(t), []*entry.Entry{e})
	r := o.records("Entries")[0]
	if r["Kind"] != "lullaby" || r["What was charted"] != "Loudness: 42.0 dB; Song: + one" {
		t.Errorf("%v", r)
	}
}

// Every object's field has its own column, numbers as numbers.
func TestObservationsColumns(t *testing.T) {
	d, o := demoBook(t)
	scored := 0
	for _, c := range o.column("Observations", "Silverman-Andersen: Upper chest") {
		if c.Type == "numerical" {
			scored++
		}
	}
	want := 0
	for _, e := range d.entries {
		if v, ok := fieldOf(e.Fields, "silverman"); ok && e.Kind == "observations" {
			if _, ok := fieldOf(v.Fields, "chest"); ok {
				want++
			}
		}
	}
	if scored == 0 || scored > want {
		t.Errorf("%d scores of %d charted", scored, want)
	}
}
