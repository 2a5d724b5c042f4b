package sheets

import (
	"bytes"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/wardtest"
)

func known[T any](v T) handover.Maybe[T] { return handover.Maybe[T]{Applies: true, Value: &v} }

func gap[T any]() handover.Maybe[T] { return handover.Maybe[T]{Applies: true} }

func dec(t testing.TB, s string) entry.Decimal {
	t.Helper()
	d, err := entry.ParseDecimal(s)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

func date(t testing.TB, s string) entry.Date {
	t.Helper()
	d, err := entry.ParseDate(s)
	if err != nil {
		t.Fatal(err)
	}
	return d
}

// byHand is a ward of three: one of whom much is charted, one of whom nothing is, one off support whose name is not shown.
func byHand(t testing.TB) *handover.Handover {
	vienna := zone(t, "Europe/Vienna")
	at := func(s string) time.Time {
		m, err := time.Parse(time.RFC3339, s)
		if err != nil {
			t.Fatal(err)
		}
		return m
	}
	set := func(field, value string) handover.Setting {
		return handover.Setting{
			Field: field,
			Fact: &handover.NumberFact{
				Value:  dec(t, value),
				Source: handover.Source{At: at("2026-10-25T00:10:00Z"), By: "rn-reed", Entry: "e-1"},
			},
		}
	}
	full := &handover.Summary{
		Infant: "in-a", Cot: "Bay 2", MRN: "0031415", Family: "=Umber", Given: "Rill", Formerly: "Infant Umber",
		Support: handover.Support{State: "on", Mode: "cpap"},
		Settings: []handover.Setting{
			set("pressureCmH2O", "6.0"),
			set("fio2Percent", "28"),
			{Field: "flowLMin"},
			set("spo2LowPercent", "90"),
			set("spo2HighPercent", "95"),
		},
		Interface: known(handover.Interface{Type: "mask", Size: known("pea")}),
		Rotation: known(
			handover.Rotation{DueAt: known(at("2026-10-25T01:30:00Z")), OverdueAt: known(at("2026-10-25T03:30:00Z")), State: "overdue"},
		),
		Skin: handover.Skin{Worst: &handover.SkinSite{Site: "septum", Finding: "blanching"}},
		Tubes: known(
			[]handover.Tube{
				{
					Use:             "feeding",
					Route:           "oral",
					SizeFr:          known(dec(t, "6")),
					MarkCm:          dec(t, "15.5"),
					ReferenceMarkCm: dec(t, "14.0"),
					Moved:           true,
				},
			},
		),
		Head:   known(handover.Head{CircumferenceCm: dec(t, "25.10")}),
		Bonnet: known(handover.Bonnet{DueOn: date(t, "2026-11-01"), Reason: "weekly"}),
		Humidifier: known(handover.Humidifier{
			State: known("in-tolerance")}),
		Due: []handover.Due{
			{
				What:      "rotation",
				At:        at("2026-10-25T01:30:00Z"),
				OverdueAt: at("2026-10-25T03:30:00Z"),
				State:     "overdue",
				Every:     "5h",
				Planned:   true,
				Why:       "mask on",
			},
			{
				What:      "circuit",
				On:        date(t, "2026-10-25"),
				OverdueAt: at("2026-10-25T23:00:00Z"),
				State:     "due",
				Every:     "7d",
				Why:       "interval",
			},
			{What: "care", Care: "mouth-care", At: at("2026-10-25T00:30:00Z"), State: "deferred", Until: at("2026-10-25T09:00:00Z")},
			{
				What:      "task",
				Task:      "t-1",
				Text:      "+ weigh",
				At:        at("2026-10-25T05:00:00Z"),
				OverdueAt: at("2026-10-25T06:00:00Z"),
				State:     "overdue",
			},
		},
		Gaps: []string{"settings.flowLMin", "humidifier.readyBeforeUse"},
		Attention: []handover.Attention{
			{What: "tube", Level: handover.Know, Text: "tube text"},
			{What: "outlook", Level: handover.Now, Text: "UNSTABLE"},
			{What: "new", Level: handover.Know, Text: "NEW"},
			{What: "overdue", Level: handover.Now, Text: "OVERDUE rotation"},
		},
		Next: []handover.Next{
			{What: "tube", On: date(t, "2026-10-26")},
			{What: "care", Care: "mouth-care", DueAt: at("2026-10-25T07:30:00Z")},
		},
		LookAlikes: []handover.LookAlike{{Infant: "in-b", Why: "number"}},
		Conflicts:  []handover.Conflict{{What: "cot", Value: "Bay 2", Infant: "in-b"}},
	}
	bare := &handover.Summary{Infant: "in-b", Cot: "Bay 10", Temporary: "RB-7", Support: handover.Support{State: "never"}}
	bare.Tubes = gap[[]handover.Tube]()
	bare.Head = gap[handover.Head]()
	off := &handover.Summary{
		Infant:     "in-c",
		Cot:        "Bay 11",
		MRN:        "0031425",
		Restricted: true,
		Support:    handover.Support{State: "off", Reason: "weaned"},
	}
	off.Tubes = known([]handover.Tube{})
	off.Skin = handover.Skin{Worst: &handover.SkinSite{Site: "bridge", Finding: "intact"}}
	off.Rotation = known(handover.Rotation{DueAt: gap[time.Time](), State: "off"})
	return &handover.Handover{Unit: "Sorrel unit", Zone: vienna, At: at("2026-10-25T06:30:00Z"), Known: at("2026-10-25T06:30:00Z"),
		Policy: "ab12", Infants: []*handover.Summary{full, bare, off}}
}

func workbook(t testing.TB, h *handover.Handover, entries []*entry.Entry) opened {
	t.Helper()
	var out bytes.Buffer
	if err := Workbook(&out, h, entries, wardtest.Policy(t, []byte("unit: Sorrel unit\ntimezone: Europe/Vienna\n")),
		"0.0.0-test"); err != nil {
		t.Fatal(err)
	}
	o := open(t, out.Bytes())
	if tt, ok := t.(*testing.T); ok {
		checkParts(tt, o)
	}
	return o
}

// The first sheet marks what the engine says needs a person now, all of it and nothing
// else, of every infant of the demo.
func TestHandoverSheetMarks(t *testing.T) {
	d, o := demoBook(t)
	rows := o.records("Handover")
	marked := 0
	for i, f := range d.handover.Infants {
		var now, know []string
		for _, a := range f.Attention {
			if a.Level == handover.Now {
				now = append(now, "!! "+a.Text)
				marked++
			} else {
				know = append(know, a.Text)
			}
		}
		want := strings.Join(append(now, know...), "; ")
		if want == "" {
			want = none
		}
		if got := rows[i]["Look first"]; got != want {
			t.Errorf("%s: %q, want %q", f.Cot, got, want)
		}
	}
	if marked == 0 {
		t.Error("nothing of the demo needs a person now")
	}
}

func TestHandoverSheet(t *testing.T) {
	o := workbook(t, byHand(t), nil)
	na, nc := doesNotApply, notCharted
	want := []row{
		{
			"Cot": "Bay 2", "Name": "=Umber, Rill (formerly Infant Umber)", numberHead: "0031415",
			"Look first": "!! UNSTABLE; !! OVERDUE rotation; tube text; NEW", "Outlook": na, "Mode": "cpap",
			"Set pressure (cmH2O)": "6.0", "Set FiO2 (%)": "28", "Interface, size": "mask pea", "Skin, worst": "blanching, septum",
			"Tube mark (cm)": "15.5", "Reference mark (cm)": "14.0", "Tube moved": "MOVED", "Next due": "mouth-care 08:30",
		},
		{
			"Cot": "Bay 10", "Name": nc, numberHead: "RB-7", "Look first": none, "Outlook": na, "Mode": "never on support",
			"Set pressure (cmH2O)": na, "Set FiO2 (%)": na, "Interface, size": na, "Skin, worst": nc,
			"Tube mark (cm)": nc, "Reference mark (cm)": nc, "Tube moved": nc, "Next due": "nothing ahead",
		},
		{
			"Cot": "Bay 11", "Name": notShown, numberHead: "0031425", "Look first": none, "Outlook": na, "Mode": "off: weaned",
			"Set pressure (cmH2O)": na, "Set FiO2 (%)": na, "Interface, size": na, "Skin, worst": "intact, bridge",
			"Tube mark (cm)": "none in", "Reference mark (cm)": "none in", "Tube moved": "none in", "Next due": "nothing ahead",
		},
	}
	if diff := cmp.Diff(want, o.records(handoverName)); diff != "" {
		t.Error(diff)
	}
	if header, _ := o.rows(handoverName); len(header) > 14 {
		t.Errorf("%d columns", len(header))
	}
	for column, types := range map[string]string{
		numberHead: "string", "Name": "string", "Set pressure (cmH2O)": "numerical", "Tube mark (cm)": "numerical",
		"Reference mark (cm)": "numerical",
	} {
		if got := o.column(handoverName, column)[0].Type; string(got) != types {
			t.Errorf("%s is %s, want %s", column, got, types)
		}
	}
	if f := o.format(handoverName, "C3"); f != "@" {
		t.Errorf("hospital number has the format %q", f)
	}
}

// What the first sheet has no room for stands on the next; a column in which nobody has a value is left out, and About
// says so.
func TestMoreSheet(t *testing.T) {
	o := workbook(t, byHand(t), nil)
	na, nc := doesNotApply, notCharted
	rest := func(cot, number, name, key string, more row) row {
		r := row{"Cot": cot, "Name": name, keyHead: key, "Hospital number": number, "Temporary label": na,
			"SpO2 target, low (%)": na, "SpO2 target, high (%)": na, "Rotation due (Europe/Vienna)": na, "Gastric tube": nc,
			"Head (cm)": na, "Bonnet due": na, "Humidifier": na, "Due and overdue": none, "Look-alikes": none, "Conflicts": none,
			"Not charted": none}
		maps.Copy(r, more)
		return r
	}
	want := []row{
		rest("Bay 2", "0031415", "=Umber, Rill (formerly Infant Umber)", "in-a", row{
			"SpO2 target, low (%)": "90", "SpO2 target, high (%)": "95", "Rotation due (Europe/Vienna)": "2026-10-25 02:30",
			"Gastric tube": "feeding, oral, 6 Fr, at 15.5 cm, reference 14.0 cm, MOVED", "Head (cm)": "25.10", "Bonnet due": "2026-11-01",
			"Humidifier": "in-tolerance", "Due and overdue": "overdue: rotation, task: + weigh; due: circuit; deferred: mouth-care",
			"Look-alikes": "Bay 10 RB-7 (number)", "Conflicts": "cot Bay 2 also with Bay 10 RB-7",
			"Not charted": "Set flow; humidifier ready before use"}),
		rest("Bay 10", "RB-7", nc, "in-b", row{"Hospital number": nc, "Temporary label": "RB-7", "Head (cm)": nc}),
		rest("Bay 11", "0031425", notShown, "in-c", row{"Gastric tube": "none in", "Rotation due (Europe/Vienna)": nc,
			"Due and overdue": "off: rotation"}),
	}
	if diff := cmp.Diff(want, o.records(moreName)); diff != "" {
		t.Error(diff)
	}
	header, _ := o.rows(moreName)
	if !slices.Contains(header, "Rotation due (Europe/Vienna, UTC+01:00)") {
		t.Errorf("a sheet of one offset does not say it: %q", header)
	}
	for _, r := range o.records(aboutName) {
		if r["What"] == "Left out of "+moreName {
			if r["Value"] != "Set upper pressure (cmH2O); Set rate (/min); Set inspiratory time (s); Set flow (L/min)" {
				t.Errorf("left out: %s", r["Value"])
			}
			return
		}
	}
	t.Error("About does not say what is left out")
}

func TestDueSheet(t *testing.T) {
	o := workbook(t, byHand(t), nil)
	na := doesNotApply
	due := func(what, state, at, offset, over, overOffset, until, untilOffset, which, every, by, why, task string) row {
		return row{"Cot": "Bay 2", numberHead: "0031415", "Name": "=Umber, Rill (formerly Infant Umber)",
			"What": what, "State": state, "Due (Europe/Vienna)": at, "Due, offset from UTC": offset,
			"Overdue from (Europe/Vienna)": over, "Overdue from, offset from UTC": overOffset,
			"Deferred until (Europe/Vienna)": until, "Deferred until, offset from UTC": untilOffset,
			"Care or task": which, "Every": every, "Interval by": by, "Why": why, "Task": task, keyHead: "in-a"}
	}
	const no = noPart
	want := []row{
		due("rotation", "overdue", "2026-10-25 02:30", "+01:00", "2026-10-25 04:30", "+01:00", no, no, no, "5h", "the infant's plan",
			"mask on", na),
		due("task", "overdue", "2026-10-25 06:00", "+01:00", "2026-10-25 07:00", "+01:00", no, no, "+ weigh", na, na, none, "t-1"),
		due("circuit", "due", "2026-10-25", "whole day", "2026-10-26 00:00", "+01:00", no, no, no, "7d", "the unit's policy", "interval",
			na),
		due("care", "next", "2026-10-25 08:30", "+01:00", "never", no, no, no, "mouth-care", na, na, none, na),
		due("tube", "next", "2026-10-26", "whole day", "never", no, no, no, no, na, na, none, na),
		due("care", "deferred", "2026-10-25 02:30", "+02:00", "never", no, "2026-10-25 10:00", "+01:00", "mouth-care", na, na, none, na),
	}
	if diff := cmp.Diff(want, o.records("Due")); diff != "" {
		t.Error(diff)
	}
}

// On request infants who need somebody now stand first; the handover that it is asked of stays as it was.
func TestNowFirst(t *testing.T) {
	h := byHand(t)
	h.Infants[0], h.Infants[2] = h.Infants[2], h.Infants[0]
	var got, was []string
	for _, s := range NowFirst(h).Infants {
		got = append(got, s.Infant)
	}
	for _, s := range h.Infants {
		was = append(was, s.Infant)
	}
	if !slices.Equal(got, []string{"in-a", "in-c", "in-b"}) || !slices.Equal(was, []string{"in-c", "in-b", "in-a"}) {
		t.Errorf("%v of %v", got, was)
	}
}

// The first sheet says which unit and moment, who needs somebody, what is to be read out, who left, and what the sheets
// are for.
func TestWardSheet(t *testing.T) {
	h := byHand(t)
	from := handover.Source{At: h.At.Add(-time.Hour), By: "rn-reed", Entry: "e-8"}
	h.Notes = []handover.Note{{Text: "lift mended", Source: from}, {Text: "gas plant at six", ReadOut: true, Source: from}}
	h.Left = []handover.Left{{Infant: "in-z", Cot: "Bay 9", MRN: "0077", Family: "Secret", Restricted: true, To: "ward", Place: "3",
		Source: from}}
	h.Tasks = []handover.Task{{Text: "order prongs", DueAt: h.At.Add(time.Hour), Source: from}}
	h.Late = []handover.Late{{Infant: "in-b", Entry: "e-7", How: "written", Kind: "care", Text: "eye care", At: from.At, By: "rn-sage"}}
	o := workbook(t, h, nil)
	if first := o.a.GetSheetList()[0]; first != wardName {
		t.Errorf("the first sheet is %s", first)
	}
	var got []string
	for _, r := range o.records(wardName) {
		if !strings.HasPrefix(r["What"], "Sheet ") && r["What"] != "Caution" {
			got = append(got, strings.Join([]string{r["What"], r["Infant"], r["What is told"], r["When (Europe/Vienna)"], r["By"]}, "|"))
		}
	}
	want := []string{
		"Unit|–|Sorrel unit|–|–",
		"Moment of this handover|–|Europe/Vienna, UTC+01:00|2026-10-25 07:30|–",
		"Infants|–|3 on the ward, 1 of whom need somebody now; unstable: 0; watcher: 0; stable: 0|–|–",
		"Needs somebody now|Bay 2 · 0031415 · =Umber, Rill (formerly Infant Umber)|!! UNSTABLE; !! OVERDUE rotation|–|–",
		"READ OUT|the whole unit|gas plant at six|2026-10-25 06:30|rn-reed",
		"Note of the unit|the whole unit|lift mended|2026-10-25 06:30|rn-reed",
		"Left the ward|Bay 9 · 0077 · not shown|to ward: 3|2026-10-25 06:30|rn-reed",
		"Task of the unit|the whole unit|order prongs|2026-10-25 06:30|rn-reed",
		"Task of the unit: due|the whole unit|order prongs|2026-10-25 08:30|–",
		"WRITTEN LATE|Bay 10 · RB-7 · not charted|eye care|2026-10-25 06:30|rn-sage",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	for _, sheet := range o.a.GetSheetList()[1:] {
		if i := slices.IndexFunc(o.records(wardName), func(r row) bool { return r["What"] == "Sheet "+sheet }); i < 0 ||
			len(o.records(wardName)[i]["What is told"]) < 10 {
			t.Errorf("it does not say what sheet %s is for", sheet)
		}
	}
}

// A ward without infants and a record without entries say so in words.
func TestNothingToShow(t *testing.T) {
	h := byHand(t)
	h.Infants = nil
	o := workbook(t, h, nil)
	for _, sheet := range []string{"Handover", "Due", "Entries"} {
		_, rows := o.rows(sheet)
		if len(rows) != 1 || len(rows[0]) != 1 || !strings.HasSuffix(rows[0][0], ".") {
			t.Errorf("%s: %q", sheet, rows)
		}
	}
}

const recordLines = `{"id":"00000000-0000-4000-8000-00000000000a","infant":"in-1","kind":"admission",` +
	`"at":"2026-10-20T08:00:00+02:00","by":"rn-reed","born":"2026-10-20","cot":"1","mrn":"007","family":"Vetch","given":"Nettle"}
{"id":"00000000-0000-4000-8000-00000000000b","infant":"in-1","kind":"identity","at":"2026-10-20T09:00:00+02:00","by":"rn-reed","restricted":true}
{"id":"00000000-0000-4000-8000-000000000001","infant":"in-1","kind":"support","at":"2026-10-20T10:00:00+02:00","by":"rn-reed","state":"started","mode":"cpap"}
{"id":"00000000-0000-4000-8000-000000000002","infant":"in-1","kind":"settings","at":"2026-10-20T10:01:00+02:00","by":"rn-reed","pressureCmH2O":6.0,"fio2Percent":30}
{"id":"00000000-0000-4000-8000-000000000003","infant":"in-1","kind":"correction","at":"2026-10-20T11:00:00+02:00","by":"rn-sage","of":"00000000-0000-4000-8000-000000000002","reason":"misread","entry":{"kind":"settings","at":"2026-10-20T10:02:00+02:00","pressureCmH2O":5.0}}
{"id":"00000000-0000-4000-8000-000000000004","infant":"in-1","kind":"correction","at":"2026-10-20T12:00:00+02:00","by":"rn-sage","of":"00000000-0000-4000-8000-000000000002","reason":"again","entry":{"kind":"settings","at":"2026-10-20T10:02:00+02:00","pressureCmH2O":5.50}}
{"id":"00000000-0000-4000-8000-000000000005","infant":"in-1","kind":"weight","at":"2026-10-20T13:00:00+02:00","by":"rn-reed","weightG":1210}
{"id":"00000000-0000-4000-8000-000000000006","infant":"in-1","kind":"retraction","at":"2026-10-20T14:00:00+02:00","by":"rn-reed","of":"00000000-0000-4000-8000-000000000005","reason":"wrong twin"}
{"id":"00000000-0000-4000-8000-000000000007","infant":"in-1","kind":"head","at":"2026-10-20T15:00:00+02:00","by":"rn-reed","circumferenceCm":25.0}
{"id":"00000000-0000-4000-8000-000000000008","infant":"in-1","kind":"correction","at":"2026-10-20T15:30:00+02:00","by":"rn-reed","of":"00000000-0000-4000-8000-000000000007","reason":"slip","entry":{"kind":"head","at":"2026-10-20T15:00:00+02:00","circumferenceCm":26.0}}
{"id":"00000000-0000-4000-8000-000000000009","infant":"in-1","kind":"retraction","at":"2026-10-20T15:40:00+02:00","by":"rn-reed","of":"00000000-0000-4000-8000-000000000008","reason":"it was right"}
{"id":"00000000-0000-4000-8000-000000000010","kind":"note","at":"2026-10-20T16:00:00+02:00","by":"rn-reed","text":"=1+1"}
{"id":"00000000-0000-4000-8000-000000000011","infant":"in-1","kind":"weight","at":"2026-10-20T16:00:00+02:00","charted":"2026-10-20T23:00:00+02:00","by":"rn-reed","weightG":1220}
{"id":"00000000-0000-4000-8000-000000000012","infant":"in-1","kind":"weight","at":"2026-10-20T23:00:00+02:00","charted":"2026-10-20T17:00:00+02:00","by":"rn-reed","weightG":1230}
{"id":"00000000-0000-4000-8000-000000000013","infant":"in-1","kind":"skin","at":"2026-10-20T16:30:00+02:00","by":"rn-reed","sites":[{"site":"septum","finding":"blanching","also":["dry","crust"],"underBarrier":true},{"site":"bridge","finding":"intact"}]}
{"id":"00000000-0000-4000-8000-000000000014","kind":"acceptance","at":"2026-10-20T16:40:00+02:00","by":"rn-sage","handover":"00000000-0000-4000-8000-000000000015","infants":["in-1","in-2"],"confirmed":{"in-1":["pressure","fio2"]},"readBack":true}
{"id":"00000000-0000-4000-8000-000000000016","infant":"in-1","kind":"correction","at":"2026-10-20T16:50:00+02:00","by":"rn-sage","of":"00000000-0000-4000-8000-00000000000a","reason":"spelling","entry":{"kind":"admission","at":"2026-10-20T08:00:00+02:00","born":"2026-10-20","cot":"1","mrn":"007","family":"Vetchling"}}`

// Every entry of the reading stands in the record's order, with what became of it in words; names that must not be seen
// are not, in corrections either.
func TestEntriesSheet(t *testing.T) {
	h := byHand(t)
	h.At = time.Date(2026, 10, 20, 15, 0, 0, 0, time.UTC) // 17:00 there
	h.Known = h.At
	var entries []*entry.Entry
	for line := range strings.Lines(recordLines) {
		entries = append(entries, wardtest.Entry(t, []byte(line)))
	}
	slices.Reverse(entries)
	o := workbook(t, h, entries)
	var got []string
	for _, r := range o.records("Entries") {
		short := func(id string) string { return strings.TrimPrefix(id, "00000000-0000-4000-8000-0000000000") }
		got = append(
			got,
			fmt.Sprintf(
				"%s|%s|%s|%s|%s|%s",
				short(r["Entry"]),
				r["Infant's key"],
				strings.TrimPrefix(r["Happened (Europe/Vienna)"], "2026-10-20 "),
				r["Standing"],
				short(r["Amends, or amended by"]),
				r["What was charted"],
			),
		)
	}
	want := []string{
		"0a|in-1|08:00|corrected|16|Born: 2026-10-20; Cot: 1; Hospital number: 007; Family name: not shown; Given name: not shown",
		"0b|in-1|09:00|stands|none|Name not shown: yes",
		"01|in-1|10:00|stands|none|State: started; Mode: cpap",
		"02|in-1|10:01|corrected|04|Set pressure: 6.0 cmH2O; Set FiO2: 30 %",
		"03|in-1|11:00|replaced by a later correction|02|Of: 00000000-0000-4000-8000-000000000002; Reason: misread; Entry: " +
			"(Settings; Happened: 2026-10-20T10:02:00+02:00; Set pressure: 5.0 cmH2O)",
		"04|in-1|12:00|holds|02|Of: 00000000-0000-4000-8000-000000000002; Reason: again; Entry: (Settings; Happened: " +
			"2026-10-20T10:02:00+02:00; Set pressure: 5.50 cmH2O)",
		"05|in-1|13:00|retracted|06|Weight: 1210 g",
		"06|in-1|14:00|holds|05|Of: 00000000-0000-4000-8000-000000000005; Reason: wrong twin",
		"07|in-1|15:00|stands|none|Head circumference: 25.0 cm",
		"08|in-1|15:30|retracted|09|Of: 00000000-0000-4000-8000-000000000007; Reason: slip; Entry: (Head circumference; Happened: " +
			"2026-10-20T15:00:00+02:00; Head circumference: 26.0 cm)",
		"09|in-1|15:40|holds|08|Of: 00000000-0000-4000-8000-000000000008; Reason: it was right",
		"10|the whole unit|16:00|stands|none|Text: =1+1",
		"13|in-1|16:30|stands|none|Sites: (Site: septum; Finding: blanching; Also: dry, crust; Under a barrier: yes), (Site: " +
			"bridge; Finding: intact)",
		"14|the whole unit|16:40|stands|none|Handover: 00000000-0000-4000-8000-000000000015; Infants: in-1, in-2; Confirmed: (in-1: " +
			"pressure, fio2); Read back: yes",
		"16|in-1|16:50|holds|0a|Of: 00000000-0000-4000-8000-00000000000a; Reason: spelling; Entry: (Admission; Happened: " +
			"2026-10-20T08:00:00+02:00; Born: 2026-10-20; Cot: 1; Hospital number: 007; Family name: not shown)",
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Error(diff)
	}
	for part, text := range o.parts {
		if bytes.Contains(text, []byte("Vetch")) || bytes.Contains(text, []byte("Nettle")) {
			t.Errorf("%s holds a name that is not shown", part)
		}
	}
	about := map[string]string{}
	for _, r := range o.records("About") {
		about[r["What"]] = r["Value"] + " " + r["Detail"]
	}
	if got := about["Entries listed"]; !strings.HasPrefix(got, "15 of 17 ") {
		t.Errorf("entries listed: %s", got)
	}
	for _, what := range []string{"Caution", "Unit", "Moment of this handover", "Time zone", "Policy", "Program", "not charted",
		"does not apply", "Policy: every.rotationDue"} {
		if about[what] == "" {
			t.Errorf("About does not say %s", what)
		}
	}
}

// Every entry and every infant of the demo is there once, no restricted name anywhere.
func TestDemoIsWhole(t *testing.T) {
	d, o := demoBook(t)
	want := map[string]bool{}
	for _, e := range d.entries {
		want[e.ID] = true
	}
	rows := o.records("Entries")
	for _, r := range rows {
		delete(want, r["Entry"])
	}
	if len(rows) != len(d.entries) || len(want) > 0 {
		t.Errorf("%d rows of %d entries; missing %v", len(rows), len(d.entries), slices.Collect(maps.Keys(want)))
	}
	var cots []string
	for _, r := range o.records("Handover") {
		cots = append(cots, r["Cot"])
	}
	if len(cots) != len(d.handover.Infants) {
		t.Errorf("cots %v", cots)
	}
	for i, s := range d.handover.Infants {
		if cots[i] != s.Cot {
			t.Errorf("row %d is cot %s, want %s", i, cots[i], s.Cot)
		}
		if s.Restricted {
			checkHidden(t, o, d, s.Infant)
		}
	}
}

// checkHidden looks for an infant's charted names, as a cell of their own or after a field's label.
func checkHidden(t *testing.T, o opened, d demo, infant string) {
	t.Helper()
	names := map[string]bool{}
	for _, e := range d.entries {
		if e.Infant == infant {
			names[e.Text("family")], names[e.Text("given")] = true, true
		}
	}
	delete(names, "")
	if len(names) == 0 {
		t.Fatalf("%s never had a name, so nothing is hidden", infant)
	}
	for n := range names {
		for part, text := range o.parts {
			if bytes.Contains(text, []byte(">"+n+"<")) || bytes.Contains(text, []byte(": "+n)) ||
				bytes.Contains(text, []byte(">"+n+", ")) {
				t.Errorf("%s holds a name of %s", part, infant)
			}
		}
	}
}

// Random wards too make files that need no repair, in which two readers see the same.
func TestRandomWards(t *testing.T) {
	for seed := range uint64(3) {
		o := open(t, demoOf(wardtest.Random(t, seed, 3, 1)).workbook(t))
		checkParts(t, o)
		for _, sheet := range o.a.GetSheetList() {
			all := o.all(sheet)
			for i, r := range o.typed(sheet) {
				for j, c := range r {
					if c.Type == "string" && c.Value != all[i][j] ||
						c.Type == "numerical" && dec(t, c.Value).Cmp(dec(t, all[i][j])) != 0 {
						t.Errorf("seed %d, %s, %s%d: %q and %q", seed, sheet, c.Column, c.Row, c.Value, all[i][j])
					}
				}
			}
		}
	}
}
