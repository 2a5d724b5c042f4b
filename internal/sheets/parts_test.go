package sheets

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"cotline/handover"
)

// worksheet is what these tests look at in a worksheet's own XML.
type worksheet struct {
	Dimension struct {
		Ref string `xml:"ref,attr"`
	} `xml:"dimension"`
	Panes []struct {
		X       int    `xml:"xSplit,attr"`
		Y       int    `xml:"ySplit,attr"`
		TopLeft string `xml:"topLeftCell,attr"`
		State   string `xml:"state,attr"`
	} `xml:"sheetViews>sheetView>pane"`
	Cols []struct {
		Min int `xml:"min,attr"`
		Max int `xml:"max,attr"`
	} `xml:"cols>col"`
	Rows []struct {
		R     int `xml:"r,attr"`
		Cells []struct {
			Ref   string `xml:"r,attr"`
			Style int    `xml:"s,attr"`
			Type  string `xml:"t,attr"`
			V     string `xml:"v"`
			T     string `xml:"is>t"`
		} `xml:"c"`
	} `xml:"sheetData>row"`
	FitToPage struct {
		On string `xml:"fitToPage,attr"`
	} `xml:"sheetPr>pageSetUpPr"`
	Page struct {
		Paper       string `xml:"paperSize,attr"`
		Orientation string `xml:"orientation,attr"`
		Width       string `xml:"fitToWidth,attr"`
		Height      string `xml:"fitToHeight,attr"`
	} `xml:"pageSetup"`
	Footer  string `xml:"headerFooter>oddFooter"`
	Ignored []struct {
		Ref string `xml:"sqref,attr"`
	} `xml:"ignoredErrors>ignoredError"`
	Tables []struct{} `xml:"tableParts>tablePart"`
}

type tablePart struct {
	Name    string `xml:"displayName,attr"`
	Ref     string `xml:"ref,attr"`
	Columns []struct {
		Name string `xml:"name,attr"`
	} `xml:"tableColumns>tableColumn"`
}

// sheetsOf reads every worksheet and its table, by sheet name.
func (o opened) sheetsOf() (map[string]worksheet, map[string]tablePart) {
	if o.read.sheets != nil {
		return o.read.sheets, o.read.tables
	}
	sheets, tables := map[string]worksheet{}, map[string]tablePart{}
	for i, name := range o.a.GetSheetList() {
		var w worksheet
		o.part(fmt.Sprintf("xl/worksheets/sheet%d.xml", i+1), &w)
		sheets[name] = w
		var rels struct {
			R []struct {
				Target string `xml:"Target,attr"`
			} `xml:"Relationship"`
		}
		path := fmt.Sprintf("xl/worksheets/_rels/sheet%d.xml.rels", i+1)
		if o.parts[path] == nil {
			continue
		}
		o.part(path, &rels)
		for _, r := range rels.R {
			if !strings.Contains(r.Target, "tables/") {
				continue
			}
			var t tablePart
			o.part("xl/"+strings.TrimPrefix(r.Target, "../"), &t)
			tables[name] = t
		}
	}
	o.read.sheets, o.read.tables = sheets, tables
	return sheets, tables
}

func (o opened) part(path string, into any) {
	o.t.Helper()
	if err := xml.Unmarshal(o.parts[path], into); err != nil {
		o.t.Fatalf("%s: %v", path, err)
	}
}

// styleFormats are the number formats by style number, built-in ones by their number.
func (o opened) styleFormats() []string {
	var styles struct {
		Formats []struct {
			ID   int    `xml:"numFmtId,attr"`
			Code string `xml:"formatCode,attr"`
		} `xml:"numFmts>numFmt"`
		Xfs []struct {
			ID int `xml:"numFmtId,attr"`
		} `xml:"cellXfs>xf"`
	}
	o.part("xl/styles.xml", &styles)
	var out []string
	for _, x := range styles.Xfs {
		code := fmt.Sprint("built-in ", x.ID)
		for _, f := range styles.Formats {
			if f.ID == x.ID {
				code = f.Code
			}
		}
		out = append(out, code)
	}
	return out
}

