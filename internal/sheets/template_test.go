package sheets

import (
	"bytes"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/xuri/excelize/v2"

	"cotline/handover/entry"
	"cotline/internal/wardtest"
)

const unitOfForms = `
unit: R&D unit
timezone: Europe/Vienna
sizes: {mask: [pea, "0"], prongs: [oat], bonnet: [{name: leaf, fromCm: 20, toCm: 30}]}
staff: [{key: rn-reed, name: Reed, role: nurse}]
`

var chosen = []Choice{{"B7 · 0730", "reed-1"}, {"B8 · Sorrel · 0731", "reed-2"}}

func templateOf(t testing.TB, policy string) ([]byte, opened) {
	t.Helper()
	n := 0
	ids := func() string { n++; return fmt.Sprintf("00000000-0000-4000-8000-%012d", n) }
	var b bytes.Buffer
	if err := Template(&b, wardtest.Policy(t, []byte(policy)), chosen, ids, time.Date(2026, 3, 9, 6, 30, 0, 0, time.UTC),
		"0.0.0-test"); err != nil {
		t.Fatal(err)
	}
	return b.Bytes(), open(t, b.Bytes())
}

// validation is a column's rule in a sheet's own XML.
type validation struct {
	Type  string `xml:"type,attr"`
	Cells string `xml:"sqref,attr"`
	Style string `xml:"errorStyle,attr"`
	From  string `xml:"formula1"`
	To    string `xml:"formula2"`
}

// rules are the validations of a sheet, by field.
func (o opened) rules(sheet string, names []string) map[string]validation {
	o.t.Helper()
	var w struct {
		Rules []validation `xml:"dataValidations>dataValidation"`
	}
	i := slices.Index(o.a.GetSheetList(), sheet)
	o.part(fmt.Sprintf("xl/worksheets/sheet%d.xml", i+1), &w)
	out := map[string]validation{}
	for _, v := range w.Rules {
		m := regexp.MustCompile(`^([A-Z]+)5:([A-Z]+)104$`).FindStringSubmatch(v.Cells)
		if m == nil || m[1] != m[2] {
			o.t.Fatalf("%s: a rule for %s", sheet, v.Cells)
		}
		column := 0
		for _, r := range m[1] {
			column = column*26 + int(r-'A') + 1
		}
		out[names[column-1]] = v
	}
	return out
}

// words are what a list offers.
func (o opened) words(ref string) string {
	o.t.Helper()
	m := regexp.MustCompile(`^Lists!\$B\$(\d+):\$B\$(\d+)$`).FindStringSubmatch(ref)
	if m == nil {
		o.t.Fatalf("a list in %q", ref)
	}
	from, _ := strconv.Atoi(m[1])
	to, _ := strconv.Atoi(m[2])
	var out []string
	for row := from; row <= to; row++ {
		v, err := o.a.GetCellValue("Lists", fmt.Sprint("B", row))
		if err != nil {
			o.t.Fatal(err)
		}
		out = append(out, v)
	}
	return strings.Join(out, ",")
}

