package sheets

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"testing"

	"cotline/internal/wardtest"

	"github.com/xuri/excelize/v2"
)

// chartPart is what these tests look at in a chart's own XML.
type chartPart struct {
	Title  string `xml:"chart>title>tx>rich>p>r>t"`
	Series []struct {
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

// cells are the references of a chart one by one, and their sheet.
func cells(t testing.TB, refs string) (sheet string, out []string) {
	t.Helper()
	for _, ref := range strings.Split(strings.Trim(refs, "()"), ",") {
		m := regexp.MustCompile(`^(\w+)!\$([A-Z]+)\$(\d+)(?::\$([A-Z]+)\$(\d+))?$`).FindStringSubmatch(ref)
		if m == nil || m[4] != "" && m[4] != m[2] {
			t.Fatalf("a chart of %q", refs)
		}
		var from, to int
		fmt.Sscan(m[3], &from) // digits
		if to = from; m[5] != "" {
			fmt.Sscan(m[5], &to) // digits
		}
		sheet = m[1]
		for row := from; row <= to; row++ {
			out = append(out, fmt.Sprint(m[2], row))
		}
	}
	return sheet, out
}

// Each chart is of one infant, named by cot and number, and of every number of its column that the infant has, each over
// its moment; whoever has two or more has one.
func TestChartsOfTheDemo(t *testing.T) {
	_, o := demoBook(t)
	drawn := map[string]bool{}
	for _, c := range o.charts() {
		if len(c.Series) != 1 {
			t.Fatalf("%s: %d series", c.Title, len(c.Series))
		}
		sheet, y := cells(t, c.Series[0].Y)
		xSheet, x := cells(t, c.Series[0].X)
		if xSheet != sheet || len(x) != len(y) {
			t.Fatalf("%s: %v over %v", c.Title, y, x)
		}
		header, rows := o.rows(sheet)
		column := slices.Index(header, c.Title[strings.LastIndex(c.Title, ": ")+2:])
		var want []string
		for i, r := range rows {
			if r[0]+", "+r[1]+": "+header[column] == c.Title && strings.Trim(r[column], "0123456789.") == "" {
				ref, _ := excelize.CoordinatesToCellName(column+1, headerRow+1+i)
				want = append(want, ref)
			}
		}
		if !slices.Equal(y, want) || len(y) < 2 {
			t.Errorf("%s: points %v, want %v", c.Title, y, want)
		}
		for i := range x {
			if strings.TrimLeft(x[i], "ABCDEFGHIJKLMNOPQRSTUVWXYZ") != strings.TrimLeft(y[i], "ABCDEFGHIJKLMNOPQRSTUVWXYZ") || o.format(sheet, x[i]) != momentFormat {
				t.Errorf("%s: %s over %s", c.Title, y[i], x[i])
			}
		}
		if joined := len(c.Series[0].NoLine) == 0; joined != (sheet == "Growth") {
			t.Errorf("%s: points joined: %v", c.Title, joined)
		}
		drawn[c.Title] = true
	}
	for sheet, heads := range map[string][]string{"Settings": {"Set pressure (cmH2O)", "Set FiO2 (%)"}, "Growth": {"Weight (g)", "Head circumference (cm)"}} {
		header, rows := o.rows(sheet)
		for _, head := range heads {
			count := map[string]int{}
			column := slices.Index(header, head)
			for _, r := range rows {
				if strings.Trim(r[column], "0123456789.") == "" {
					count[r[0]+", "+r[1]+": "+head]++
				}
			}
			for title, n := range count {
				if drawn[title] != (n >= 2) {
					t.Errorf("%s: %d points, drawn: %v", title, n, drawn[title])
				}
			}
		}
	}
	if len(drawn) < 20 {
		t.Errorf("only %d charts", len(drawn))
	}
}

// No picture lies over another, or over the table.
func TestChartsLieApart(t *testing.T) {
	_, o := demoBook(t)
	type corner struct {
		Col    int `xml:"col"`
		ColOff int `xml:"colOff"`
		Row    int `xml:"row"`
	}
	for i, sheet := range []string{"Settings", "Growth"} {
		var d struct {
			Anchors []struct {
				From corner `xml:"from"`
				To   corner `xml:"to"`
			} `xml:"twoCellAnchor"`
		}
		o.part(fmt.Sprintf("xl/drawings/drawing%d.xml", i+1), &d)
		_, rows := o.rows(sheet)
		for i, a := range d.Anchors {
			if a.From.Row < headerRow+len(rows) {
				t.Errorf("%s: a chart at row %d lies over the table of %d", sheet, a.From.Row, len(rows))
			}
			if i == 0 {
				continue
			}
			before := d.Anchors[i-1]
			beside := before.From.Row == a.From.Row && (before.To.Col < a.From.Col || before.To.Col == a.From.Col && before.To.ColOff <= a.From.ColOff)
			if !beside && a.From.Row <= before.To.Row {
				t.Errorf("%s: %+v lies over %+v", sheet, a, before)
			}
		}
	}
}

// A ward on which nobody would look through the pictures has none.
func TestNoChartsOfALargeWard(t *testing.T) {
	d := demoOf(wardtest.Random(t, 7, mostCharted+10, 1))
	if len(d.handover.Infants) <= mostCharted {
		t.Fatalf("%d infants", len(d.handover.Infants))
	}
	o := open(t, d.workbook(t))
	checkParts(t, o)
	if n := len(o.charts()); n > 0 {
		t.Errorf("%d charts", n)
	}
}

// Cells of one column as a spreadsheet program names them.
func TestCellsOf(t *testing.T) {
	for _, c := range []struct {
		rows []int
		want string
	}{{[]int{3}, "S!$AB$3"}, {[]int{3, 4, 5}, "S!$AB$3:$AB$5"}, {[]int{3, 5, 6, 9}, "(S!$AB$3,S!$AB$5:$AB$6,S!$AB$9)"}} {
		if got := cellsOf("S", 27, c.rows); got != c.want {
			t.Errorf("%v: %s, want %s", c.rows, got, c.want)
		}
	}
}
