package cli

import (
	"encoding/json"
	"fmt"
	"strings"

	"cotline/handover/entry"
	"cotline/internal/intake"
)

// source is a file that was offered, or a sheet of one. Lines are numbered through
// all sources together; located turns that back into a source and its own line.
type source struct {
	name  string
	lines int
	table *intake.Sheet // nil: the file has lines
	paths []string      // of a bundle's resources, which are its lines
}

// fault is an issue in its file.
type fault struct {
	File     string     `json:"file"`
	Sheet    string     `json:"sheet,omitempty"`
	Line     int        `json:"line"` // of a table, its row
	Column   string     `json:"column,omitempty"`
	Path     string     `json:"path"`
	Code     entry.Code `json:"code"`
	Found    string     `json:"found"`
	Allowed  string     `json:"allowed"`
	table    bool
	nobody   bool   // the infant's key is what to look at
	resource string // of a bundle, by its path
}

func (f fault) String() string {
	i := entry.Issue{Path: f.Path, Code: f.Code, Found: f.Found, Allowed: f.Allowed}
	if !f.table {
		return strings.TrimSuffix(fmt.Sprintf("%s:%d", f.File, f.Line), ":0") + ": " + i.String()
	}
	where := f.File
	if f.Sheet != "" {
		where += ", sheet " + f.Sheet
	}
	if f.Line > 0 {
		where += fmt.Sprintf(", row %d", f.Line)
	}
	if f.Column != "" {
		where += ", column " + f.Column
	}
	return where + ": " + i.String()
}

// located says of each issue in which file it is.
func located(issues []entry.Issue, sources []source) []fault {
	out := make([]fault, 0, len(issues))
	for _, i := range issues {
		f := fault{Line: i.Line, Path: i.Path, Code: i.Code, Found: i.Found, Allowed: i.Allowed, nobody: i.Nobody}
		for _, s := range sources {
			f.File = s.name
			if f.Line <= s.lines {
				f.inTable(s.table)
				f.inBundle(s.paths)
				break
			}
			f.Line -= s.lines
		}
		out = append(out, f)
	}
	return out
}

// inTable says where in a table a fault is: its field's column, or the file as a
// whole.
func (f *fault) inTable(s *intake.Sheet) {
	if s == nil {
		return
	}
	f.table, f.Sheet = true, s.Name
	if s.Whole {
		f.Line = 0
	}
	if f.Column = s.ColumnOf(f.Path); f.nobody {
		f.Column = s.ColumnOf("infant") // the cell to mend
	}
}

// mostTold is how many faults are printed; the rest are counted.
const mostTold = 200

// tell prints faults, one a line.
func (p *Program) tell(faults []fault) {
	for i, f := range faults {
		if i == mostTold {
			p.say("%d more faults are not shown; chart --report FILE writes all of them", len(faults)-i)
			return
		}
		fmt.Fprintln(p.Stderr, oneLine(f.String())) // nowhere is left to tell it
	}
}

// counted says how many faults there are and on how many lines. Faults of what has no
// lines are counted by path.
func counted(faults []fault) string {
	lines := map[string]bool{}
	for _, f := range faults {
		if f.Line == 0 && !f.table {
			return plural(len(faults), "fault")
		}
		lines[fmt.Sprint(f.File, ":", f.Sheet, ":", f.Line)] = true
	}
	what := "row"
	for _, f := range faults {
		if !f.table {
			what = "line"
		}
	}
	return fmt.Sprintf("%s on %s", plural(len(faults), "fault"), plural(len(lines), what))
}

// report is all faults as NDJSON.
func report(faults []fault) ([]byte, error) {
	var b strings.Builder
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	for _, f := range faults {
		if err := e.Encode(f); err != nil {
			return nil, err
		}
	}
	return []byte(b.String()), nil
}
