package sheets

import (
	"fmt"

	"github.com/xuri/excelize/v2"
)

// addCharts draws the pictures over their cells.
func (b *book) addCharts(name string, s sheet, m measured) error {
	if len(s.charts) == 0 {
		return nil
	}
	for i, w := range m.widths { // the library finds the far corner of a picture by them
		column, err := excelize.ColumnNumberToName(i + 1)
		if err != nil {
			return err
		}
		if err := b.file.SetColWidth(name, column, column, s.columnWidth(w)); err != nil {
			return err
		}
	}
	for row := range m.rows {
		if err := b.file.SetRowHeight(name, headerRow+1+row, s.tall); err != nil {
			return err
		}
	}
	for _, c := range s.charts {
		ref, err := excelize.CoordinatesToCellName(c.column+1, headerRow+c.row)
		if err != nil {
			return err
		}
		width := s.columnWidth(m.widths[c.column]) * 7
		if err := b.file.AddChart(name, ref, c.picture(width, s.tall*96/72-22)); err != nil {
			return err
		}
	}
	return nil
}

// picture is as wide and high as it says, in dots; what stands in the cell is seen under it.
func (c chart) picture(width, height float64) *excelize.Chart {
	black := excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"000000"}}
	font := excelize.Font{Size: 8, Color: "000000", Family: fontName}
	var lines []excelize.ChartSeries
	for _, l := range c.lines {
		x := excelize.ChartSeries{Name: pointCell(pointMoment-1, l.from, l.from), Categories: pointCell(pointMoment, l.from, l.to),
			Values: pointCell(pointValue, l.from, l.to), Fill: black,
			Line:   excelize.LineOptions{Type: excelize.LineNone},
			Marker: excelize.ChartMarker{Symbol: "circle", Size: 4, Fill: black}}
		if l.steps {
			x.Line = excelize.LineOptions{Type: excelize.LineSolid, Width: 1.5, Fill: black}
			x.Marker = excelize.ChartMarker{Symbol: "none"}
		}
		if l.dashed {
			x.Line.Dash, x.Line.Width = excelize.LineDashDash, 1
		}
		if l.grey {
			x.Line.Width, x.Line.Fill.Color = 0.75, []string{"7F7F7F"}
		}
		lines = append(lines, x)
	}
	return &excelize.Chart{
		Type:   excelize.Scatter,
		Series: lines,
		Title: excelize.ChartTitle{Paragraph: []excelize.RichTextRun{{Text: c.title,
			Font: &excelize.Font{Bold: true, Size: 8, Color: "000000", Family: fontName}}}},
		Format: excelize.GraphicOptions{AltText: c.title + ", over time; the values stand on sheet " + chartDataName,
			Positioning: "oneCell", OffsetX: 1, OffsetY: 1},
		Legend:    excelize.ChartLegend{Position: "none"},
		Dimension: excelize.ChartDimension{Width: uint(width) - 3, Height: uint(height)},
		XAxis: excelize.ChartAxis{Font: font, NumFmt: excelize.ChartNumFmt{CustomNumFmt: "mm-dd"}, Minimum: &c.x.from, Maximum: &c.x.to,
			MajorUnit: c.x.step},
		YAxis: excelize.ChartAxis{Font: font, MajorGridLines: true, Minimum: &c.y.from, Maximum: &c.y.to, MajorUnit: c.y.step},
	}
}

// pointCell names cells of a column of the sheet of points.
func pointCell(column, from, to int) string {
	name, err := excelize.ColumnNumberToName(column + 1)
	if err != nil {
		return ""
	}
	out := fmt.Sprintf("'%s'!$%s$%d", chartDataName, name, headerRow+from)
	if to > from {
		out += fmt.Sprintf(":$%s$%d", name, headerRow+to)
	}
	return out
}
