package sheets

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/wardtest"
)

// chartPart is what these tests look at in a chart's own XML.
type chartPart struct {
	Title  string `xml:"chart>title>tx>rich>p>r>t"`
	Series []struct {
		Name   string     `xml:"tx>strRef>f"`
		X      string     `xml:"xVal>numRef>f"`
		Y      string     `xml:"yVal>numRef>f"`
		NoLine []struct{} `xml:"spPr>ln>noFill"`
	} `xml:"chart>plotArea>scatterChart>ser"`
}

func (o opened) charts() (out []chartPart) {
	o.t.Helper()
	for _, name := range o.names {
		if strings.HasPrefix(name, "xl/charts/chart") {
			var c chartPart
			o.part(name, &c)
			out = append(out, c)
		}
	}
	return out
}

// rowsOf are the rows of a range of the sheet of points.
func rowsOf(t testing.TB, ref, column string) (from, to int) {
	t.Helper()
	m := regexp.MustCompile(`^'Chart data'!\$([A-Z]+)\$(\d+)(?::\$([A-Z]+)\$(\d+))?$`).FindStringSubmatch(ref)
	if m == nil || m[1] != column || m[3] != "" && m[3] != column {
		t.Fatalf("a chart of %q, want column %s", ref, column)
	}
	fmt.Sscan(m[2], &from) // digits
	if to = from; m[4] != "" {
		fmt.Sscan(m[4], &to) // digits
	}
	return from, to
}

// Each line of a picture is of the infant whom its title names, and of one line of the sheet of points, which no table
// sorts; a set value is drawn as the step that the engine says it was.
func TestChartsOfTheDemo(t *testing.T) {
	d, o := demoBook(t)
	_, rows := o.rows(chartDataName)
	if _, tables := o.sheetsOf(); tables[chartDataName].Ref != "" || tables[chartsName].Ref != "" {
		t.Error("a table could be sorted under a picture")
	}
	drawn := map[string]map[string][]string{} // by title and line: moment and value
	for _, c := range o.charts() {
		drawn[c.Title] = map[string][]string{}
		for _, s := range c.Series {
			from, to := rowsOf(t, s.Y, "F")
			if xFrom, xTo := rowsOf(t, s.X, "E"); xFrom != from || xTo != to {
				t.Fatalf("%s: %s over %s", c.Title, s.Y, s.X)
			}
			for _, r := range rows[from-headerRow-1 : to-headerRow] {
				if !strings.HasPrefix(c.Title, r[0]+", "+r[1]+": ") || r[3] != rows[from-headerRow-1][3] {
					t.Fatalf("%s draws a point of %v", c.Title, r)
				}
				drawn[c.Title][r[3]] = append(drawn[c.Title][r[3]], r[4]+" "+r[5])
			}
			if marks := len(s.NoLine) > 0; marks != (strings.Contains(rows[from-headerRow-1][3], "Head") ||
				rows[from-headerRow-1][3] == "SpO2") {
				t.Errorf("%s: %s is drawn as marks: %v", c.Title, rows[from-headerRow-1][3], marks)
			}
		}
	}
	steps := 0
	for _, s := range d.handover.Infants {
		week := *d.handover
		longer := *s
		longer.Since = week.At.Add(-chartSpan)
		week.Infants = []*handover.Summary{&longer}
		x, ok := handover.SeriesOf(handover.Ward{Entries: d.entries, Policy: d.policy}, &week, s.Infant)
		if !ok {
			t.Fatal(s.Infant)
		}
		var want []string
		for _, p := range x.FiO2 {
			if p.Value == nil {
				continue
			}
			for _, at := range []string{p.From.In(x.Zone).Format("2006-01-02 15:04"), p.To.In(x.Zone).Format("2006-01-02 15:04")} {
				want = append(want, at+" "+p.Value.String())
			}
		}
		title := s.Cot + ", " + numberOrLabel(s.MRN, s.Temporary) + ": Set FiO2 (%)"
		if got := drawn[title]["Set FiO2"]; strings.Join(got, "; ") != strings.Join(want, "; ") {
			t.Errorf("%s: %v, want %v", title, got, want)
		}
		steps += len(want)
		if len(s.Infant) > 0 && s.Head.Value != nil && drawn[strings.Replace(title, "Set FiO2 (%)", "Head (cm)", 1)] == nil {
			t.Errorf("%s has no picture of her head", s.Infant)
		}
	}
	if steps < 40 || len(drawn) < 40 {
		t.Errorf("%d points of %d pictures", steps, len(drawn))
	}
}

// No picture lies over another, or leaves its infant's row.
func TestChartsLieApart(t *testing.T) {
	_, o := demoBook(t)
	var d struct {
		Anchors []struct {
			Col  int `xml:"from>col"`
			Row  int `xml:"from>row"`
			Last int `xml:"to>row"`
			To   int `xml:"to>col"`
		} `xml:"twoCellAnchor"`
	}
	o.part("xl/drawings/drawing1.xml", &d)
	seen := map[[2]int]bool{}
	for _, a := range d.Anchors {
		at := [2]int{a.Col, a.Row}
		if seen[at] || a.Last != a.Row || a.To != a.Col {
			t.Errorf("%+v", a)
		}
		seen[at] = true
	}
	if len(seen) < 40 {
		t.Errorf("%d pictures", len(seen))
	}
}

// A ward on which nobody would look through the pictures has none.
func TestNoChartsOfALargeWard(t *testing.T) {
	w := wardtest.Random(t, 7, mostCharted+1, 1)
	came := map[string]time.Time{}
	w.Entries = slices.DeleteFunc(w.Entries, func(e *entry.Entry) bool { // of each the first hours
		if came[e.Infant].IsZero() {
			came[e.Infant] = e.At.Time
		}
		return e.At.After(came[e.Infant].Add(6 * time.Hour))
	})
	w.Handover = handover.Compile(w.Ward, w.At, w.At, time.Time{})
	d := demoOf(w)
	if len(d.handover.Infants) <= mostCharted {
		t.Fatalf("%d infants", len(d.handover.Infants))
	}
	o := open(t, d.workbook(t))
	checkParts(t, o)
	if n := len(o.charts()); n > 0 {
		t.Errorf("%d charts", n)
	}
}
