package intake_test

import (
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"cotline/internal/intake"
)

// roundHead are headers as the sheet of rounds has them.
var roundHead = []any{
	"infant",
	"at",
	"by",
	"written",
	"observations.spo2Percent",
	"observations.spo2Site",
	"observations.silverman.chest",
	"observations.silverman.grunt",
	"settings.pressureCmH2O",
	"skin.sites.septum",
	"skin.sites.others",
	"tube.markCm",
	"care.what.mouth-care",
	"care.what.position",
	"setup.steps.gases",
	"calibration.points.21",
	"alarm.about",
	"alarm.tried.1",
	"alarm.tried.2",
	"outlook.ifThen.1.if",
	"outlook.ifThen.1.then",
	"id",
}

func roundOf(t *testing.T, rows ...[]any) intake.Offer {
	t.Helper()
	cells := rowOf(1, roundHead...)
	for i, r := range rows {
		cells = append(cells, rowOf(i+2, r...)...)
	}
	return readXLSX(t, vienna(t), bookOf(t, cells, func(f *excelize.File) {
		_, err := f.NewSheet(intake.InfantsSheet)
		must(t, err)
		for ref, v := range map[string]string{"A1": "Infants of the ward", "A2": "choice", "B2": "infant", "A3": "B7 · 0730",
			"B3": "reed-1"} {
			must(t, f.SetCellStr(intake.InfantsSheet, ref, v))
		}
	}))
}

// One row becomes the entries that it means, each under an id that follows from the row's; the row again has the same.
func TestRound(t *testing.T) {
	row := []any{
		"B7 · 0730",
		"2026-10-24 08:00",
		"rn-1",
		"as it happened",
		"93,5",
		"Foot",
		1,
		0,
		6,
		"blanching, dry; asked for a barrier",
		"yes",
		15.5,
		"x",
		"left; settled",
		"done",
		21.2,
		"low-pressure",
		"tubing off: found",
		"mouth open: not found",
		"it comes again",
		"call",
		id(1),
	}
	o := roundOf(t, row)
	const head = `"infant":"reed-1","kind":"`
	const tail = `,"at":"2026-10-24T08:00:00+02:00","charted":"2026-10-24T08:00:00+02:00","by":"rn-1"`
	intact := ""
	for _, site := range []string{"columella", "naris-left", "naris-right", "bridge", "philtrum", "cheek-left", "cheek-right", "forehead",
		"ear-left", "ear-right", "occiput"} {
		intact += `,{"site":"` + site + `","finding":"intact"}`
	}
	want := ""
	for _, e := range []string{
		`observations"` + tail + `,"spo2Percent":93.5,"spo2Site":"foot","silverman":{"chest":1,"grunt":0}}`,
		`settings"` + tail + `,"pressureCmH2O":6}`,
		`skin"` + tail + `,"sites":[{"site":"septum","finding":"blanching","also":["dry"],"note":"asked for a barrier"}` + intact + `]}`,
		`tube"` + tail + `,"action":"checked","markCm":15.5}`,
		`care"` + tail + `,"what":"mouth-care"}`,
		`care"` + tail + `,"what":"position","side":"left","text":"settled"}`,
		`setup"` + tail + `,"steps":[{"step":"gases","done":true}]}`,
		`calibration"` + tail + `,"points":[{"gasPercent":21,"readPercent":21.2}]}`,
		`alarm"` + tail + `,"about":"low-pressure","tried":[{"cause":"tubing off","found":true},{"cause":"mouth open","found":false}]}`,
		`outlook"` + tail + `,"ifThen":[{"if":"it comes again","then":"call"}]}`,
	} {
		want += "2 {" + head + e + "\n"
	}
	told(t, "a round", o, want)
	ids := map[string]bool{}
	for i, e := range o.Entries {
		if again := roundOf(t, row).Entries[i]; again.ID != e.ID || ids[e.ID] || e.ID == id(1) {
			t.Errorf("%s: id %s, again %s", e.Kind, e.ID, again.ID)
		}
		ids[e.ID] = true
	}
}

