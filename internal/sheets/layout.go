package sheets

import (
	"errors"
	"fmt"

	"github.com/xuri/excelize/v2"
)

// layOut sets what has to be known before the first row, and how the sheet prints: A4 landscape, as wide as a page, what
// stands down to its header on each, and the columns that are kept.
func (b *book) layOut(name string, columns, rows, header, keep int) error {
	last, err := excelize.CoordinatesToCellName(columns, rows)
	if err != nil {
		return err
	}
	kept, err := excelize.ColumnNumberToName(keep)
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
		b.file.SetPageMargins(name, &excelize.PageLayoutMarginsOptions{Left: &margin, Right: &margin, Top: &margin, Bottom: &footer,
			Header: &margin, Footer: &margin}),
		b.file.SetHeaderFooter(name, &excelize.HeaderFooterOptions{OddFooter: b.footer}),
		b.file.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", Scope: name,
			RefersTo: fmt.Sprintf("'%s'!$A:$%s,'%s'!$%d:$%d", name, kept, name, titleRow, header)}),
		b.file.AddIgnoredErrors(name, fmt.Sprintf("A%d:%s", header, last), excelize.IgnoredErrorsNumberStoredAsText),
	)
}

// printArea is what is printed unless somebody asks for more: the first columns, or nothing of a sheet that is to be
// looked up. An area without a cell that holds anything takes no page.
func (b *book) printArea(name string, m measured, last int) error {
	var area string
	if m.printed > 0 {
		column, err := excelize.ColumnNumberToName(m.printed)
		if err != nil {
			return err
		}
		area = fmt.Sprintf("$A$%d:$%s$%d", titleRow, column, last)
	} else {
		column, err := excelize.ColumnNumberToName(len(m.heads) + 2)
		if err != nil {
			return err
		}
		area = fmt.Sprintf("$%s$%d", column, last+2)
	}
	return b.file.SetDefinedName(
		&excelize.DefinedName{Name: "_xlnm.Print_Area", Scope: name, RefersTo: fmt.Sprintf("'%s'!%s", name, area)},
	)
}
