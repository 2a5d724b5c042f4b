package onetruth

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/thedatashed/xlsxreader"
)

// bookSheets are those that are read here; the others tell what happened over time.
var bookSheets = []string{"Handover", "Handover, more", "Due", "Changes", "Facts", "About"}

// record is one row of a table by its headers, moments in RFC 3339.
type record map[string]string

// tablesOfBook are the sheets as a reader sees them that is not the writer's
// (thedatashed/xlsxreader): texts, and numbers as they stand in the file.
func tablesOfBook(t testing.TB, f faces) map[string][]record {
	t.Helper()
	book, err := xlsxreader.NewReader(f.book)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string][]record{}
	for _, sheet := range bookSheets {
		var head []string
		formats := formatsOf(t, f.book, sheet)
		for row := range book.ReadRows(sheet) {
			if row.Error != nil {
				t.Fatal(row.Error)
			}
			var cells []string
			for _, c := range row.Cells {
				switch format := formats[fmt.Sprint(c.Column, c.Row)]; {
				case c.Type == xlsxreader.TypeNumerical:
					c.Value = shown(c.Value, format)
				case c.Type == xlsxreader.TypeDateTime && format == "yyyy-mm-dd":
					c.Value = c.Value[:len(time.DateOnly)]
				case c.Type == xlsxreader.TypeDateTime:
					c.Value = wholeMinute(t, c.Value)
				}
				cells = append(cells, c.Value)
			}
			switch row.Index {
			case 1: // the title
			case 2:
				head = cells
			default:
				out[sheet] = append(out[sheet], rowOf(t, head, cells))
			}
		}
	}
	return out
}

// wholeMinute is the clock's time, of no zone; this reader cuts off up to a second,
// and these wards are charted by the minute.
func wholeMinute(t testing.TB, s string) string {
	t.Helper()
	at, err := time.Parse(time.RFC3339, s)
	if err != nil {
		at, err = time.Parse(time.DateOnly, s) // midnight, to this reader
	}
	if err != nil {
		t.Fatal(err)
	}
	return at.Round(time.Minute).Format("2006-01-02T15:04:05")
}

// tablesOfCSV are the files of the preset for programs.
func tablesOfCSV(t testing.TB, f faces) map[string][]record {
	t.Helper()
	out := map[string][]record{}
	for _, sheet := range bookSheets {
		rows, err := csv.NewReader(bytes.NewReader(f.csv[strings.ReplaceAll(strings.ToLower(sheet), ", ", "-")+".csv"])).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		for _, cells := range rows[1:] {
			for i, c := range cells { // README.txt: one apostrophe off a guarded text
				if rest, ok := strings.CutPrefix(c, "'"); ok {
					cells[i] = rest
				}
			}
			out[sheet] = append(out[sheet], rowOf(t, rows[0], cells))
		}
	}
	return out
}

func rowOf(t testing.TB, head, cells []string) record {
	t.Helper()
	if len(cells) != len(head) {
		t.Fatalf("%d cells under %d headers: %.200q", len(cells), len(head), cells)
	}
	r := record{}
	for i, h := range head {
		name, zone, _ := strings.Cut(h, " (Europe/Vienna")
		r[name] = cells[i]
		if offset, ok := strings.CutPrefix(strings.TrimSuffix(zone, ")"), ", "); ok { // one for all moments of the sheet
			r[name+", offset from UTC"] = offset
		}
	}
	return r
}

// tables reads the sheets; sheet About says which words stand for no value.
type tables struct {
	*faceReader
	who    map[string]string // infant by cot and number or label
	sheets map[string][]record
}

