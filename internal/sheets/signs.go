package sheets

import (
	"fmt"

	"github.com/xuri/excelize/v2"
)

// sign is how a word stands out: by a mark before it, by weight and by shade, so that it is seen in grey and by who sees
// no colours. The cell holds the word alone.
type sign struct {
	begins string // the word that the cell begins with,
	holds  string // or holds
	mark   string
	bold   bool
	italic bool
	fill   string // light enough for black type
}

// Shades on which black type is read on a grey print too.
const (
	dark  = "BFBFBF"
	light = "E3E3E3"
	faint = "F5F5F5"
)

var allSigns = []sign{
	{begins: "overdue", mark: "▲ ", bold: true, fill: dark},
	{begins: "!! ", fill: light},
	{begins: "unstable", mark: "▲ ", bold: true, fill: dark},
	{begins: "watcher", mark: "△ ", bold: true, fill: light},
	{begins: movedWord, mark: "▲ ", bold: true, fill: dark},
	{holds: alsoWith, mark: "≠ ", bold: true, fill: dark},
	{begins: notCharted, mark: "○ ", italic: true, fill: faint},
}

// addSigns gives a sheet's cells their conditional formats.
func (b *book) addSigns(name string, m measured, last int) error {
	if m.rows == 0 {
		return nil
	}
	corner, err := excelize.CoordinatesToCellName(len(m.heads), last)
	if err != nil {
		return err
	}
	ids, err := b.signFormats()
	if err != nil {
		return err
	}
	var all []excelize.ConditionalFormatOptions
	for i, s := range allSigns {
		formula := fmt.Sprintf(`EXACT(LEFT(A%d,%d),"%s")`, headerRow+1, len(s.begins), s.begins)
		if s.holds != "" {
			formula = fmt.Sprintf(`ISNUMBER(SEARCH("%s",A%d))`, s.holds, headerRow+1)
		}
		all = append(all, excelize.ConditionalFormatOptions{Type: "formula", Format: &ids[i], Criteria: formula})
	}
	return b.file.SetConditionalFormat(name, fmt.Sprintf("A%d:%s", headerRow+1, corner), all)
}

// signFormats are made once a book.
func (b *book) signFormats() ([]int, error) {
	if b.signs != nil {
		return b.signs, nil
	}
	for _, s := range allSigns {
		f := excelize.Style{Font: &excelize.Font{Bold: s.bold, Italic: s.italic, Color: "000000"},
			Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{s.fill}}}
		if s.mark != "" {
			format := `"` + s.mark + `"@`
			f.CustomNumFmt = &format
		}
		id, err := b.file.NewConditionalStyle(&f)
		if err != nil {
			return nil, err
		}
		b.signs = append(b.signs, id)
	}
	return b.signs, nil
}
