package sheets

import (
	"iter"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// Shown is a table as a page shows it: what a file of CSV holds, without what guards
// against spreadsheet programs.
type Shown struct {
	Name, File string // of the sheet; of its CSV
	Heads      []string
	None       string // what stands in place of rows
	Rows       iter.Seq[[]string]
}

// Tables are the tables that CSV has a file for, but for those that tell of the files. What
// it takes is as for Workbook. A moment stands as its clock shows it, its offset beside it.
func Tables(h *handover.Handover, entries []*entry.Entry, policy *handover.Policy, version string) (out []Shown) {
	for _, s := range newTables(h, entries, policy, version).files() {
		out = append(out, Shown{s.name, fileOf(s.name), s.heads, s.none, func(yield func([]string) bool) {
			for _, cells := range s.rows {
				row := make([]string, len(cells))
				for i, c := range cells {
					row[i] = onPage.plain(c)
				}
				if !yield(row) {
					return
				}
			}
		}})
	}
	return out
}

// onPage is how a page shows values.
var onPage = func() Preset {
	p, _ := PresetOf("machine")
	local, _ := PresetOf("local")
	p.moment = local.moment
	return p
}()

// Figure is a line of the sheet of facts, as a page shows it, with the entry it came from.
type Figure struct {
	Path                string // in the JSON form
	Fact, Value, Remark string
	None                bool   // the value is a word for none, such as not charted
	Whence              string // in place of a moment: from the record; empty where there is one
	handover.Source            // zero where it is computed from several, or is not charted
}

// Figures are the lines of one infant, in the sheet's order.
func Figures(s *handover.Summary, zone *time.Location) []Figure {
	lines := factLinesOf(s, clock{zone})
	out := make([]Figure, len(lines))
	for i, l := range lines {
		out[i] = Figure{Path: l.path, Fact: factWords(l.path), Value: onPage.plain(l.value), Remark: l.remark,
			None: l.value.filler(), Source: l.Source}
		if l.At.IsZero() {
			out[i].Whence = computed
		}
	}
	return out
}
