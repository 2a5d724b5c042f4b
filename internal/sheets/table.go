package sheets

import (
	"fmt"
	"iter"
)

// column is one column of a sheet of T.
type column[T any] struct {
	head string // unique in its sheet, without regard to case
	wrap int    // texts wider than so many digits wrap; 0: usualWrap
	cell func(T) cell
}

const usualWrap = 28

// sheet is a table before it is written.
type sheet struct {
	name  string
	heads []string
	wraps []int
	none  string // the line that stands in place of rows
	keep  int    // columns that stay in view and are printed on every page
	rows  iter.Seq2[string, []cell]

	full    bool    // columns without a value stay
	printed int     // so many of its first columns are in the default print; 0: it is not
	tall    float64 // height of its rows in points; 0: as their texts need
	plain   bool    // no table, which a reader could sort away from under a chart
	charts  []chart
}

// tally is how many rows a sheet has, over how many sheets of the file they go on, and which columns it has not, as no
// row has a value there.
type tally struct {
	sheet        string
	rows, sheets int
	leftOut      []string
}

// where says where the rows stand.
func (t tally) where() string {
	out := "rows under the header"
	for n := range t.sheets - 1 {
		out += ", going on in " + nameOf(t.sheet, n+2)
	}
	return out
}

// nameOf is the name of the first, second, … sheet that a table's rows take.
func nameOf(sheet string, number int) string {
	if number == 1 {
		return sheet
	}
	return fmt.Sprintf("%s %d", sheet, number)
}

// table makes a sheet with a row for each of rows. key names a row in a refusal and in a link: an entry's id, an infant's
// key, never a name. The cells of a row are good until the next one.
func table[T any](name, none string, rows iter.Seq[T], key func(T) string, columns ...column[T]) sheet {
	s := sheet{name: name, none: none, keep: 2}
	for _, c := range columns {
		s.heads = append(s.heads, c.head)
		if c.wrap == 0 {
			c.wrap = usualWrap
		}
		s.wraps = append(s.wraps, c.wrap)
	}
	s.rows = func(yield func(string, []cell) bool) {
		row := make([]cell, len(columns))
		for r := range rows {
			for i := range columns {
				row[i] = columns[i].cell(r)
			}
			if !yield(key(r), row) {
				return
			}
		}
	}
	return s
}

// offsetHead ends the header of a column that tells the offsets of the moments to its left.
const offsetHead = ", offset from UTC"

// momentColumns are a moment and its offset from UTC beside it.
func momentColumns[T any](c clock, head string, get func(T) cell) []column[T] {
	zone := c.zone.String()
	return []column[T]{
		{head + " (" + zone + ")", 12, get},
		{head + offsetHead, 6, func(r T) cell {
			m := get(r)
			switch m.show {
			case showMoment:
				return cell{show: showOffset, text: m.when.Format(offsetFormat)}
			case showDay:
				return word("whole day")
			}
			return word(noPart)
		}},
	}
}

// measured is what a sheet is known to hold before its first row is written.
type measured struct {
	rows    int
	columns []int    // of the table's columns, those that are written
	heads   []string // of the columns that are written
	widths  []int    // of the columns that are written, in digits of their type
	printed int      // so many of the columns that are written are in the default print
	leftOut []string // headers of columns that are not written, as no row has a value there
	first   map[string]int
}

// extent is what the cells of a column take.
type extent struct {
	solid   int // widest of what cannot be broken over lines, in digits
	longest int // widest text
	valued  bool
}

// small says that a sheet is printed as it is, in smaller type.
func (s sheet) small() bool { return s.printed > 0 }