// Each kind has a sheet with every field of it once, its list or range, and rows whose ids are ready; nothing is hidden,
// merged or computed.
func TestTemplate(t *testing.T) {
	data, o := templateOf(t, unitOfForms)
	if again, _ := templateOf(t, unitOfForms); !bytes.Equal(data, again) {
		t.Error("two templates of the same ids differ")
	}
	never := regexp.MustCompile(`<(f|mergeCells?|sheetProtection|legacyDrawing)[ />]|hidden="|state="(h|veryH)idden"|xuri|Excelize`)
	for path, text := range o.parts {
		if m := never.Find(text); m != nil {
			t.Errorf("%s holds %s", path, m)
		}
	}
	ids := map[string]bool{}
	want := []string{"Round", "Infants", "Start", "Example"}
	for _, k := range entry.Kinds {
		want = append(want, k.Label)
		rows, err := o.a.GetRows(k.Label)
		if err != nil {
			t.Fatal(err)
		}
		names := rows[nameRow-1]
		var fields []string
		if k.Ward != entry.OfUnit {
			fields = append(fields, "infant")
		}
		fields = append(fields, "at", "by")
		for _, s := range k.Fields {
			parts := 0
			for _, n := range names {
				if n == s.Name || strings.HasPrefix(n, s.Name+".") {
					fields = append(fields, n)
					parts++
				}
			}
			if parts == 0 && s.Name != "items" { // this unit has no list of its own
				t.Errorf("%s: no column for %s", k.Label, s.Name)
			}
		}
		fields = append(fields, "charted", "kind", "id")
		for _, row := range rows {
			for _, v := range row {
				if strings.ContainsAny(v, "{[") {
					t.Errorf("%s wants more than words: %s", k.Label, v)
				}
			}
		}
		if diff := cmp.Diff(fields, names); diff != "" {
			t.Errorf("%s: %s", k.Label, diff)
		}
		if !strings.Contains(rows[0][0], "not a device, a monitor or an order") || len(rows) != nameRow+formRows {
			t.Errorf("%s: title %q, %d rows", k.Label, rows[0][0], len(rows))
		}
		for _, r := range rows[nameRow:] {
			if id := r[len(names)-1]; ids[id] || r[len(names)-2] != k.Name || strings.Join(r[:len(names)-2], "") != "" {
				t.Fatalf("%s: a row %q", k.Label, r)
			} else {
				ids[id] = true
			}
		}
		rules := o.rules(k.Label, names)
		for _, s := range k.Fields {
			if !slices.Contains(names, s.Name) {
				continue
			}
			checkRule(t, o, k, s, rules[s.Name])
		}
	}
	want = append(want, "Lists")
	if diff := cmp.Diff(want, o.a.GetSheetList()); diff != "" {
		t.Error(diff)
	}
}

func checkRule(t *testing.T, o opened, k entry.Kind, s entry.Spec, v validation) {
	t.Helper()
	got := ""
	switch {
	case v.Type == "list":
		got = "one of " + o.words(v.From)
	case v.Type != "":
		got = v.Type + " " + v.From + " to " + v.To
	}
	if got != "" && v.Style != "stop" {
		got += ", " + v.Style
	}
	want := ""
	switch {
	case s.Type == entry.Word:
		want = "one of " + strings.Join(s.Words, ",")
	case s.Type == entry.Flag:
		want = "one of yes,no"
	case s.Type == entry.Number:
		want = "decimal " + s.Min + " to " + s.Max
	case s.Type == entry.Whole:
		want = "whole " + s.Min + " to " + s.Max
	case s.List == "size":
		want = "one of pea,0,oat, warning" // a cannula's sizes are not listed
	case s.List == "bonnet":
		want = "one of leaf"
	case s.Type == entry.Text:
		want = fmt.Sprint("textLength 1 to ", s.Longest)
	}
	if got != want {
		t.Errorf("%s, %s: %q, want %q", k.Label, s.Name, got, want)
	}
}

// The row above the names tells what a field takes.
func TestTemplateNotes(t *testing.T) {
	_, o := templateOf(t, "timezone: Europe/Vienna\n")
	for _, c := range []struct{ sheet, field, label, note, format string }{
		{"Settings", "pressureCmH2O", "Set pressure (cmH2O)", "0 to 20 cmH2O", "General"},
		{"Admission", "mrn", "Hospital number", "exactly one of mrn, temporary", "@"},
		{"Admission", "born", "Born", "required; a day; with its time as 2026-03-09T07:30:00+01:00", "yyyy-mm-dd"},
		{"Admission", "birthOrder", "Birth order", "whole number, 1 to 10", "General"},
		{"Support", "mode", "Mode", "required when state is started; choose", "@"},
		{"Episode", "signs", "Signs", "required; with commas between: apnoea, bradycardia, desaturation", "@"},
		{"Weight", "at", "Happened", "required; date and time by the clock in Europe/Vienna, as 2026-03-09 07:30", "yyyy-mm-dd hh:mm"},
		{"Weight", "id", "Entry", "ready: leave it as it is", "@"},
		{"Interface", "size", "Size", "", "@"},
	} {
		rows, err := o.a.GetRows(c.sheet)
		if err != nil {
			t.Fatal(err)
		}
		i := slices.Index(rows[nameRow-1], c.field)
		note := ""
		if i < len(rows[noteRow-1]) {
			note = rows[noteRow-1][i]
		}
		ref, _ := excelize.CoordinatesToCellName(i+1, 5)
		if rows[labelRow-1][i] != c.label || note != c.note || o.format(c.sheet, ref) != c.format {
			t.Errorf("%s, %s: %q, %q, %s", c.sheet, c.field, rows[labelRow-1][i], note, o.format(c.sheet, ref))
		}
	}
}

