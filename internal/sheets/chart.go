package sheets

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"

	"github.com/xuri/excelize/v2"
)

// chart draws a column of a sheet over its moments, one picture an infant, below the table and from the table's own cells:
// the spreadsheet program draws it, and a cell that is changed changes it. Colour means nothing in it.
//
// Points are joined only where a value changes steadily between them. A set value holds until the next one, so a line
// between two would show values that never were set.
type chart struct {
	head   string // of the column
	joined bool
	axis   string // format of the moments
}

const (
	mostCharted  = 32 // infants of a sheet: beyond, nobody would look through the pictures
	fewestPoints = 2
	mostFormula  = 8000 // characters; a spreadsheet program takes 8,192 (from memory)
	chartWidth   = 480  // pixels
	chartHeight  = 260
	chartRows    = 16 // of the default height, and a gap
)

// series is what a picture is made from: one infant's numbers in a column.
type series struct {
	title  string
	chart  chart
	column int
	rows   []int
}

// seriesOf finds the numbers of each infant, whose key is the last column and whose moments are those of a column "Happened".
func (s sheet) seriesOf() []series {
	if len(s.charts) == 0 {
		return nil
	}
	columns := map[string]int{}
	for i, h := range s.heads {
		columns[h] = i
	}
	var out []series
	at := map[string]int{} // in out, by chart and infant
	infants := map[string]bool{}
	row := headerRow
	for _, cells := range s.rows {
		row++
		infant := cells[len(cells)-1].text
		if infants[infant] = true; len(infants) > mostCharted {
			return nil
		}
		for _, c := range s.charts {
			i, ok := columns[c.head]
			if !ok || cells[i].show != showNumber {
				continue
			}
			key := c.head + "\n" + infant
			if _, seen := at[key]; !seen {
				at[key] = len(out)
				out = append(out, series{title: cells[0].text + ", " + cells[1].text + ": " + c.head, chart: c, column: i})
			}
			out[at[key]].rows = append(out[at[key]].rows, row)
		}
	}
	return out
}

// addCharts draws below a table. The pictures are for the screen: between the pages of a sheet they would be cut in two.
func (b *book) addCharts(name string, s sheet, m measured) error {
	left, row := 0, headerRow+m.rows+3
	moments := s.momentColumn()
	all := s.seriesOf()
	if len(all) > 0 {
		last, err := excelize.ColumnNumberToName(len(m.widths))
		if err != nil {
			return err
		}
		if err := b.file.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Area", Scope: name,
			RefersTo: fmt.Sprintf("'%s'!$A$%d:$%s$%d", name, titleRow, last, headerRow+m.rows)}); err != nil {
			return err
		}
		for i, w := range m.widths { // the library finds the far corner of a picture by them
			column, err := excelize.ColumnNumberToName(i + 1)
			if err != nil {
				return err
			}
			if err := b.file.SetColWidth(name, column, column, float64(w)+padding); err != nil {
				return err
			}
		}
	}
	for _, x := range all {
		if len(x.rows) < fewestPoints || moments < 0 {
			continue
		}
		values, times := cellsOf(name, x.column, x.rows), cellsOf(name, moments, x.rows)
		if len(values)+len(times) > mostFormula {
			continue
		}
		column := columnAt(m.widths, left)
		if column < 0 {
			left, row = 0, row+chartRows
			column = 0
		}
		ref, err := excelize.CoordinatesToCellName(column+1, row)
		if err != nil {
			return err
		}
		if err := b.file.AddChart(name, ref, x.picture(cellsOf(name, x.column, []int{headerRow}), times, values)); err != nil {
			return err
		}
		left = leftOf(m.widths, column) + chartWidth
	}
	return nil
}

func (s sheet) momentColumn() int {
	for i, h := range s.heads {
		if strings.HasPrefix(h, "Happened (") {
			return i
		}
	}
	return -1
}

func (x series) picture(name, times, values string) *excelize.Chart {
	line, black := excelize.LineNone, excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"000000"}}
	if x.chart.joined {
		line = excelize.LineSolid
	}

	font := excelize.Font{Size: 9, Color: "000000", Family: fontName}
	return &excelize.Chart{
		Type: excelize.Scatter,
		Series: []excelize.ChartSeries{{
			Name: name, Categories: times, Values: values, Fill: black,
			Line:   excelize.LineOptions{Type: line, Width: 1},
			Marker: excelize.ChartMarker{Symbol: "circle", Size: 5, Fill: black},
		}},
		Title: excelize.ChartTitle{Paragraph: []excelize.RichTextRun{{Text: x.title,
			Font: &excelize.Font{Bold: true, Size: 10, Color: "000000", Family: fontName}}}},
		Format:    excelize.GraphicOptions{AltText: x.title + ", over time; the values stand in the table above"},
		Legend:    excelize.ChartLegend{Position: "none"},
		Dimension: excelize.ChartDimension{Width: chartWidth, Height: chartHeight},
		XAxis:     excelize.ChartAxis{Font: font, NumFmt: excelize.ChartNumFmt{CustomNumFmt: x.chart.axis}},
		YAxis:     excelize.ChartAxis{Font: font, MajorGridLines: true},
	}
}

// cellsOf names cells of a column, rows that follow each other as a range.
func cellsOf(sheet string, column int, rows []int) string {
	name, err := excelize.ColumnNumberToName(column + 1)
	if err != nil {
		return ""
	}
	var out []string
	for i := 0; i < len(rows); {
		last := i
		for last+1 < len(rows) && rows[last+1] == rows[last]+1 {
			last++
		}
		ref := fmt.Sprintf("%s!$%s$%d", sheet, name, rows[i])
		if last > i {
			ref += fmt.Sprintf(":$%s$%d", name, rows[last])
		}
		out = append(out, ref)
		i = last + 1
	}
	if len(out) == 1 {
		return out[0]
	}
	return "(" + strings.Join(out, ",") + ")"
}

// columnAt is the first column that starts at or after so many pixels and leaves room for a chart beside others; -1 for
// none. The first of a row always has room.
func columnAt(widths []int, left int) int {
	if left == 0 {
		return 0
	}
	total := leftOf(widths, len(widths))
	for i := range widths {
		if at := leftOf(widths, i); at >= left && at+chartWidth <= total {
			return i
		}
	}
	return -1
}

// leftOf is about how many pixels stand to the left of a column: 7 a digit and 5 of margins, for the default type.
func leftOf(widths []int, column int) int {
	px := 0
	for _, w := range widths[:column] {
		px += 7*(w+int(padding)) + 5
	}
	return px
}

// mends says which parts the library writes otherwise than every reader, and every run, wants them.
func mends(part string) bool { return part == contentTypes || strings.HasPrefix(part, "xl/charts/") }

const contentTypes = "[Content_Types].xml"

var pictureTypes = regexp.MustCompile(`<Default Extension="[a-z]+" ContentType="image/[^"]*"></Default>`)

// mended is such a part put right. The library calls the moments of a scatter chart texts, of which some programs draw
// nothing; and with a chart it names every type of picture there is, in an order left to chance.
func mended(part []byte) []byte {
	part = pictureTypes.ReplaceAll(part, nil)
	part = bytes.ReplaceAll(part, []byte("<xVal><strRef>"), []byte("<xVal><numRef>"))
	return bytes.ReplaceAll(part, []byte("</strRef></xVal>"), []byte("</numRef></xVal>"))
}
