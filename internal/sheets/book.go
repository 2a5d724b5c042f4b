package sheets

import "github.com/xuri/excelize/v2"

// Where things stand on every sheet.
const (
	titleRow  = 1
	headerRow = 2
)

// book is a workbook while it is written.
type book struct {
	file      *excelize.File
	styles    map[style]int
	document  string // its title, in the properties
	title     string // of every sheet
	footer    string
	mostRows  int // of a sheet, title and header included
	sheets    int
	links     *links
	signs     []int // conditional formats
	archive   *archive
	taken     *taken
	rowWriter *rowWriter // of the rows of sheets
}

func newBook(title, footer string) *book {
	a, t := newArchive(), new(taken)
	return &book{file: excelize.NewFile(), styles: map[style]int{}, document: "Handover workbook", title: title, footer: footer,
		mostRows: excelize.TotalRows, links: newLinks(), archive: a, taken: t, rowWriter: newRowWriter(t, a.packing)}
}

// add measures and writes a sheet.
func (b *book) add(s sheet) error {
	m, err := s.measure(b.links, b.title)
	if err != nil {
		return err
	}
	_, err = b.addMeasured(s, m)
	return err
}

// addMeasured writes a sheet, and where it has more rows than a sheet takes, further ones named with a number.
func (b *book) addMeasured(s sheet, m measured) (tally, error) {
	most := b.mostRows - headerRow
	t := tally{s.name, m.rows, max((m.rows+most-1)/most, 1), m.leftOut}
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

// endSheet ends a sheet and its rows, and puts it into the archive.
func (b *book) endSheet(w *excelize.StreamWriter) error {
	if err := b.rowWriter.end(); err != nil {
		return err
	}
	text, err := b.taken.sheet(b.file, w)
	if err != nil {
		return err
	}
	defer b.rowWriter.links.Reset()
	return b.archive.addSheet(partOf(w), text, b.rowWriter.links.Bytes())
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