// What a spreadsheet program would ask to repair, hide, compute or leak is not in the file.
func TestPartsOfTheWorkbook(t *testing.T) {
	here, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	host, err := os.Hostname()
	if err != nil {
		t.Fatal(err)
	}
	_, o := demoBook(t)
	checkParts(t, o)
	for path, text := range o.parts {
		if strings.Contains(path, "comment") || strings.Contains(path, "external") || strings.Contains(path, "vmlDrawing") ||
			strings.Contains(path, "sharedStrings") ||
			strings.Contains(path, "pivot") {
			t.Errorf("part %s", path)
		}
		if strings.Contains(path, "docProps") || path == "xl/workbook.xml" {
			for _, leak := range []string{"xuri", "Excelize", here, host, "Feldspar", "7302614"} {
				if bytes.Contains(text, []byte(leak)) {
					t.Errorf("%s holds %q", path, leak)
				}
			}
		}
	}
	props, err := o.a.GetDocProps()
	if err != nil {
		t.Fatal(err)
	}
	if props.Creator != "cotline 0.0.0-test" || props.LastModifiedBy != props.Creator || props.Created != "2026-10-25T06:30:00Z" ||
		props.Modified != props.Created {
		t.Errorf("properties %+v", props)
	}
	if o.names[0] != "[Content_Types].xml" || !slices.IsSorted(o.names) {
		t.Errorf("parts in the order %v", o.names)
	}
}

// checkParts holds the rules of every sheet of every workbook.
func checkParts(t *testing.T, o opened) {
	t.Helper()
	never := regexp.MustCompile(
		`<(mergeCells?|dataValidations|sheetProtection|legacyDrawing)[ />]|<hyperlink [^>]*r:id|hidden="|Hidden="|state="(h|veryH)idden"`,
	)
	for path, text := range o.parts {
		if m := never.Find(text); m != nil {
			t.Errorf("%s holds %s", path, m)
		}
		if strings.HasPrefix(path, "xl/worksheets/") && regexp.MustCompile(`<f[ />]`).Match(text) { // a chart names its cells so
			t.Errorf("%s holds a formula", path)
		}
		if bytes.Contains(text, []byte("image/")) || bytes.Contains(text, []byte("<xVal><strRef>")) {
			t.Errorf("%s names pictures, or moments as texts", path)
		}
	}
	formats := o.styleFormats()
	allowed := regexp.MustCompile(`^(built-in 0|built-in 49|yyyy-mm-dd hh:mm|yyyy-mm-dd|0(\.0+)?)$`)
	for _, f := range formats {
		if !allowed.MatchString(f) {
			t.Errorf("a cell format %q", f)
		}
	}
	sheets, tables := o.sheetsOf()
	for name, w := range sheets {
		checkSheet(t, o, name, w, tables)
	}
	checkNames(t, o)
}

func checkSheet(t *testing.T, o opened, name string, w worksheet, tables map[string]tablePart) {
	t.Helper()
	last, width := 0, len(w.Rows[headerRow-1].Cells)
	for _, r := range w.Rows {
		if r.R != last+1 {
			t.Errorf("%s: row %d after row %d", name, r.R, last)
		}
		last = r.R
		for _, c := range r.Cells {
			switch {
			case c.Type == "inlineStr" && c.T == "", c.Type == "" && c.V == "":
				t.Errorf("%s!%s is empty", name, c.Ref)
			case c.Type != "inlineStr" && c.Type != "":
				t.Errorf("%s!%s is of type %q", name, c.Ref, c.Type)
			}
		}
	}
	end, _ := excelize.CoordinatesToCellName(width, last)
	if w.Dimension.Ref != "A1:"+end {
		t.Errorf("%s: dimension %s, want A1:%s", name, w.Dimension.Ref, end)
	}
	before := 0
	for _, c := range w.Cols {
		if c.Min != before+1 || c.Min != c.Max {
			t.Errorf("%s: column %d after %d", name, c.Min, before)
		}
		before = c.Min
	}
	if before != width {
		t.Errorf("%s: widths of %d columns, want %d", name, before, width)
	}
	if len(w.Panes) != 1 || w.Panes[0].State != "frozen" || w.Panes[0].Y != headerRow || w.Panes[0].X < 1 || w.Panes[0].X > 3 {
		t.Errorf("%s: panes %+v", name, w.Panes)
	}
	if w.FitToPage.On != "true" || w.Page.Paper != "9" || w.Page.Orientation != "landscape" || w.Page.Width != "1" ||
		w.Page.Height != "0" {
		t.Errorf("%s: page %+v %+v", name, w.FitToPage, w.Page)
	}
	if len(w.Ignored) != 1 || !strings.HasSuffix(w.Ignored[0].Ref, ":"+end) {
		t.Errorf("%s: ignored errors %+v, want up to %s", name, w.Ignored, end)
	}
	checkHeader(t, o, name, w, tables, end)
}

