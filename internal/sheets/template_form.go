package sheets

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"cotline/handover"
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

// input is a column of a form.
type input struct {
	spec  entry.Spec
	name  string // its header, which cotline chart reads
	label string
	note  string
	words []string // to choose from, where the description has none; others are taken too
	show  show
	ready bool // filled in already
	width int
	// narrow: its name may go over lines.
	narrow bool
}

// inputOf is the column of a field.
func inputOf(s entry.Spec, note string) input {
	i := input{spec: s, name: s.Name, label: headOf(s), note: note, width: noteWidth}
	switch s.Type {
	case entry.Number, entry.Whole, entry.Flag:
		i.show = showWord
	case entry.Instant:
		i.show = showMoment
	case entry.Birth:
		i.show = showDay
	default:
		i.show = showText
		if s.Longest > line200 || s.Type == entry.PerInfant || s.Type == entry.EntryType {
			i.width = textWidth
		}
	}
	return i
}

// inputs are a kind's columns: who, when and by whom, its fields, when charted, and what is ready.
func inputs(k *entry.Kind, p *handover.Policy) []input {
	common := commonSpecs()
	var out []input
	if k.Ward != entry.OfUnit {
		note := "required; choose, or the record's key of the infant"
		if k.Ward == entry.OfEither {
			note = "the record's key of the infant; empty: the whole unit"
		}
		out = append(out, inputOf(common["infant"], note))
	}
	out = append(out, inputOf(common["at"], "required; date and time by the clock in "+p.Zone.String()+", as 2026-03-09 07:30"),
		inputOf(common["by"], "required; staff key"))
	for _, s := range k.Fields {
		out = append(out, fieldInputs(k, s, p)...)
	}
	out = append(out, inputOf(common["charted"], "when it was written down; empty: when it is taken"))
	for _, name := range []string{"kind", "id"} {
		out = append(out, inputOf(common[name], "ready: leave it as it is"))
		out[len(out)-1].ready = true
	}
	out[len(out)-1].width = 36
	return out
}

func commonSpecs() map[string]entry.Spec {
	out := map[string]entry.Spec{}
	for _, s := range entry.Common {
		out[s.Name] = s
	}
	return out
}

const line200 = 200 // characters of a short text

// noteOf says what a field takes: whether it must be there, unit and range, and its form.
func noteOf(k *entry.Kind, s entry.Spec) string {
	var out []string
	switch {
	case s.Required:
		out = append(out, "required")
	case s.When.Field != "":
		out = append(out, "required when "+s.When.Field+" is "+strings.Join(s.When.Is, " or "))
	case slices.Contains(k.OneOf, s.Name):
		out = append(out, "exactly one of "+strings.Join(k.OneOf, ", "))
	}
	switch s.Type {
	case entry.Number:
		out = append(out, strings.TrimSpace(s.Min+" to "+s.Max+" "+s.Unit))
	case entry.Whole:
		out = append(out, strings.TrimSpace("whole number, "+s.Min+" to "+s.Max+" "+s.Unit))
	case entry.Word, entry.Flag:
		out = append(out, "choose")
	case entry.Instant:
		out = append(out, "date and time")
	case entry.Birth:
		out = append(out, "a day; with its time as 2026-03-09T07:30:00+01:00")
	case entry.Gestation:
		out = append(out, `weeks+days, as 26+3, or weeks`)
	case entry.Interval:
		out = append(out, "as 90m, 4h, 1h30m or 7d")
	case entry.Reference:
		out = append(out, "the id of the entry")
	case entry.List:
		out = append(out, strings.TrimSuffix("with commas between: "+strings.Join(s.Words, ", "), ": "))
	case entry.PerInfant:
		out = append(out, "by infant, as in-01: pressure, fio2; in-02: skin. Words: "+strings.Join(s.Words, ", "))
	case entry.EntryType:
		out = append(out, "the whole entry, as kind: settings; at: 2026-03-09 07:30; pressureCmH2O: 5.0")
	}
	if s.Help != "" {
		out = append(out, s.Help)
	}
	return strings.Join(out, "; ")
}

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
	return errors.Join(
		w.AddTable(&excelize.Table{Range: "A" + strconv.Itoa(nameRow) + ":" + corner,
			Name: "Form_" + tableName(s.key), StyleName: "TableStyleLight15", ShowRowStripes: &stripes}),
		w.Flush(),
	)
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
