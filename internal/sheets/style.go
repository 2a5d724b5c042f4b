package sheets

import (
	"strings"

	"github.com/xuri/excelize/v2"
)

// Formats of cells.
const (
	momentFormat = "yyyy-mm-dd hh:mm"
	dayFormat    = "yyyy-mm-dd"
)

// style is what tells one cell format from another.
type style struct {
	show     show
	decimals int
	part     part
	small    bool
	link     bool
	low      bool // at the bottom of its cell, under a picture
}

type part int8

const (
	partBody part = iota
	partTitle
	partHeader
	partPrepared // of a template: filled in already
)

func (c cell) style() style {
	if c.show == showNumber {
		return style{show: c.show, decimals: c.number.Decimals()}
	}
	return style{show: c.show}
}

// value is the library's value for a cell.
func (c cell) value() any {
	switch c.show {
	case showNumber:
		return c.number.Float() // at most 15 digits: the cell's binary number reads back as the same decimal
	case showMoment, showDay:
		return c.when
	}
	return c.text
}

// style is the number of a cell format, made when it is first used.
func (b *book) style(s style) (int, error) {
	if id, ok := b.styles[s]; ok {
		return id, nil
	}
	line := func(edge string) excelize.Border { return excelize.Border{Type: edge, Color: "808080", Style: 1} }
	out := excelize.Style{
		Alignment: &excelize.Alignment{Vertical: "top", WrapText: true},
		Border:    []excelize.Border{line("left"), line("right"), line("top"), line("bottom")},
	}
	if s.low {
		out.Alignment.Vertical = "bottom"
	}
	s.setFormat(&out)
	s.setFont(&out)
	id, err := b.file.NewStyle(&out)
	if err != nil {
		return 0, err
	}
	b.styles[s] = id
	return id, nil
}

// setFormat says how a value shows, and where in its cell it stands.
func (s style) setFormat(out *excelize.Style) {
	format := ""
	switch s.show {
	case showText, showOffset:
		const asText = 49 // the built-in format @
		out.NumFmt = asText
	case showNumber:
		format = "0"
		if s.decimals > 0 {
			format += "." + strings.Repeat("0", s.decimals)
		}
		out.Alignment.WrapText = false
		if s.part != partPrepared {
			out.Alignment.Horizontal, out.Alignment.Indent = "right", indent
		}
		if s.link { // some programs do not indent one
			out.Alignment.Horizontal, out.Alignment.Indent = "center", 0
		}
	case showMoment, showDay:
		format = momentFormat
		if s.show == showDay {
			format = dayFormat
		}
		out.Alignment.WrapText, out.Alignment.Horizontal = false, "left"
	}
	if format != "" {
		out.CustomNumFmt = &format
	}
}

// setFont sets what tells a title, a header and a cell that is filled in from the others.
func (s style) setFont(out *excelize.Style) {
	font := excelize.Font{Family: fontName, Size: fontSize}
	if s.small {
		font.Size = smallSize
	}
	if s.link {
		font.Underline = "single"
	}
	switch s.part {
	case partTitle:
		font.Bold = true
		out.Alignment.WrapText = false
		out.Border = nil
	case partHeader:
		font.Bold = true
		out.Fill = excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"E7E6E6"}}
	case partPrepared:
		out.Fill = excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"F2F2F2"}}
		out.Alignment.WrapText = false
	}
	if font.Bold || s.small || s.link {
		out.Font = &font
	}
}