func checkHeader(t *testing.T, o opened, name string, w worksheet, tables map[string]tablePart, end string) {
	t.Helper()
	seen := map[string]bool{}
	var heads []string
	for _, c := range w.Rows[headerRow-1].Cells {
		if c.Type != "inlineStr" || strings.TrimSpace(c.T) == "" || seen[strings.ToLower(c.T)] {
			t.Errorf("%s: header %q is empty, no text, or stands twice", name, c.T)
		}
		seen[strings.ToLower(c.T)] = true
		heads = append(heads, c.T)
	}
	table, ok := tables[name]
	if !ok {
		if strings.HasPrefix(name, chartsName) || strings.HasPrefix(name, chartDataName) { // TestChartsOfTheDemo
			return
		}
		if len(w.Tables) > 0 || len(w.Rows) != headerRow+1 || len(w.Rows[headerRow].Cells) != 1 {
			t.Errorf("%s: no table, %d rows", name, len(w.Rows))
		}
		return
	}
	var columns []string
	for _, c := range table.Columns {
		columns = append(columns, c.Name)
	}
	if !slices.Equal(columns, heads) || table.Ref != "A2:"+end || len(w.Tables) != 1 {
		t.Errorf("%s: table %s %v, header %v", name, table.Ref, columns, heads)
	}
}

func checkNames(t *testing.T, o opened) {
	t.Helper()
	folded := map[string]bool{}
	fixed := regexp.MustCompile(
		`^(Ward|Handover|Handover, more|Due|Changes|Facts|Settings|Observations|Interfaces|Skin|Tubes|Growth|Devices|Episodes|` +
			`Charts|Chart data|Entries|About|Test)( \d+)?$`,
	)
	titles := map[string]string{}
	for _, n := range o.a.GetDefinedName() {
		switch {
		case n.Name == "_xlnm.Print_Titles":
			titles[n.Scope] = n.RefersTo
		case n.Name == "_xlnm.Print_Area": // TestDefaultPrint
		default:
			t.Errorf("defined name %+v", n)
		}
	}
	for _, s := range o.a.GetSheetList() {
		if !fixed.MatchString(s) || folded[strings.ToLower(s)] {
			t.Errorf("sheet name %q", s)
		}
		folded[strings.ToLower(s)] = true
		if want := regexp.MustCompile(`^'` + s + `'!\$A:\$[ABC],'` + s + `'!\$1:\$2$`); !want.MatchString(titles[s]) {
			t.Errorf("%s: print titles %q", s, titles[s])
		}
		if visible, err := o.a.GetSheetVisible(s); err != nil || !visible {
			t.Errorf("%s is hidden: %v", s, err)
		}
	}
}

// The footer of every page says whose it is, that it is confidential, when it was printed, and which page of how many.
func TestFooter(t *testing.T) {
	d := demoWard(t)
	d.handover.Unit, d.entries = "R&D 3 unit", d.entries[:9]
	o := open(t, d.workbook(t))
	sheets, _ := o.sheetsOf()
	for name, w := range sheets {
		for _, part := range []string{"&L&8 R&&D 3 unit, 2026-10-25 07:30 +01:00", "Confidential: aid to handover", "printed &D &T",
			"page &P of &N"} {
			if !strings.Contains(w.Footer, part) {
				t.Errorf("%s: footer %q lacks %q", name, w.Footer, part)
			}
		}
		if title := w.Rows[0].Cells[0].T; !strings.Contains(title, "R&D 3 unit, 2026-10-25 07:30 +01:00 (Europe/Vienna)") ||
			!strings.Contains(title, "not a device, a monitor or an order") {
			t.Errorf("%s: title %q", name, title)
		}
	}
	d.handover.Unit = strings.Repeat("u", 250)
	if err := Workbook(new(bytes.Buffer), d.handover, d.entries, d.policy, "x"); err == nil || !strings.Contains(err.Error(), "footer") {
		t.Errorf("a unit's name that a footer cannot hold: %v", err)
	}
}

