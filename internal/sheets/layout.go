package sheets

import (
	"errors"
	"fmt"

	"github.com/xuri/excelize/v2"
)

// layOut sets what has to be known before the first row, and how the sheet prints: A4 landscape, as wide as a page, title
// and header on each.
func (b *book) layOut(name string, s sheet, rows int) error {
	last, err := excelize.CoordinatesToCellName(len(s.heads), rows)
	if err != nil {
		return err
	}
	kept, err := excelize.ColumnNumberToName(s.keep)
	if err != nil {
		return err
	}
	var (
		fit            = true
		a4             = 9
		landscape      = "landscape"
		one, any       = 1, 0
		margin, footer = 0.25, 0.5 // inches
	)
	return errors.Join(
		b.file.SetSheetDimension(name, "A1:"+last),
		b.file.SetSheetProps(name, &excelize.SheetPropsOptions{FitToPage: &fit}),
		b.file.SetPageLayout(name, &excelize.PageLayoutOptions{Size: &a4, Orientation: &landscape, FitToWidth: &one, FitToHeight: &any}),
		b.file.SetPageMargins(name, &excelize.PageLayoutMarginsOptions{Left: &margin, Right: &margin, Top: &margin, Bottom: &footer, Header: &margin, Footer: &margin}),
		b.file.SetHeaderFooter(name, &excelize.HeaderFooterOptions{OddFooter: b.footer}),
		b.file.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", Scope: name,
			RefersTo: fmt.Sprintf("'%s'!$A:$%s,'%s'!$%d:$%d", name, kept, name, titleRow, headerRow)}),
		b.file.AddIgnoredErrors(name, fmt.Sprintf("A%d:%s", headerRow, last), excelize.IgnoredErrorsNumberStoredAsText),
	)
}
