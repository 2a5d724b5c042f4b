package intake

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"cotline/handover/entry"
)

// Tables says how a table of entries is read, from CSV or from a workbook.
//
// A table has a row of headers, among its first rows, and below it one entry a row: a column a field, by the field's own
// name or as Mapping says, and an empty cell is a field left out. What stands above the headers is for people. A row in
// which nothing stands but an id and a kind was prepared and never filled: it is passed over.
//
// A nested field is its JSON text, or has a column a part (table_target.go); a list of words is words with commas between. A
// moment is RFC 3339 with its offset, or a date and time of the clock in Zone; a time that the clock shows twice or never
// is refused. Nothing is guessed: where a cell holds another thing than it shows, the entry is refused.
type Tables struct {
	Zone    *time.Location
	Mapping *Mapping // nil: the headers are fields
}

// cell is what a table's cell holds.
type cell struct {
	column int // from 0
	holds  holds
	text   string    // as text; of a number, its decimals as shown
	when   time.Time // of a date: the clock's time, as if at Greenwich
	why    string    // of a cell that cannot be taken: what would be right
}

type holds int8

const (
	holdsText holds = iota
	holdsNumber
	holdsMoment // a date with its time of day
	holdsDay
	holdsFlag
	holdsFault
)

// table reads one table row by row.
type table struct {
	Tables
	offer   *Offer
	name    string
	above   int      // lines of the offer before this table
	rows    int      // read of this table
	decimal string   // mark of decimals in texts
	head    int      // row of the headers, 0 before they are found
	columns []string // fields by column; empty: no header
	targets map[int]target
	infants map[string]string // the record's keys, by what is chosen of the workbook's own list
	collect func(int, []cell) // takes the rows of a sheet that is no table of entries
	round   round
	strays  map[int]bool // columns without a header that hold something
	faulty  bool
}

func (o *Offer) table(t Tables, name, decimal string) *table {
	return &table{Tables: t, offer: o, name: name, above: o.Lines, decimal: decimal, strays: map[int]bool{}, targets: map[int]target{}}
}

// whole refuses a file as a whole.
func (o *Offer) whole(name string, code entry.Code, allowed string) {
	o.Lines++
	o.Unread++
	o.Sheets = append(o.Sheets, Sheet{Name: name, Rows: 1, Whole: true})
	o.Issues = append(o.Issues, entry.Issue{Line: o.Lines, Code: code, Allowed: allowed})
}

func (t *table) add(path string, code entry.Code, found, allowed string) {
	t.faulty = true
	t.offer.Issues = append(t.offer.Issues, entry.Issue{Line: t.above + t.rows, Path: path, Code: code, Found: found, Allowed: allowed})
}

// unread refuses a row of which nothing can be read.
func (t *table) unread(code entry.Code, found, allowed string) {
	t.add("", code, found, allowed)
	t.offer.Unread++
}

// enough says that there is no reason to read on: no headers were found where they should be, or too many faults.
func (t *table) enough() bool {
	if t.collect != nil {
		return false
	}
	if t.head > 0 && (len(t.offer.Issues) >= mostTold || len(t.offer.Entries) > mostEntries) {
		t.unread(entry.CodeLineTooLong, "", tooMany)
		return true
	}
	return t.head == 0 && t.rows >= mostAbove
}

// row takes the next row; number counts from 1, as a spreadsheet program does. Empty cells may be left out.
func (t *table) row(number int, cells []cell) {
	t.rows = number
	cells = slices.DeleteFunc(cells, func(c cell) bool { return c.holds == holdsText && strings.TrimSpace(c.text) == "" })
	switch {
	case t.collect != nil:
		t.collect(number, cells)
	case t.head > 0:
		t.entry(cells)
	case number <= mostAbove && slices.ContainsFunc(cells, func(c cell) bool { return t.field(c.text) == "id" }):
		t.headers(cells)
	}
}

// close ends a table. One without headers is no table of entries.
func (t *table) close() {
	if t.head == 0 && !t.faulty {
		return
	}
	t.round.tellAlike(t)
	s := Sheet{Name: t.name, Rows: t.rows, Columns: map[string]string{}}
	for i, f := range t.columns {
		if f != "" {
			s.Columns[f] = letters(i)
		}
	}
	t.offer.Lines += t.rows
	t.offer.Sheets = append(t.offer.Sheets, s)
}

// headOf is what stands above a cell.
func (t *table) headOf(c cell) string {
	if c.column >= len(t.columns) {
		return ""
	}
	return t.columns[c.column]
}

func joined(a, b string) string { return strings.TrimSuffix(a+"."+b, ".") }

// letters name a column as spreadsheet programs do: A, B … Z, AA …
func letters(column int) string {
	s := ""
	for n := column + 1; n > 0; n = (n - 1) / 26 {
		s = string(rune('A'+(n-1)%26)) + s
	}
	return s
}

// note tells a person something that is no fault.
func (o *Offer) note(format string, args ...any) {
	o.Notes = append(o.Notes, fmt.Sprintf(format, args...))
}
