package sheets

import (
	"fmt"
	"strings"
)

// links are where rows of the workbook lead to: an infant's rows on other sheets and back, an entry. Which rows these are
// is known once every sheet is measured.
type links struct {
	rows   map[string]map[string]int // by sheet and key: the first row under the header, from 1
	wanted map[string]bool           // entries
	count  map[string]int            // by sheet
}

// mostLinks is of one sheet: the library looks through them all for each new one.
const mostLinks = 5000

func newLinks() *links {
	return &links{rows: map[string]map[string]int{}, wanted: map[string]bool{}, count: map[string]int{}}
}

// room says whether a sheet may have one more.
func (l *links) room(sheet string) bool { return l.count[sheet] < mostLinks }

// want notes where a cell leads to.
func (l *links) want(sheet string, to *place) {
	l.count[sheet]++
	if to.sheet == entriesName {
		l.wanted[to.key] = true
	}
}

// note keeps the first row of a key; of entries, of those that a link leads to.
func (l *links) note(sheet, key string, row int, first map[string]int) {
	if key == "" || sheet == entriesName && !l.wanted[key] {
		return
	}
	if _, ok := first[key]; !ok {
		first[key] = row
	}
	l.rows[sheet] = first
}

// placeOf is whose row it is: an entry's, or an infant's.
func (s sheet) placeOf(key string, row []cell) string {
	if s.name == entriesName {
		return strings.TrimPrefix(key, "entry ")
	}
	if last := len(row) - 1; s.heads[last] == keyHead {
		return row[last].text
	}
	return strings.TrimPrefix(key, "infant ")
}

// anyHistory is any sheet of what happened to an infant over time, the first that has a row of hers.
const anyHistory = ""

// ref is a link's target, empty where there is none.
func (b *book) ref(to *place) string {
	row := 1 - headerRow // of the title
	sheet := to.sheet
	for i := 0; sheet == anyHistory && i < len(historyNames); i++ {
		if _, ok := b.links.rows[historyNames[i]][to.key]; ok {
			sheet = historyNames[i]
		}
	}
	if to.key != "" {
		var ok bool
		if row, ok = b.links.rows[sheet][to.key]; !ok {
			return ""
		}
	}
	most := b.mostRows - headerRow
	number := 1
	if row > most {
		number, row = (row-1)/most+1, (row-1)%most+1
	}
	return fmt.Sprintf("'%s'!A%d", nameOf(sheet, number), headerRow+row)
}
