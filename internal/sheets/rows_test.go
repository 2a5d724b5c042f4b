package sheets

import (
	"fmt"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// Rows are written in pieces, and the file is as if each sheet were one piece: whatever their number, also where the last
// piece is full or lacks a row; with links, over several sheets of a table, and where another sheet follows.
func TestRowsInPieces(t *testing.T) {
	const perPiece = 5
	const long, leads, leadsNot = "&lullaby &lullaby", "to the top", "to nowhere"
	table := func(name string, rows int) sheet {
		return table(name, "No row.", upTo(rows), func(i int) string { return fmt.Sprint("row ", i) },
			column[int]{"A", 0, func(i int) cell { return count(i) }},
			column[int]{"B", 60, func(int) cell { return text(long, none) }},
			column[int]{"C", 0, func(i int) cell {
				if i%3 == 0 {
					return word(leads).at(&place{"First", ""})
				}
				return word(leadsNot)
			}})
	}
	for rows := range 4*perPiece + 2 {
		written := func(most int) (map[string]string, []string) {
			b := newBook("Title", "&LFooter")
			b.mostRows, b.rowWriter.most = headerRow+3*perPiece, most
			b.links.rows["First"] = map[string]int{}
			data, err := writeSheets(b, table("First", rows), table("Second", perPiece))
			if err != nil {
				t.Fatal(err)
			}
			return unzipped(t, data)
		}
		want, _ := written(1 << 30)
		for _, most := range []int{1, perPiece * (3*cellSize + len(long+leads))} {
			got, names := written(most)
			if len(got) != len(want) {
				t.Errorf("%d rows: %d parts, want %d", rows, len(got), len(want))
			}
			for _, name := range names {
				if got[name] != want[name] {
					t.Errorf("%d rows in pieces of %d: %s is not what it is in one", rows, most, name)
				}
			}
		}
		sheet := want["xl/worksheets/sheet1.xml"]
		if n := strings.Count(sheet, "<row "); n != headerRow+max(1, min(rows, 3*perPiece)) {
			t.Errorf("%d rows: %d in the first sheet", rows, n)
		}
		for name, text := range want {
			if n, links := strings.Count(text, ">"+leads+"<"), strings.Count(text, "<hyperlink "); links != n {
				t.Errorf("%d rows: %s has %d links, of %d cells", rows, name, links, n)
			}
		}
	}
}

// A piece is handed on with the row that fills it, not before and not after.
func TestPieceIsFull(t *testing.T) {
	to := newPacking()
	r := newRowWriter(new(taken), to)
	const perPiece, long = 3, "lullaby"
	r.most = perPiece * (cellSize + len(long))
	for row := 1; row <= 3*perPiece; row++ {
		before := to.to.size
		if err := r.write(row, []any{excelize.Cell{StyleID: 1, Value: long}}, len(long), 0); err != nil {
			t.Fatal(err)
		}
		if handed := to.to.size > before; handed != (row%perPiece == 0) {
			t.Errorf("row %d: handed on: %v", row, handed)
		}
	}
}