// factsOfTables reads the sheets of a workbook, or the files of CSV.
func (f faces) factsOfTables(sheets map[string][]record) *faceReader {
	b := &tables{faceReader: f.faceReader(), who: map[string]string{}, sheets: sheets}
	b.names = namer{}
	for _, r := range sheets["Facts"] {
		b.who[r["Cot"]+" "+r["Hospital number, or label"]] = r["Infant's key"]
	}
	for _, sheet := range bookSheets {
		b.leftOut(sheet)
	}
	for _, r := range sheets["Handover"] {
		b.handover(r)
	}
	for _, r := range sheets["Handover, more"] {
		b.more(r)
	}
	b.readAt("Handover")
	b.due(sheets["Due"])
	b.readAt("Due")
	for _, r := range sheets["Changes"] {
		b.change(r)
	}
	b.readAt("Changes")
	for _, r := range sheets["Facts"] {
		b.fact(r)
	}
	b.readAt("Facts")
	for _, r := range sheets["About"] {
		if path := map[string]string{"Unit": "unit", "Moment of this handover": "at", "Written down by": "known",
			"Policy": "policy"}[r["What"]]; path != "" {
			_, offset, _ := strings.Cut(r["Detail"], "offset ")
			b.facts.put(unit+" "+path, b.moment(r["Value"], offset))
		}
	}
	b.readAt("About")
	return b.faceReader
}

var wallTime = regexp.MustCompile(`^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d$`)

// moment is a cell's moment with its offset from the cell beside it; the clock's
// time alone is of the unit's zone, if it comes but once.
func (b *tables) moment(cell, offset string) string {
	if !wallTime.MatchString(cell) {
		return cell
	}
	if _, told, ok := strings.Cut("UTC"+strings.TrimPrefix(offset, "UTC"), "UTC"); offset != "" && ok {
		return cell + strings.TrimPrefix(told, "at UTC")
	}
	t, err := time.ParseInLocation("2006-01-02T15:04:05", cell, b.zone)
	if err != nil {
		b.fault("%v", err)
	}
	for _, other := range []time.Duration{-time.Hour, time.Hour} {
		if t.Add(other).Format("02 15:04") == t.Format("02 15:04") {
			b.fault("%s comes twice in that night, and no offset stands beside it", cell)
		}
	}
	return t.Format(stampForm)
}

const stampForm = "2006-01-02T15:04:05-07:00"

// leftOut puts back the columns that sheet About says have no value in any row: a word alone.
func (b *tables) leftOut(sheet string) {
	for _, said := range b.sheets["About"] {
		if said["What"] != "Left out of "+sheet {
			continue
		}
		for _, head := range strings.Split(said["Value"], "; ") {
			name, _, _ := strings.Cut(head, " (Europe/Vienna")
			for _, r := range b.sheets[sheet] {
				if _, ok := r[name]; ok {
					b.fault("%s of sheet %s is left out and is not", name, sheet)
				}
				r[name] = wordsOfNothing[name]
			}
		}
	}
}

// wordsOfNothing are what a column says that is left out; others do not apply.
var wordsOfNothing = map[string]string{"Corrected": "not corrected", "Look-alikes": none, "Conflicts": none, "Not charted": none,
	"Why": none, "Deferred until": "–", "Care or task": "–", "Entry": none, "Hospital number": notCharted, "Overdue from": "never",
	"Charted": "when it happened"}

// none and does not apply are no facts; what is left is a value.
func value(cell string) (string, bool) {
	switch cell {
	case "does not apply", "from the record", "when it happened", "–", "":
		return "", false
	}
	return cell, true
}

// handover reads an infant's row: who, and what is told of the others.
func (b *tables) handover(r record) {
	number := r["Hospital number, or label"]
	who := b.who[r["Cot"]+" "+number]
	if who == "" {
		b.fault("nobody has cot %s and number %s in sheet Facts", r["Cot"], number)
	}
	b.put(who, "infant", who)
	b.put(who, "cot", r["Cot"])
	name, formerly, _ := strings.Cut(strings.TrimSuffix(r["Name"], ")"), "(formerly ")
	switch name = strings.TrimSpace(name); name {
	case "not shown":
		b.put(who, "restricted", "true")
	case notCharted:
	default:
		b.put(who, "name", name)
	}
	if formerly != "" {
		b.put(who, "formerly", formerly)
	}
}

