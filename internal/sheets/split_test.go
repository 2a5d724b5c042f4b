package sheets

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// The demo ward where a sheet takes 700 rows: the same rows under the same headers, over more sheets, each with its
// number in its title; the sheet About names them, and says how many rows each table has.
func TestSheetsGoOn(t *testing.T) {
	d, whole := demoBook(t)
	var file bytes.Buffer
	b := newBook(titleOf(d.handover), footerOf(d.handover))
	b.mostRows = 700
	of := newTables(d.handover, d.entries, d.policy, "0.0.0-test")
	sheets := of.sheets()
	if err := b.write(&file, d.handover.At, "0.0.0-test", slices.Clone(sheets), of.about()); err != nil {
		t.Fatal(err)
	}
	o := open(t, file.Bytes())
	checkParts(t, o)
	says := map[string]row{}
	for _, r := range o.records("About") {
		says[r["What"]] = r
	}
	split := 0
	for _, s := range sheets {
		if s.plain || s.name == wardName { // no sheet of such a ward has too many points
			continue
		}
		header, want := whole.rows(s.name)
		var got [][]string
		var names []string
		for _, name := range o.a.GetSheetList() {
			if name != s.name && !strings.HasPrefix(name, s.name+" ") {
				continue
			}
			names = append(names, name)
			h, rows := o.rows(name)
			if diff := cmp.Diff(header, h); diff != "" {
				t.Errorf("%s: %s", name, diff)
			}
			got = append(got, rows...)
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s: %s", s.name, diff)
		}
		for i, name := range names {
			title, err := o.a.GetCellValue(name, "A1")
			if err != nil {
				t.Fatal(err)
			}
			start := s.name + ". "
			if len(names) > 1 {
				start = fmt.Sprintf("%s, sheet %d of %d. ", s.name, i+1, len(names))
			}
			if !strings.HasPrefix(title, start) {
				t.Errorf("%s: title %q", name, title)
			}
		}
		line := says["Sheet "+s.name]
		if line["Value"] != fmt.Sprint(len(want)) {
			t.Errorf("%s: %d rows, About says %q", s.name, len(want), line["Value"])
		}
		goesOn := ""
		for _, name := range names[1:] {
			goesOn += ", going on in " + name
		}
		if line["Detail"] != "rows under the header"+goesOn {
			t.Errorf("%s: About says %q", s.name, line["Detail"])
		}
		if len(names) > 1 {
			split++
		}
	}
	if list := o.a.GetSheetList(); split < 2 || !slices.Contains(list, "Entries 3") || list[len(list)-1] != "About" {
		t.Errorf("sheets %v", list)
	}
}
