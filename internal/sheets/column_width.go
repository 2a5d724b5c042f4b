package sheets

import "slices"

const (
	mostWidth = 120 // of a column, in digits
	mostLines = 24  // a row is at most 409 points high: lines beyond would be cut
)

// fitColumns finds how wide each column that is written is: no narrower than what cannot be broken over lines, else as its
// texts need and as it was asked to wrap them, and so that the columns that are printed fill a page.
func (m *measured) fitColumns(s sheet, of []extent, title string) {
	var solid, longest []int
	for n, i := range m.columns {
		solid = append(solid, min(max(of[i].solid, longestPiece(m.heads[n])+1), mostWidth)) // in bold type
		if s.tall > 0 && i >= firstPicture {                                                // as wide as its picture
			of[i].longest, solid[n] = chartDigits, chartDigits
		}
		longest = append(longest, of[i].longest)
		m.widths = append(m.widths, max(solid[n], min(of[i].longest, lineOf(of[i].longest, s.wraps[i]))))
	}
	if m.printed > 0 {
		m.fitPage(s, solid, longest, digits(s.name+". "+title)+2)
	}
}

// lineOf is how wide a column is made for its longest text: as asked, or wider so that the row can show it.
func lineOf(longest, wrap int) int {
	return min(max(wrap, longest/mostLines), mostWidth)
}

// columnWidth is the width that the file gives a column of so many digits: in digits of the document's own type, with the
// margins of its cells.
func (s sheet) columnWidth(digits int) float64 {
	if s.small() {
		return float64(digits)*smallSize/fontSize + padding
	}
	return float64(digits) + padding
}

// pageWidth is how wide the columns of a page may be: A4 landscape less its margins, 284.3 mm at 96 dots an inch, in
// digits of the default type, 7 dots each, with some room for a program that takes them wider.
const pageWidth = 284.3 / 25.4 * 96 / 7 * 0.985

// fitPage makes the columns that are printed fill a page: narrower where texts can wrap further, wider where they wrap
// most, and so that the title is not cut.
func (m *measured) fitPage(s sheet, solid, longest []int, title int) {
	printed := m.widths[:m.printed]
	total := func() (w float64) {
		for _, d := range printed {
			w += s.columnWidth(d)
		}
		return w
	}
	for total() > pageWidth {
		widest := -1
		for i, w := range printed {
			if w > solid[i] && (widest < 0 || w > printed[widest]) {
				widest = i
			}
		}
		if widest < 0 {
			return // smaller type, by the program
		}
		printed[widest]--
	}
	for total() < pageWidth-1 {
		most := -1
		for i, w := range printed {
			if w < longest[i] && (most < 0 || longest[i]*printed[most] > longest[most]*w) {
				most = i
			}
		}
		switch {
		case most >= 0:
			printed[most]++
		case total() < s.columnWidth(title):
			printed[slices.Index(printed, slices.Max(printed))]++
		default:
			return
		}
	}
}