// A kind that is added to the table of kinds has its sheet.
func TestTemplateOfAnInventedKind(t *testing.T) {
	before := entry.Kinds
	defer func() { entry.Kinds = before }()
	entry.Kinds = append(slices.Clone(before), entry.Kind{Name: "lullaby", Label: "Lullaby", Fields: []entry.Spec{
		{Name: "song", Label: "Song", Type: entry.Word, Words: []string{"moon", strings.Repeat("x", 300)}},
	}})
	_, o := templateOf(t, "{}")
	rows, err := o.a.GetRows("Lullaby")
	if err != nil {
		t.Fatal(err)
	}
	if got := o.words(o.rules("Lullaby", rows[nameRow-1])["song"].From); got != "moon,"+strings.Repeat("x", 300) {
		t.Errorf("%q", got)
	}
}

// The first sheet is that of rounds: who, when, by whom and whether it was written down as it happened once a row, a column
// a site and a score, the unit's own cares and steps, sensor points; infants to choose from, by the list of their sheet.
func TestRoundSheet(t *testing.T) {
	_, o := templateOf(t, unitOfForms+"cares: [eye-care]\nsafety: [suction, bag and mask]\n")
	rows, err := o.a.GetRows("Round")
	if err != nil || o.a.GetSheetList()[0] != "Round" {
		t.Fatal(err, o.a.GetSheetList())
	}
	names := rows[nameRow-1]
	want := []string{"infant", "at", "by", "written", "observations.spo2Percent", "observations.silverman.chest",
		"observations.silverman.grunt", "settings.pressureCmH2O", "settings.fio2Percent", "interface.type", "interface.size",
		"skin.sites.others", "tube.markCm", "tube.action", "humidifier.chamberC", "humidifier.water", "care.what.position",
		"care.what.eye-care", "setup.steps.gases", "calibration.points.21", "calibration.points.100", "alarm.tried.1",
		"safety.items.bag and mask", "outlook.ifThen.1.if", "outlook.ifThen.1.then", "weight.weightG", "note.text", "id"}
	for _, site := range entry.Sites {
		want = append(want, "skin.sites."+site)
	}
	for _, name := range want {
		if !slices.Contains(names, name) {
			t.Errorf("no column %s", name)
		}
	}
	rules := o.rules("Round", names)
	if got := rules["infant"]; got.Type != "list" || got.From != "Infants!$A$3:$A$4" {
		t.Errorf("infants: %+v", got)
	}
	if got := o.words(rules["skin.sites.septum"].From); !strings.HasPrefix(got, "ok,intact,blanching") {
		t.Errorf("findings: %s", got)
	}
	list := o.records("Infants")
	if len(list) != 2 || list[1]["choice"] != chosen[1].Shown || list[1]["infant"] != "reed-2" {
		t.Errorf("infants: %v", list)
	}
	for _, row := range rows[:nameRow] {
		for _, v := range row {
			if strings.ContainsAny(v, "{[") {
				t.Errorf("it wants more than words: %s", v)
			}
		}
	}
}

// Names are listed only if they are asked for, and never one that must not be seen.
func TestChoices(t *testing.T) {
	h := byHand(t)
	if got := Choices(h, false); got[0] != (Choice{"Bay 2 · 0031415", "in-a"}) || got[1].Shown != "Bay 10 · RB-7" {
		t.Errorf("%v", got)
	}
	if got := Choices(h, true); got[0].Shown != "Bay 2 · =Umber, Rill (formerly Infant Umber) · 0031415" ||
		got[1].Shown != "Bay 10 · RB-7" || got[2].Shown != "Bay 11 · 0031425" {
		t.Errorf("%v", got)
	}
}
