package intake

import (
	"slices"
	"strings"

	"cotline/handover/entry"
)

// readSheets reads each sheet that is a table of entries, and tells which were none.
func (b *book) readSheets(o *Offer, t Tables) error {
	var passed []string
	found := false
	infants, err := b.choices(t)
	if err != nil {
		return err
	}
	for _, s := range b.sheets {
		if !t.Mapping.reads(s.name) {
			continue
		}
		found = true
		read, err := b.readSheet(o, t, s, infants)
		if err != nil {
			return err
		}
		if !read && !slices.Contains(helpSheets, s.name) {
			passed = append(passed, shown(s.name))
		}
	}
	switch {
	case !found && t.Mapping != nil && t.Mapping.sheet != "":
		return bookError("a sheet named " + shown(t.Mapping.sheet) + ", as the map says")
	case len(o.Sheets) == 0:
		o.whole("", entry.CodeMissing, noHeaders)
	case len(passed) > 0:
		o.note("not read, as no column is headed id: %s", strings.Join(passed, ", "))
	}
	return nil
}

// helpSheets are those of a workbook to fill in that are for people alone.
var helpSheets = []string{"Start", "Example", "Lists", InfantsSheet}

// choices reads the list to choose from, where the workbook has one: the record's keys by what is chosen.
func (b *book) choices(t Tables) (map[string]string, error) {
	out := map[string]string{}
	for _, s := range b.sheets {
		if s.name != InfantsSheet {
			continue
		}
		choice, key := -1, -1
		r := sheetReader{book: b, table: new(Offer).table(t, s.name, ".")}
		r.collect = func(_ int, cells []cell) {
			row := map[int]string{}
			for _, c := range cells {
				row[c.column] = plain(c.text)
				switch plain(c.text) {
				case choiceHead:
					choice = c.column
				case "infant":
					key = c.column
				}
			}
			if row[choice] != "" && row[key] != "" && row[choice] != choiceHead {
				out[row[choice]] = row[key]
			}
		}
		if err := b.read(s.part, handler{start: r.start, text: r.cell.text.text, end: r.end}); err != nil {
			return nil, err
		}
	}
	return out, nil
}
