package sheets

import (
	"reflect"
	"strings"
	"testing"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// compiled are the rows of the sheets of the compiled handover: what is compiled has to stand there, not only among what
// was charted.
func compiled(o opened) map[string][]row {
	out := map[string][]row{}
	for _, sheet := range []string{handoverName, moreName, "Due", "Changes", factsName} {
		out[sheet] = o.records(sheet)
	}
	return out
}

// shownOf is everything in rows about an infant.
func shownOf(sheets map[string][]row, s *handover.Summary) (cells map[string]bool, all string) {
	cells = map[string]bool{}
	var b strings.Builder
	for sheet, rows := range sheets {
		for _, r := range rows {
			if r[keyHead] != s.Infant &&
				(sheet != handoverName || r["Cot"] != s.Cot || r[numberHead] != numberOrLabel(s.MRN, s.Temporary)) {
				continue
			}
			for _, v := range r {
				cells[v] = true
				b.WriteString(v + "\n")
			}
		}
	}
	return cells, b.String()
}

// No fact of the compiled handover is lost: every number, moment, day and text that a walk over the value finds is shown,
// numbers with their decimals.
func TestNoFactIsLost(t *testing.T) {
	d, o := demoBook(t)
	sheets := compiled(o)
	found := 0
	for _, s := range d.handover.Infants {
		cells, all := shownOf(sheets, s)
		seen := func(path, want string) {
			found++
			if !cells[want] && !strings.Contains(all, want) {
				t.Errorf("%s: %s %q is not shown", s.Infant, path, want)
			}
		}
		walk("", reflect.ValueOf(*s), func(path string, v any) {
			switch v := v.(type) {
			case entry.Decimal:
				seen(path, v.String())
			case entry.Date:
				if !v.IsZero() {
					seen(path, v.String())
				}
			case time.Time:
				if !v.IsZero() {
					seen(path, v.In(d.handover.Zone).Format("2006-01-02 15:04"))
				}
			case string:
				switch {
				case path == ".Attention[].Path": // where the text of the row comes from: other columns and sheets tell it
				case v == "", path == ".Infant", strings.HasSuffix(path, ".Infant"):
				case strings.HasPrefix(path, ".Gaps"):
					seen(path, pathWords(v))
				case strings.HasPrefix(path, ".Changes") && (v == "true" || v == "false"):
					seen(path, map[string]string{"true": "yes", "false": "no"}[v])
				default:
					seen(path, v)
				}
			}
		})
	}
	if found < 2000 {
		t.Errorf("the walk found %d facts: it no longer looks at all of them", found)
	}
}

// walk calls leaf with every decimal, day, moment and text below v.
func walk(path string, v reflect.Value, leaf func(string, any)) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			walk(path, v.Elem(), leaf)
		}
	case reflect.Slice, reflect.Array:
		for i := range v.Len() {
			walk(path+"[]", v.Index(i), leaf)
		}
	case reflect.String:
		leaf(path, v.String())
	case reflect.Struct:
		switch v.Interface().(type) {
		case entry.Decimal, entry.Date, time.Time:
			leaf(path, v.Interface())
			return
		}
		for i := range v.NumField() {
			walk(path+"."+v.Type().Field(i).Name, v.Field(i), leaf)
		}
	}
}

