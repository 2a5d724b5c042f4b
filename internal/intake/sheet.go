package intake

import (
	"maps"
	"slices"
)

// Sheet is a table as it was read.
type Sheet struct {
	Name    string            // empty in CSV
	Rows    int               // its share of the offer's lines
	Columns map[string]string // a field's column, by letter
	Whole   bool              // no table: what is said of its one line is said of the whole file
}

// ColumnOf is the column that a fault is about: that of its field, or of the part of it that the table has.
func (s Sheet) ColumnOf(path string) string {
	if c, ok := s.Columns[path]; ok {
		return c
	}
	field := root(path)
	if c, ok := s.Columns[field]; ok {
		return c
	}
	for _, header := range slices.Sorted(maps.Keys(s.Columns)) {
		if to, ok := targetOf(header); ok && to.field == field {
			return s.Columns[header]
		}
	}
	return ""
}
