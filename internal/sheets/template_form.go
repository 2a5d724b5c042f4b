package sheets

import (
	"errors"
	"fmt"
	"strconv"

	"github.com/xuri/excelize/v2"

	"cotline/handover/entry"
)

// Where things stand on the sheet of a kind.
const (
	labelRow  = 2
	noteRow   = 3
	nameRow   = 4
	formRows  = 100 // ready to fill in
	formKept  = 2   // columns that stay in view
	noteWidth = 16
	textWidth = 40 // of long texts and of JSON text
)

// formSheet is a sheet to fill in.
type formSheet struct {
	name, title string
	key         string // of its table, and of the entries' kind
	columns     []input
}

// addForm writes a sheet to fill in.
func (b *book) addForm(s formSheet, l *lists, newID func() string) error {
	last := nameRow + formRows
	if err := b.addSheet(s.name); err != nil {
		return err
	}
	if err := b.layOut(s.name, len(s.columns), last, nameRow, formKept); err != nil {
		return err
	}
	for i := range s.columns {
		if err := b.validate(s.name, s.columns[i], i, last, l); err != nil {
			return err
		}
	}
	w, err := b.file.NewStreamWriter(s.name)
	if err != nil {
		return err
	}
	f := form{book: b, StreamWriter: w, columns: s.columns}
	if err := f.head(s.title); err != nil {
		return err
	}
	if err := f.rows(s.key, newID); err != nil {
		return err
	}
	corner, err := excelize.CoordinatesToCellName(len(s.columns), last)
	if err != nil {
		return err
	}
	stripes := false
	if err := w.AddTable(&excelize.Table{Range: "A" + strconv.Itoa(nameRow) + ":" + corner,
		Name: "Form_" + tableName(s.key), StyleName: "TableStyleLight15", ShowRowStripes: &stripes}); err != nil {
		return err
	}
	return b.endSheet(w)
}

// validate gives a column its list, or its range.
func (b *book) validate(sheet string, in input, i, last int, l *lists) error {
	if in.ready {
		return nil
	}
	s := &in.spec
	name, err := excelize.ColumnNumberToName(i + 1)
	if err != nil {
		return err
	}
	v := excelize.NewDataValidation(true)
	v.SetSqref(fmt.Sprintf("%s%d:%s%d", name, nameRow+1, name, last))
	refusal := excelize.DataValidationErrorStyleStop
	why := in.note
	ref, only := l.of(sheet, &in)
	switch {
	case ref != "":
		v.SetSqrefDropList(ref)
		if why = "choose from the list"; !only {
			refusal = excelize.DataValidationErrorStyleWarning
		}
	case s.Type == entry.Number:
		err = v.SetRange(s.Min, s.Max, excelize.DataValidationTypeDecimal, excelize.DataValidationOperatorBetween)
	case s.Type == entry.Whole:
		err = v.SetRange(s.Min, s.Max, excelize.DataValidationTypeWhole, excelize.DataValidationOperatorBetween)
	case s.Type == entry.Text:
		err = v.SetRange(1, s.Longest, excelize.DataValidationTypeTextLength, excelize.DataValidationOperatorBetween)
		why = fmt.Sprintf("at most %d characters", s.Longest)
	default:
		return nil
	}
	const mostTitle, mostWhy = 32, 255 // characters: the format's limits
	v.SetError(refusal, cut(in.label, mostTitle), cut(why, mostWhy))
	return errors.Join(err, b.file.AddDataValidation(sheet, v))
}

func cut(s string, most int) string {
	r := []rune(s)
	return string(r[:min(len(r), most)])
}

// form is the sheet of a kind while it is written.
type form struct {
	*book
	*excelize.StreamWriter
	columns []input
}

// head writes what stands above the entries.
func (f form) head(title string) error {
	for i := len(f.columns) - 1; i >= 0; i-- { // the library lists first what is set last
		in := f.columns[i]
		if !in.narrow {
			f.columns[i].width = max(in.width, longestPiece(in.label)+1, digits(in.name)+4)
		}
		if err := f.SetColWidth(i+1, i+1, float64(f.columns[i].width)+padding); err != nil {
			return err
		}
	}
	corner, err := excelize.CoordinatesToCellName(formKept+1, nameRow+1)
	if err != nil {
		return err
	}
	if err := f.SetPanes(&excelize.Panes{Freeze: true, XSplit: formKept, YSplit: nameRow, TopLeftCell: corner,
		ActivePane: "bottomRight"}); err != nil {
		return err
	}
	if err := f.row(titleRow, style{show: showText, part: partTitle}, 1,
		func(input) string { return title + ". " + f.title }); err != nil {
		return err
	}
	if err := f.row(labelRow, style{show: showText, part: partHeader}, len(f.columns),
		func(in input) string { return in.label }); err != nil {
		return err
	}
	if err := f.row(noteRow, style{}, len(f.columns), func(in input) string { return in.note }); err != nil {
		return err
	}
	return f.row(nameRow, style{show: showText, part: partHeader}, len(f.columns), func(in input) string { return in.name })
}

// row writes a row of texts in one style.
func (f form) row(number int, s style, columns int, text func(input) string) error {
	id, err := f.style(s)
	if err != nil {
		return err
	}
	cells := make([]any, columns)
	lines := 1
	for i := range cells {
		t := text(f.columns[i])
		cells[i] = excelize.Cell{StyleID: id, Value: t}
		if number != titleRow {
			lines = max(lines, linesOf(t, f.columns[i].width))
		}
	}
	return f.SetRow("A"+strconv.Itoa(number), cells, excelize.RowOpts{Height: min(float64(lines)*lineHeight, excelize.MaxRowHeight)})
}

// rows writes the rows to fill in.
func (f form) rows(kind string, newID func() string) error {
	cells := make([]any, len(f.columns))
	for i, in := range f.columns {
		s := style{show: in.show}
		if in.ready {
			s.part = partPrepared
		}
		id, err := f.style(s)
		if err != nil {
			return err
		}
		cells[i] = excelize.Cell{StyleID: id}
	}
	set := func(i int, value string) { c := cells[i].(excelize.Cell); c.Value = value; cells[i] = c }
	for n := range formRows {
		for i, in := range f.columns {
			switch {
			case in.ready && in.name == "kind":
				set(i, kind)
			case in.ready:
				set(i, newID())
			}
		}
		if err := f.SetRow("A"+strconv.Itoa(nameRow+1+n), cells); err != nil {
			return err
		}
	}
	return nil
}