// Facts carry their source: when, by whom, the entry, and the correction that holds.
func TestFactsSheet(t *testing.T) {
	h := byHand(t)
	src := &h.Infants[0].Settings[0].Fact.Source
	src.Charted = src.At.Add(2 * time.Hour)
	src.Corrected = &handover.Amended{By: "rn-sage", Charted: src.At.Add(3 * time.Hour)}
	h.Left = []handover.Left{
		{
			Infant:     "in-z",
			Cot:        "Bay 9",
			MRN:        "0077",
			Family:     "Secret",
			Restricted: true,
			To:         "ward",
			Place:      "Ward 3",
			Source:     handover.Source{At: src.At, By: "rn-reed", Entry: "e-9"},
		},
	}
	h.Notes = []handover.Note{{Text: "@all wash", ReadOut: true, Source: handover.Source{At: src.At, By: "rn-reed", Entry: "e-8"}}}
	h.Late = []handover.Late{{Infant: "in-b", Entry: "e-7", How: "arrived"}}
	h.Infants[1].Silverman = handover.Maybe[handover.Silverman]{Why: "not all five items were charted"}
	o := workbook(t, h, nil)
	rows := map[string]row{}
	for _, r := range o.records("Facts") {
		rows[r["Infant's key"]+" "+r["Path"]] = r
	}
	for _, c := range []struct{ row, column, want string }{
		{"in-a settings.pressureCmH2O", "Fact", "Set pressure"},
		{"in-a settings.pressureCmH2O", "Value", "6.0"},
		{"in-a settings.pressureCmH2O", "Unit or remark", "cmH2O"},
		{"in-a settings.pressureCmH2O", "Happened (Europe/Vienna)", "2026-10-25 02:10"},
		{"in-a settings.pressureCmH2O", "Happened, offset from UTC", "+02:00"},
		{"in-a settings.pressureCmH2O", "Charted (Europe/Vienna)", "2026-10-25 03:10"},
		{"in-a settings.pressureCmH2O", "Charted, offset from UTC", "+01:00"},
		{"in-a settings.pressureCmH2O", "By", "rn-reed"},
		{"in-a settings.pressureCmH2O", "Corrected (Europe/Vienna)", "2026-10-25 04:10"},
		{"in-a settings.pressureCmH2O", "Entry", "e-1"},
		{"in-a settings.fio2Percent", "Charted (Europe/Vienna)", "when it happened"},
		{"in-a settings.fio2Percent", "Corrected (Europe/Vienna)", notCorrected},
		{"in-a settings.flowLMin", "Value", notCharted},
		{"in-a tubes.feeding.moved", "Value", "yes"},
		{"in-a gaps", "Value", "Set flow; humidifier ready before use"},
		{"in-b tubes", "Value", notCharted},
		{"in-b head", "Value", notCharted},
		{"in-b weight", "Value", doesNotApply},
		{"in-b silverman.total", "Value", "left out: not all five items were charted"},
		{"in-b late.arrived", "Entry", "e-7"},
		{"in-b late.arrived", "Cot", "Bay 10"},
		{"in-c rotation.dueAt", "Value", notCharted},
		{"in-c tubes", "Value", "none in"},
		{"in-z left", "Value", "ward"},
		{"in-z left", "Name", notShown},
		{"in-z left", numberHead, "0077"},
		{wholeUnit + " notes", "Value", "@all wash"},
		{wholeUnit + " notes", "Unit or remark", "read out"},
		{wholeUnit + " notes", "Cot", wholeUnit},
	} {
		if got := rows[c.row][c.column]; got != c.want {
			t.Errorf("%s, %s: %q, want %q", c.row, c.column, got, c.want)
		}
	}
}

func TestChangesSheet(t *testing.T) {
	h := byHand(t)
	value := func(s string, bare bool) *handover.ChangeValue { return &handover.ChangeValue{Text: s, Bare: bare} }
	h.Infants[0].Changes = []handover.Change{
		{Path: "settings.pressureCmH2O", From: value("5.0", true), To: value("6", true), Why: "happened", Entry: "e-1"},
		{Path: "bonnet.in", From: value("true", true), To: value("false", true), Why: "corrected", Entry: "e-2"},
		{Path: "mrn", To: value("0031415", false), Why: "late", Entry: "e-3"},
		{Path: "interface", From: value("=mask", false), Why: "happened", Entry: "e-4"},
	}
	o := workbook(t, h, nil)
	want := [][4]string{
		{"Set pressure", "5.0", "6", "happened"},
		{"bonnet in", "yes", "no", "corrected"},
		{"mrn", "nothing", "0031415", "late"},
		{"interface", "=mask", "nothing", "happened"},
	}
	rows := o.records("Changes")
	if len(rows) != len(want) {
		t.Fatalf("%d rows", len(rows))
	}
	for i, r := range rows {
		if got := [4]string{r["Fact"], r["From"], r["To"], r["Why"]}; got != want[i] {
			t.Errorf("row %d is %q, want %q", i, got, want[i])
		}
	}
	if a, b := o.column("Changes", "To")[0].Type, o.column("Changes", "To")[2].Type; a != "numerical" || b != "string" {
		t.Errorf("a number is %s, a hospital number %s", a, b)
	}
}
