package sheets

import (
	"fmt"

	"github.com/xuri/excelize/v2"
)

// layOut sets what has to be known before the first row, and how the sheet prints.
func (b *book) layOut(name string, s sheet, rows int) error {
	last, err := excelize.CoordinatesToCellName(len(s.heads), rows)
	if err != nil {
		return err
	}
	lastHead, err := excelize.ColumnNumberToName(s.keep)
	if err != nil {
		return err
	}
	const a4 = 9
	var (
		fit       = true
		size      = a4
		landscape = "landscape"
		one, any  = 1, 0
		margin    = 0.25 // inches
		foot      = 0.5
		quoted    = "'" + name + "'"
	)
	for _, set := range []func() error{
		func() error { return b.file.SetSheetDimension(name, "A1:"+last) },
		func() error { return b.file.SetSheetProps(name, &excelize.SheetPropsOptions{FitToPage: &fit}) },
		func() error {
			return b.file.SetPageLayout(name, &excelize.PageLayoutOptions{Size: &size, Orientation: &landscape, FitToWidth: &one, FitToHeight: &any})
		},
		func() error {
			return b.file.SetPageMargins(name, &excelize.PageLayoutMarginsOptions{Left: &margin, Right: &margin, Top: &margin, Bottom: &foot, Header: &margin, Footer: &margin})
		},
		func() error { return b.file.SetHeaderFooter(name, &excelize.HeaderFooterOptions{OddFooter: b.footer}) },
		func() error {
			return b.file.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", Scope: name,
				RefersTo: fmt.Sprintf("%s!$A:$%s,%s!$%d:$%d", quoted, lastHead, quoted, titleRow, headerRow)})
		},
		func() error {
			return b.file.AddIgnoredErrors(name, fmt.Sprintf("A%d:%s", headerRow, last), excelize.IgnoredErrorsNumberStoredAsText)
		},
	} {
		if err := set(); err != nil {
			return err
		}
	}
	return nil
}
