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
	note  string
	show  show
	ready bool // filled in already
	width int
}

// inputs are a kind's columns: who, when and by whom, its fields, when charted, and what is ready.
func inputs(k *entry.Kind, zone string) []input {
	common := map[string]entry.Spec{}
	for _, s := range entry.Common {
		common[s.Name] = s
	}
	var out []input
	add := func(s entry.Spec, note string) {
		i := input{spec: s, note: note, width: noteWidth}
		switch s.Type {
		case entry.Number, entry.Whole, entry.Flag:
			i.show = showWord
		case entry.Instant:
			i.show = showMoment
		case entry.Birth:
			i.show = showDay
		case entry.List, entry.Object, entry.PerInfant, entry.EntryType:
			i.show, i.width = showText, textWidth
		default:
			i.show = showText
			if s.Longest > line200 {
				i.width = textWidth
			}
		}
		out = append(out, i)
	}
	if k.Ward != entry.OfUnit {
		note := "required; the record's key of the infant"
		if k.Ward == entry.OfEither {
			note = "the record's key of the infant; empty: the whole unit"
		}
		add(common["infant"], note)
	}
	add(common["at"], "required; date and time by the clock in "+zone+", as 2026-03-09 07:30")
	add(common["by"], "required; staff key")
	for _, s := range k.Fields {
		add(s, noteOf(k, s))
	}
	add(common["charted"], "when it was written down; empty: when it is taken")
	for _, name := range []string{"kind", "id"} {
		add(common[name], "ready: leave it as it is")
		out[len(out)-1].ready = true
	}
	out[len(out)-1].width = 36
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
	case entry.List, entry.Object, entry.PerInfant, entry.EntryType:
		out = append(out, "as "+s.Example())
		for _, of := range append([]entry.Spec{s}, s.Of...) {
			if len(of.Words) > 0 {
				out = append(out, strings.ToLower(of.Label)+": "+strings.Join(of.Words, ", "))
			}
		}
	}
	if s.Help != "" {
		out = append(out, s.Help)
	}
	return strings.Join(out, "; ")
}

// addForm writes the sheet of a kind.
func (b *book) addForm(k *entry.Kind, l *lists, p *handover.Policy, newID func() string) error {
	columns := inputs(k, p.Zone.String())
	last := nameRow + formRows
	if err := b.addSheet(k.Label); err != nil {
		return err
	}
	if err := b.layOut(k.Label, len(columns), last, nameRow, formKept); err != nil {
		return err
	}
	for i := range columns {
		if err := b.validate(k, columns[i], i, last, l); err != nil {
			return err
		}
	}
	w, err := b.file.NewStreamWriter(k.Label)
	if err != nil {
		return err
	}
	f := form{book: b, StreamWriter: w, columns: columns}
	if err := f.head(k); err != nil {
		return err
	}
	if err := f.rows(k.Name, newID); err != nil {
		return err
	}
	corner, err := excelize.CoordinatesToCellName(len(columns), last)
	if err != nil {
		return err
	}
	stripes := false
	return errors.Join(
		w.AddTable(&excelize.Table{Range: "A" + strconv.Itoa(nameRow) + ":" + corner,
			Name: "Form_" + strings.ReplaceAll(k.Name, "-", "_"), StyleName: "TableStyleLight15", ShowRowStripes: &stripes}),
		w.Flush(),
	)
}

// validate gives a column its list, or its range.
func (b *book) validate(k *entry.Kind, in input, i, last int, l *lists) error {
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
	ref, only := l.of(k.Label, s)
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
	v.SetError(refusal, cut(s.Label, mostTitle), cut(why, mostWhy))
	return errors.Join(err, b.file.AddDataValidation(k.Label, v))
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
func (f form) head(k *entry.Kind) error {
	for i := len(f.columns) - 1; i >= 0; i-- { // the library lists first what is set last
		in := f.columns[i]
		f.columns[i].width = max(in.width, longestPiece(in.spec.Label)+1, digits(in.spec.Name)+4)
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
	title := strings.TrimSuffix(k.Label+": "+k.Help, ": ")
	if err := f.row(titleRow, style{show: showText, part: partTitle}, 1,
		func(input) string { return title + ". " + f.title }); err != nil {
		return err
	}
	if err := f.row(labelRow, style{show: showText, part: partHeader}, len(f.columns),
		func(in input) string { return headOf(in.spec) }); err != nil {
		return err
	}
	if err := f.row(noteRow, style{}, len(f.columns), func(in input) string { return in.note }); err != nil {
		return err
	}
	return f.row(nameRow, style{show: showText, part: partHeader}, len(f.columns), func(in input) string { return in.spec.Name })
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
		set(len(cells)-2, kind)
		set(len(cells)-1, newID())
		if err := f.SetRow("A"+strconv.Itoa(nameRow+1+n), cells); err != nil {
			return err
		}
	}
	return nil
}