// The same input gives the same bytes, although the library keeps its streams in a map.
func TestSameBytes(t *testing.T) {
	d := demoWard(t)
	first := d.workbook(t)
	for range 2 {
		slices.Reverse(d.entries) // any order
		if !bytes.Equal(first, d.workbook(t)) {
			t.Fatal("two workbooks differ")
		}
	}
}

// Rows that a sheet cannot take go on in a sheet named with a number, each with its own header and table.
func TestRowsOverSeveralSheets(t *testing.T) {
	for _, c := range []struct{ rows, sheets int }{{0, 1}, {1, 1}, {8, 1}, {9, 2}, {16, 2}, {17, 3}} {
		b := newBook("Title", "&LFooter")
		b.mostRows = 10
		data, err := writeSheets(b, table("Test", "No row.", upTo(c.rows), func(int) string { return "" },
			column[int]{"A", 0, func(i int) cell { return count(i) }}, column[int]{"B", 0, func(int) cell { return word("b") }}))
		if err != nil {
			t.Fatal(err)
		}
		o := open(t, data)
		checkParts(t, o)
		names := o.a.GetSheetList()
		if len(names) != c.sheets || c.sheets > 1 && names[1] != "Test 2" {
			t.Fatalf("%d rows: sheets %v", c.rows, names)
		}
		var got []string
		for _, n := range names {
			_, rows := o.rows(n)
			for _, r := range rows {
				got = append(got, r[0])
			}
		}
		if c.rows == 0 {
			if !slices.Equal(got, []string{"No row."}) {
				t.Errorf("no rows: %v", got)
			}
			continue
		}
		for i, v := range got {
			if v != fmt.Sprint(i) {
				t.Errorf("%d rows: row %d is %s", c.rows, i, v)
			}
		}
		if len(got) != c.rows {
			t.Errorf("%d rows: %d read", c.rows, len(got))
		}
	}
}

// What is printed unless somebody asks for more is a page's width of the sheets for the round; of the others an area
// in which no cell holds anything, which takes no page.
func TestDefaultPrint(t *testing.T) {
	_, o := demoBook(t)
	areas := map[string]string{}
	for _, n := range o.a.GetDefinedName() {
		if n.Name == "_xlnm.Print_Area" {
			areas[n.Scope] = n.RefersTo
		}
	}
	for _, name := range o.a.GetSheetList() {
		_, area, _ := strings.Cut(areas[name], "!")
		area = strings.ReplaceAll(area, "$", "")
		if slices.Contains([]string{wardName, handoverName, "Due", chartsName}, name) {
			if !strings.HasPrefix(area, "A1:") {
				t.Errorf("%s: %s", name, area)
			}
			continue
		}
		if v, err := o.a.GetCellValue(name, area); err != nil || v != "" {
			t.Errorf("%s prints %s: %q, %v", name, area, v, err)
		}
	}
	header, _ := o.rows("Due")
	_, area, _ := strings.Cut(areas["Due"], ":")
	column, _, err := excelize.CellNameToCoordinates(strings.ReplaceAll(area, "$", ""))
	if err != nil || slices.Contains(header[:column], "Task") || slices.Contains(header[:column], keyHead) {
		t.Errorf("ids are printed: %q, %v", header[:column], err)
	}
}

