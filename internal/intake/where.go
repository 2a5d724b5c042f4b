package intake

import "cotline/handover/entry"

// Where is the place in a table that an issue of an offer is about: its sheet, its row
// there, 0 where that is the whole file, and the column of its field, empty where it has
// none. False where the offer is of no table.
func (o Offer) Where(i entry.Issue) (s Sheet, row int, column string, ok bool) {
	row = i.Line
	for _, s := range o.Sheets {
		if row > s.Rows {
			row -= s.Rows
			continue
		}
		if s.Whole {
			row = 0
		}
		if column = s.ColumnOf(i.Path); i.Nobody {
			column = s.ColumnOf("infant") // the cell to mend
		}
		return s, row, column, true
	}
	return Sheet{}, 0, "", false
}
