package sheets

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"
)

// Where things stand on every sheet.
const (
	titleRow  = 1
	headerRow = 2
)

// book is a workbook while it is written.
type book struct {
	file     *excelize.File
	styles   map[style]int
	document string // its title, in the properties
	title    string // of every sheet
	footer   string
	mostRows int // of a sheet, title and header included
	sheets   int
}

func newBook(title, footer string) *book { return newBookWithin("", title, footer) }

// newBookWithin keeps what is too much for memory in a folder; none is the machine's.
func newBookWithin(temp, title, footer string) *book {
	return &book{file: excelize.NewFile(excelize.Options{TmpDir: temp}), styles: map[style]int{}, document: "Handover workbook", title: title,
		footer: footer, mostRows: excelize.TotalRows}
}

// add writes a sheet, and where it has more rows than a sheet takes, further ones named with a number.
func (b *book) add(s sheet) (tally, error) {
	m, err := s.measure()
	if err != nil {
		return tally{}, err
	}
	most := b.mostRows - headerRow
	t := tally{s.name, m.rows, max((m.rows+most-1)/most, 1)}
	p, err := b.open(s, m, t, 1, min(m.rows, most))
	if err != nil {
		return t, err
	}
	for _, cells := range s.ahead() {
		if p.rows == most {
			if err := p.close(); err != nil {
				return t, err
			}
			left := m.rows - p.number*most
			if p, err = b.open(s, m, t, p.number+1, min(left, most)); err != nil {
				return t, err
			}
		}
		if err := p.write(cells); err != nil {
			return t, err
		}
	}
	return t, p.close()
}

// openSheet is one sheet of the file while it is written.
type openSheet struct {
	*book
	sheet
	*excelize.StreamWriter
	number int
	rows   int             // written
	cells  []excelize.Cell // of one row, used again for the next
	looks  []style         // of those cells
	row    []any           // pointers to them
	widths []int           // in digits
}

// open starts the first, second, … sheet of a table, of so many rows.
func (b *book) open(s sheet, m measured, t tally, number, rows int) (*openSheet, error) {
	name, titled := nameOf(s.name, number), s.name
	if t.sheets > 1 {
		titled = fmt.Sprintf("%s, sheet %d of %d", s.name, number, t.sheets)
	}
	if err := b.addSheet(name); err != nil {
		return nil, err
	}
	if err := b.layOut(name, len(s.heads), headerRow+max(rows, 1), headerRow, s.keep); err != nil {
		return nil, err
	}
	if rows == m.rows {
		if err := b.addCharts(name, s, m); err != nil {
			return nil, err
		}
	}
	w, err := b.file.NewStreamWriter(name)
	if err != nil {
		return nil, err
	}
	p := &openSheet{book: b, sheet: s, StreamWriter: w, number: number, widths: m.widths, cells: make([]excelize.Cell, len(s.heads)),
		looks: make([]style, len(s.heads))}
	for i := range p.cells {
		p.row = append(p.row, &p.cells[i])
	}
	for i := len(m.widths) - 1; i >= 0; i-- { // the library lists first what is set last; readers want them ascending
		if err := w.SetColWidth(i+1, i+1, float64(m.widths[i])+padding); err != nil {
			return nil, err
		}
	}
	corner, err := excelize.CoordinatesToCellName(s.keep+1, headerRow+1)
	if err != nil {
		return nil, err
	}
	if err := w.SetPanes(&excelize.Panes{Freeze: true, XSplit: s.keep, YSplit: headerRow, TopLeftCell: corner,
		ActivePane: "bottomRight"}); err != nil {
		return nil, err
	}
	title, err := b.style(style{show: showText, part: partTitle})
	if err != nil {
		return nil, err
	}
	if err := w.SetRow("A1", []any{excelize.Cell{StyleID: title, Value: titled + ". " + b.title}}); err != nil {
		return nil, err
	}
	head, err := b.style(style{show: showText, part: partHeader})
	if err != nil {
		return nil, err
	}
	heads := make([]any, len(s.heads))
	for i, h := range s.heads {
		heads[i] = excelize.Cell{StyleID: head, Value: h}
	}
	return p, w.SetRow("A2", heads, excelize.RowOpts{Height: p.height(len(s.heads), func(i int) string { return s.heads[i] })})
}

// addSheet makes an empty sheet after the others.
func (b *book) addSheet(name string) error {
	b.sheets++
	if b.sheets == 1 {
		return b.file.SetSheetName("Sheet1", name)
	}
	_, err := b.file.NewSheet(name)
	return err
}

// write appends a row.
func (p *openSheet) write(cells []cell) error {
	p.rows++
	for i, c := range cells {
		to := &p.cells[i]
		if s := c.style(); to.StyleID == 0 || s != p.looks[i] { // mostly that of the cell above
			id, err := p.style(s)
			if err != nil {
				return err
			}
			to.StyleID, p.looks[i] = id, s
		}
		to.Value = c.value()
	}
	height := p.height(len(cells), func(i int) string { return cells[i].text })
	return p.SetRow("A"+strconv.Itoa(headerRow+p.rows), p.row[:len(cells)], excelize.RowOpts{Height: height})
}

// height is that of a row whose texts wrap. Not all programs find it themselves.
func (p *openSheet) height(columns int, text func(int) string) float64 {
	lines := 1
	for i := range columns {
		if s := text(i); !fits(s, p.widths[i]) || strings.Contains(s, "\n") {
			lines = max(lines, linesOf(s, p.widths[i]))
		}
	}
	return min(float64(lines)*lineHeight, excelize.MaxRowHeight)
}

// close ends a sheet: with a table where there are rows, else with the line that says there is none.
func (p *openSheet) close() error {
	if p.rows == 0 {
		if err := p.write([]cell{word(p.none)}); err != nil {
			return err
		}
		return p.Flush()
	}
	last, err := excelize.CoordinatesToCellName(len(p.heads), headerRow+p.rows)
	if err != nil {
		return err
	}
	stripes := false
	if err := p.AddTable(&excelize.Table{
		Range:          fmt.Sprintf("A%d:%s", headerRow, last),
		Name:           strings.ReplaceAll(p.Sheet, " ", "_"),
		StyleName:      "TableStyleLight15",
		ShowRowStripes: &stripes,
	}); err != nil {
		return err
	}
	return p.Flush()
}
