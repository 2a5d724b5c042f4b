package intake

import (
	"fmt"
	"math"
	"slices"
	"strconv"
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
// A nested field is its JSON text, or has a column a part (round.go); a list of words is words with commas between. A
// moment is RFC 3339 with its offset, or a date and time of the clock in Zone; a time that the clock shows twice or never
// is refused. Nothing is guessed: where a cell holds another thing than it shows,
// the entry is refused.
type Tables struct {
	Zone    *time.Location
	Mapping *Mapping // nil: the headers are fields
}

const (
	mostAbove = 20            // rows above the headers
	mostText  = entry.MaxLine // bytes of a row
)

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

// entry takes a row below the headers.
func (t *table) entry(cells []cell) {
	size := 0
	for _, c := range cells {
		size += len(c.text)
		if t.headOf(c) == "" && !t.strays[c.column] {
			t.strays[c.column] = true
			t.add("", entry.CodeUnknownField, "column "+letters(c.column), "a header above what the column holds")
		}
	}
	cells = slices.DeleteFunc(cells, func(c cell) bool { h := t.headOf(c); return h == "" || h == ignored })
	prepared := func(c cell) bool { return slices.Contains([]string{"id", "kind", written}, t.headOf(c)) }
	switch {
	case !slices.ContainsFunc(cells, func(c cell) bool { return !prepared(c) }):
		t.round.hold(t, cells)
	case size > mostText:
		t.unread(entry.CodeLineTooLong, "", "at most 1 MiB a row")
	case t.round.is:
		t.roundRow(cells)
	default:
		kind := t.kindOf(cells)
		m := &made{value: entry.Value{Type: entry.ObjectValue, Line: t.above + t.rows}, cells: map[string]string{}}
		faults := t.gather(m, kind, cells)
		if t.Mapping != nil {
			m.value.Fields = append(m.value.Fields, t.Mapping.fixed...)
		}
		t.decode(m, faults)
	}
}

// headOf is what stands above a cell.
func (t *table) headOf(c cell) string {
	if c.column >= len(t.columns) {
		return ""
	}
	return t.columns[c.column]
}

// gather puts the cells of one entry together, the one that says something of all others last.
func (t *table) gather(m *made, kind *entry.Kind, cells []cell) (faults []entry.Issue) {
	last := func(c cell) int {
		if strings.HasSuffix(t.headOf(c), "."+others) {
			return 1
		}
		return 0
	}
	slices.SortStableFunc(cells, func(a, b cell) int { return last(a) - last(b) })
	for _, c := range cells {
		header := t.headOf(c)
		var fault *entry.Issue
		if to, ok := t.targets[c.column]; ok && kind != nil {
			fault = t.set(m, kind, to, header, c)
			if fault != nil {
				fault.Path = header
			}
		} else {
			var value entry.Value
			value, fault = t.value(specOf(kind, header), t.numbered(header, c))
			m.value.Fields = append(m.value.Fields, entry.Field{Name: header, Value: value})
			if fault != nil {
				fault.Path = joined(header, fault.Path)
			}
		}
		if fault != nil {
			faults = append(faults, *fault)
		}
	}
	return faults
}

// numbered makes an entry's id of its row's own number, where the map names the source of the numbers.
func (t *table) numbered(field string, c cell) cell {
	if field == "id" && t.Mapping != nil && t.Mapping.source != "" && (c.holds == holdsText || c.holds == holdsNumber) {
		return cell{column: c.column, holds: holdsText, text: t.Mapping.id(strings.TrimSpace(c.text))}
	}
	return c
}

// decode adds an entry, or its faults. What is wrong with a cell is not told again.
func (t *table) decode(m *made, faults []entry.Issue) {
	e, issues := entry.Decode(m.value)
	blamed := map[string]bool{}
	for _, f := range faults {
		blamed[root(f.Path)] = true
		if to, ok := targetOf(f.Path); ok {
			blamed[to.field] = true
		}
	}
	for _, i := range issues {
		if i.Path == "id" && i.Code == entry.CodeMissing {
			i.Allowed = needsID
		}
		if !blamed[root(i.Path)] {
			faults = append(faults, m.told(i))
		}
	}
	for i := range faults {
		faults[i].Line = m.value.Line
	}
	t.offer.Issues = append(t.offer.Issues, faults...)
	if len(faults) == 0 {
		t.offer.Entries = append(t.offer.Entries, &e)
	} else {
		t.offer.Faulty = append(t.offer.Faulty, &e)
	}
}

// told is a fault of an entry by the header of the cell that it came from.
func (m *made) told(i entry.Issue) entry.Issue {
	if i.Code == entry.CodeRange && strings.HasSuffix(i.Allowed, "%") && strings.HasPrefix(i.Found, "0.") {
		if d, err := entry.ParseDecimal(i.Found); err == nil {
			i.Allowed += "; " + i.Found + " reads as a fraction: write " + strconv.FormatFloat(
				math.Round(d.Float()*1e6)/1e4,
				'f',
				-1,
				64,
			) +
				" if that is what is meant"
		}
	}
	for path := i.Path; path != ""; path = path[:max(strings.LastIndexAny(path, ".["), 0)] {
		if header, ok := m.cells[path]; ok {
			i.Path = header
			return i
		}
	}
	return i
}

const needsID = "required: a UUID that stays with the entry, so that the same row charted again adds nothing"

// kindOf is the kind of a row's entry, nil when there is none of that name.
func (t *table) kindOf(cells []cell) *entry.Kind {
	name := ""
	if t.Mapping != nil {
		name = t.Mapping.kind()
	}
	for _, c := range cells {
		if c.column < len(t.columns) && t.columns[c.column] == "kind" {
			name = strings.TrimSpace(c.text)
		}
	}
	k, _ := entry.KindOf(name)
	return k
}

// specOf describes a field of a kind, or else one that takes any text: what is wrong with it is told by its name.
func specOf(k *entry.Kind, field string) *entry.Spec {
	for i := range entry.Common {
		if entry.Common[i].Name == field {
			return &entry.Common[i]
		}
	}
	if k != nil {
		if s, ok := k.Spec(field); ok {
			return s
		}
	}
	return &entry.Spec{Name: field, Private: true}
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