// more reads the rest of an infant's row.
func (b *tables) more(r record) {
	who := r["Infant's key"]
	number := r["Hospital number"]
	if number == notCharted {
		number = r["Temporary label"]
	}
	if known := b.who[r["Cot"]+" "+number]; known != who {
		b.fault("sheet Handover, more has the row of %s under %s", known, who)
	}
	if r["Hospital number"] != notCharted {
		b.put(who, "mrn", r["Hospital number"])
	}
	if r["Temporary label"] != notCharted {
		b.put(who, "temporary", r["Temporary label"])
	}
	b.list(who, "lookAlikes", r["Look-alikes"], regexp.MustCompile(`^(.+) \((\w+)\)$`), func(m []string) {
		other := b.who[m[1]]
		b.put(who, "lookAlikes["+other+"].infant", other)
		b.put(who, "lookAlikes["+other+"].why", m[2])
	})
	b.list(who, "conflicts", r["Conflicts"], regexp.MustCompile(`^(\w+) (.+) also with (.+)$`), func(m []string) {
		other := b.who[m[3]]
		item := "conflicts[" + m[1] + " " + other + "]."
		b.put(who, item+"infant", other)
		b.put(who, item+"what", m[1])
		b.put(who, item+"value", m[2])
	})
}

// put adds a fact, unless the cell's word says that it does not apply.
func (b *tables) put(who, path, cell string) {
	if v, ok := value(cell); ok {
		b.facts.put(who+" "+path, v)
	}
}

func (b *tables) list(who, path, cell string, item *regexp.Regexp, each func([]string)) {
	if cell == none {
		b.put(who, path, none)
		return
	}
	for _, one := range strings.Split(cell, "; ") {
		if m := item.FindStringSubmatch(one); m != nil {
			each(m)
		} else {
			b.fault("%s: %s cannot be read: %s", who, path, one)
		}
	}
}

// due reads what is due, overdue and deferred.
func (b *tables) due(rows []record) {
	for _, r := range rows {
		who, what := r["Infant's key"], r["What"]
		name := what
		if v, ok := value(r["Care or task"]); ok {
			name += " " + v
		}
		if r["Cot"] == "" { // the line that says there is nothing
			continue
		}
		if r["State"] == "next" {
			b.next(who, r)
			continue
		}
		item := "due[" + strings.TrimPrefix(b.names.next(who+name), who) + "]."
		b.planned(who, item, "at", r)
		b.put(who, item+"state", r["State"])
		b.put(who, item+"until", b.moment(r["Deferred until"], r["Deferred until, offset from UTC"]))
		b.put(who, item+"every", r["Every"])
		if r["Interval by"] == "the infant's plan" {
			b.put(who, item+"planned", "true")
		}
		if r["Why"] != none {
			b.put(who, item+"why", r["Why"])
		}
	}
}

// next reads what falls due later.
func (b *tables) next(who string, r record) {
	name := r["What"]
	if v, ok := value(r["Care or task"]); ok {
		name += " " + v
	}
	b.planned(who, "next["+strings.TrimPrefix(b.names.next(who+"\n"+name), who+"\n")+"].", "dueAt", r)
}

// planned reads what a row says of a thing to do, its moment under a name.
func (b *tables) planned(who, item, at string, r record) {
	b.put(who, item+"what", r["What"])
	switch r["What"] {
	case "care":
		b.put(who, item+"care", r["Care or task"])
	case "task":
		b.put(who, item+"text", r["Care or task"])
		b.put(who, item+"task", r["Task"])
	}
	if r["Due, offset from UTC"] == "whole day" {
		b.put(who, item+"on", r["Due"])
	} else {
		b.put(who, item+at, b.moment(r["Due"], r["Due, offset from UTC"]))
	}
	if r["Overdue from"] != "never" {
		b.put(who, item+"overdueAt", b.moment(r["Overdue from"], r["Overdue from, offset from UTC"]))
	}
}

func (b *tables) change(r record) {
	who, item := r["Infant's key"], "changes["+r["Path"]+"]."
	b.put(who, item+"path", r["Path"])
	for column, path := range map[string]string{"From": "from", "To": "to"} {
		v := r[column]
		if strings.HasSuffix(r["Path"], ".in") {
			v = yesNo[v]
		}
		if r[column] == "nothing" {
			v = notCharted
		}
		b.put(who, item+path, v)
	}
	b.put(who, item+"why", r["Why"])
	if r["Entry"] != none {
		b.put(who, item+"entry", r["Entry"])
	}
}

var yesNo = map[string]string{"yes": "true", "no": "false"}
