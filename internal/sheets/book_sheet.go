package sheets

import (
	"fmt"
	"strconv"
	"strings"
	"unicode"

	"github.com/xuri/excelize/v2"

	"cotline/handover/entry"
)

// openSheet is one sheet of the file while it is written.
type openSheet struct {
	*book
	sheet
	*excelize.StreamWriter
	m      measured
	number int
	rows   int             // written
	linked int             // cells
	cells  []excelize.Cell // of one row, used again for the next
	looks  []style         // of those cells
	row    []any           // pointers to them
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
	last := headerRow + max(rows, 1)
	if err := b.layOut(name, len(m.heads), last, headerRow, s.keep); err != nil {
		return nil, err
	}
	if err := b.printArea(name, m, last); err != nil {
		return nil, err
	}
	if err := b.addSigns(name, m, last); err != nil {
		return nil, err
	}
	if err := b.addCharts(name, s, m); err != nil {
		return nil, err
	}
	w, err := b.file.NewStreamWriter(name)
	if err != nil {
		return nil, err
	}
	p := &openSheet{book: b, sheet: s, StreamWriter: w, m: m, number: number, cells: make([]excelize.Cell, len(m.heads)),
		looks: make([]style, len(m.heads))}
	for i := range p.cells {
		p.row = append(p.row, &p.cells[i])
	}
	return p, p.head(titled)
}

// head writes what stands above the rows, and how wide the columns are.
func (p *openSheet) head(titled string) error {
	for i := len(p.m.widths) - 1; i >= 0; i-- { // the library lists first what is set last; readers want them ascending
		if err := p.SetColWidth(i+1, i+1, p.columnWidth(p.m.widths[i])); err != nil {
			return err
		}
	}
	keep := min(p.keep, len(p.m.heads))
	corner, err := excelize.CoordinatesToCellName(keep+1, headerRow+1)
	if err != nil {
		return err
	}
	if err := p.SetPanes(&excelize.Panes{Freeze: true, XSplit: keep, YSplit: headerRow, TopLeftCell: corner,
		ActivePane: "bottomRight"}); err != nil {
		return err
	}
	title, err := p.style(style{show: showText, part: partTitle, small: p.small()})
	if err != nil {
		return err
	}
	if err := p.SetRow("A1", []any{excelize.Cell{StyleID: title, Value: entry.Undirected(titled + ". " + p.title)}}); err != nil {
		return err
	}
	head, err := p.style(style{show: showText, part: partHeader, small: p.small()})
	if err != nil {
		return err
	}
	heads := make([]any, len(p.m.heads))
	for i, h := range p.m.heads {
		heads[i] = excelize.Cell{StyleID: head, Value: h}
	}
	return p.SetRow("A2", heads, excelize.RowOpts{Height: p.height(len(heads), func(i int) string { return p.m.heads[i] })})
}

// write appends a row of the table: the columns that are written of it.
func (p *openSheet) write(cells []cell) error {
	p.rows++
	row, texts := headerRow+p.rows, 0
	for n, i := range p.m.columns {
		c := &cells[i]
		to := &p.cells[n]
		s := c.style()
		s.small, s.low = p.small(), p.tall > 0 && n >= firstPicture
		if (c.to != nil || c.entry) && p.linked < mostLinks && p.oneLine(c, n) {
			p.linked++
			if ref := p.ref(c.leadsTo()); ref != "" {
				s.link = true
				at, err := excelize.CoordinatesToCellName(n+1, row)
				if err != nil {
					return err
				}
				if err := p.rowWriter.link(at, ref); err != nil {
					return err
				}
			}
		}
		if to.StyleID == 0 || s != p.looks[n] { // mostly that of the cell above
			id, err := p.style(s)
			if err != nil {
				return err
			}
			to.StyleID, p.looks[n] = id, s
		}
		to.Value = c.value()
		texts += len(c.text)
	}
	height := p.tall
	if height == 0 {
		height = p.height(len(p.m.columns), func(n int) string { return cells[p.m.columns[n]].text })
	}
	return p.rowWriter.write(row, p.row, texts, height)
}

// oneLine says that a text takes no second line: some programs do not break the text of a link.
func (p *openSheet) oneLine(c *cell, column int) bool {
	return fits(c.text, p.m.widths[column]) || digits(c.text) <= p.m.widths[column]
}

// height is that of a row whose texts wrap. Not all programs find it themselves.
func (p *openSheet) height(columns int, text func(int) string) float64 {
	lines := 1
	for i := range columns {
		if s := text(i); !fits(s, p.m.widths[i]) || strings.Contains(s, "\n") {
			lines = max(lines, linesOf(s, p.m.widths[i]))
		}
	}
	line := lineHeight
	if p.small() {
		line = smallLine
	}
	return min(float64(lines)*line, excelize.MaxRowHeight)
}

// close ends a sheet: with a table where there are rows, else with the line that says there is none.
func (p *openSheet) close() error {
	var err error
	switch {
	case p.rows == 0:
		err = p.writeNone()
	case !p.plain:
		err = p.addTable()
	}
	if err != nil {
		return err
	}
	return p.endSheet(p.StreamWriter)
}

func (p *openSheet) writeNone() error {
	id, err := p.style(style{small: p.small()})
	if err != nil {
		return err
	}
	return p.SetRow("A"+strconv.Itoa(headerRow+1), []any{excelize.Cell{StyleID: id, Value: p.none}})
}

func (p *openSheet) addTable() error {
	last, err := excelize.CoordinatesToCellName(len(p.m.heads), headerRow+p.rows)
	if err != nil {
		return err
	}
	stripes := false
	return p.AddTable(&excelize.Table{
		Range:          fmt.Sprintf("A%d:%s", headerRow, last),
		Name:           tableName(p.Sheet),
		StyleName:      "TableStyleLight15",
		ShowRowStripes: &stripes,
	})
}

// tableName is a sheet's name without what a table's cannot have.
func tableName(sheet string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return r
		}
		return '_'
	}, sheet)
}