// A click goes from an infant to her history and back, and from a figure to the entry that it came from.
func TestLinks(t *testing.T) {
	d, o := demoBook(t)
	entriesHeader, entries := o.rows(entriesName)
	id := slices.Index(entriesHeader, "Entry")
	target := func(sheet string, column, row int) (string, int) {
		at, _ := excelize.CoordinatesToCellName(column+1, row)
		ok, link, err := o.a.GetCellHyperLink(sheet, at)
		if err != nil || !ok {
			return "", 0
		}
		m := regexp.MustCompile(`^'(.+)'!A(\d+)$`).FindStringSubmatch(link)
		if m == nil {
			t.Fatalf("%s!%s leads to %q", sheet, at, link)
		}
		n := 0
		fmt.Sscan(m[2], &n) // digits
		return m[1], n
	}
	figures := 0
	header, rows := o.rows(handoverName)
	for i, s := range d.handover.Infants {
		sheet, row := target(handoverName, 0, headerRow+1+i)
		_, history := o.rows(sheet)
		if got := history[row-headerRow-1]; got[0] != s.Cot || got[1] != numberOrLabel(s.MRN, s.Temporary) {
			t.Errorf("%s leads to the row of %v", s.Infant, got[:2])
		}
		if back, at := target(sheet, 0, row); back != handoverName || at != headerRow+1+i {
			t.Errorf("%s: the way back leads to %s, row %d", s.Infant, back, at)
		}
		for _, x := range s.Settings {
			column := slices.Index(header, headOf(handover.FieldOf("settings", x.Field)))
			if x.Fact == nil || column < 0 {
				continue
			}
			figures++
			if sheet, row := target(handoverName, column, headerRow+1+i); sheet != entriesName ||
				entries[row-headerRow-1][id] != x.Fact.Entry {
				t.Errorf("%s: %s leads to %s, row %d", s.Infant, rows[i][column], sheet, row)
			}
		}
	}
	for i, r := range o.records(factsName) {
		if r["Entry"] == computed {
			continue
		}
		column := slices.Index(headerOf(o, factsName), "Entry")
		sheet, row := target(factsName, column, headerRow+1+i)
		if sheet == entriesName && entries[row-headerRow-1][id] == r["Entry"] {
			figures++
		} else if sheet != "" {
			t.Errorf("%s leads to %s, row %d", r["Path"], sheet, row)
		}
	}
	if figures < 500 {
		t.Errorf("only %d figures lead to their entry", figures)
	}
}

func headerOf(o opened, sheet string) []string { header, _ := o.rows(sheet); return header }

// Every mark stands before its word by a format alone, and the cell holds the word; no mark is a colour alone.
func TestSigns(t *testing.T) {
	_, o := demoBook(t)
	var styles struct {
		IDs []struct {
			ID int `xml:"numFmtId,attr"`
		} `xml:"numFmts>numFmt"`
		Signs []struct {
			Bold   *struct{} `xml:"font>b"`
			Italic *struct{} `xml:"font>i"`
			Format struct {
				ID   int    `xml:"numFmtId,attr"`
				Code string `xml:"formatCode,attr"`
			} `xml:"numFmt"`
			Shade struct {
				RGB string `xml:"rgb,attr"`
			} `xml:"fill>patternFill>bgColor"`
		} `xml:"dxfs>dxf"`
	}
	o.part(stylesPart, &styles)
	taken := map[int]bool{}
	for _, f := range styles.IDs {
		taken[f.ID] = true
	}
	for i, s := range allSigns {
		got := styles.Signs[i]
		format := ""
		if s.mark != "" {
			format = `"` + s.mark + `"@`
		}
		if got.Format.Code != format || s.mark == "" && s.begins != "!! " || s.mark != "" && taken[got.Format.ID] {
			t.Errorf("%+v: %+v", s, got)
		}
		taken[got.Format.ID] = true
		if got.Bold == nil && got.Italic == nil && s.mark != "" {
			t.Errorf("%+v stands out by its shade alone", s)
		}
		if r := strings.TrimPrefix(got.Shade.RGB, "FF"); len(r) != 6 || r[:2] != r[2:4] || r[:2] != r[4:] || r < "BF" {
			t.Errorf("%+v: black is not read on %s, or not in grey", s, got.Shade.RGB)
		}
	}
}

// Two headers that differ only in case would be a file to repair.
func TestHeadersThatFold(t *testing.T) {
	for _, heads := range [][2]string{{"Time", "TIME"}, {"Time", ""}} {
		_, err := writeSheets(newBook("Title", ""), table(
			"Test",
			"",
			upTo(1),
			func(int) string { return "" },
			column[int]{
				heads[0],
				0,
				func(i int) cell { return count(i) },
			},
			column[int]{heads[1], 0, func(int) cell { return word("b") }},
		))
		if err == nil {
			t.Errorf("headers %q were taken", heads)
		}
	}
}