// The switch holds for the rows below it; without it a row is written down when it is taken.
func TestRoundIsWrittenDown(t *testing.T) {
	row := func(n int, written any) []any {
		return []any{
			"reed-1",
			"2026-10-24 08:0" + string(rune('0'+n)),
			"rn-1",
			written,
			93,
			nil,
			nil,
			nil,
			nil,
			nil,
			nil,
			nil,
			nil,
			nil,
			nil,
			nil,
			nil,
			nil,
			nil,
			nil,
			nil,
			id(n),
		}
	}
	o := roundOf(t, row(1, nil), row(2, "As it happened"), row(3, nil), row(4, "copied later"), row(5, nil))
	var got []bool
	for _, e := range o.Entries {
		got = append(got, e.Offered)
	}
	if len(got) != 5 || got[0] || !got[1] || !got[2] || got[3] || got[4] {
		t.Errorf("written down as they happened: %v, %v", got, o.Issues)
	}
}

// Each fault is told at its cell, once, and what would be right in the words of the sheet; rows alike are asked about.
func TestRoundRefuses(t *testing.T) {
	row := func(change ...any) []any {
		r := []any{
			"reed-1",
			"2026-10-24 08:00",
			"rn-1",
			nil,
			93,
			nil,
			nil,
			nil,
			6,
			"ok",
			nil,
			nil,
			nil,
			nil,
			nil,
			nil,
			nil,
			nil,
			nil,
			nil,
			nil,
			id(1),
		}
		for i := 0; i < len(change); i += 2 {
			r[change[i].(int)] = change[i+1]
		}
		return r
	}
	for name, c := range map[string]struct {
		row  []any
		want string
	}{
		"nobody of the list": {row(0, "B9 · 0999"), `infant: found`},
		"a day":              {row(1, "2026-10-24"), `at: found "2026-10-24"; date and time by the clock, as 2026-10-24 07:30`},
		"nobody charted":     {row(2, nil), "by: required [missing]"},
		"another switch":     {row(3, "maybe"), "written: as it happened, or copied later [word]"},
		"out of range":       {row(8, 60), "settings.pressureCmH2O: found 60; 0 to 20 cmH2O [range]"},
		"a finding":          {row(9, "fine"), "skin.sites.septum: ok, or one of intact, blanching"},
		"a finding too few":  {row(9, "dry"), "skin.sites.septum: first the finding"},
		"a care":             {row(12, "somewhat"), "care.what.mouth-care: x, or how: none, little"},
		"a try":              {row(16, "low-pressure", 17, "tubing off"), "alarm.tried.1: what was tried and whether it was it"},
	} {
		o := roundOf(t, c.row)
		got := offered(o)
		faults := strings.Count(got, "line 2: ")
		if faults != 1 || !strings.Contains(got, "line 2: "+c.want) {
			t.Errorf("%s: %d faults\n%s", name, faults, got)
		}
	}
	o := roundOf(t, row(), row(21, id(2)))
	if len(o.Notes) != 1 || !strings.Contains(o.Notes[0], "rows 2 and 3 say the same") || len(o.Entries) != 6 {
		t.Errorf("rows alike: %v, %d entries", o.Notes, len(o.Entries))
	}
	if o := roundOf(t, []any{"reed-1", "2026-10-24 08:00", "rn-1", nil, nil, nil, nil, nil, nil, nil, nil, nil, nil, nil, nil, nil,
		nil, nil,
		nil, nil, nil, id(1)}); len(
		o.Issues,
	) != 1 {
		t.Errorf("a round in which nothing stands: %v", o.Issues)
	}
}

// A round in which nothing but the switch and the id stands was prepared and never filled.
func TestRoundNotFilled(t *testing.T) {
	o := roundOf(
		t,
		[]any{
			nil,
			nil,
			nil,
			"as it happened",
			nil,
			nil,
			nil,
			nil,
			nil,
			nil,
			nil,
			nil,
			nil,
			nil,
			nil,
			nil,
			nil,
			nil,
			nil,
			nil,
			nil,
			id(1),
		},
	)
	if len(o.Issues)+len(o.Entries) > 0 {
		t.Errorf("%v", o)
	}
}

// The part of a nested field has the cell that its fault is told at.
func TestColumnOf(t *testing.T) {
	s := intake.Sheet{
		Columns: map[string]string{"at": "B", "skin.sites.septum": "F", "skin.sites.bridge": "G", "observations.spo2Percent": "H"},
	}
	for path, want := range map[string]string{"at": "B", "skin.sites.bridge": "G", "sites[3].finding": "G", "spo2Percent": "H",
		"mode": ""} {
		if got := s.ColumnOf(path); got != want {
			t.Errorf("%s: column %q, want %q", path, got, want)
		}
	}
}
