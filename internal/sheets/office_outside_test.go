//go:build outside

package sheets

import (
	"encoding/csv"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"
)

// These tests open workbooks in LibreOffice without a display, and read its PDF with poppler's pdftotext. Debian:
// libreoffice-calc, poppler-utils, fonts-crosextra-carlito (of the metrics that widths are made for).

// convert lets LibreOffice open a workbook and save it, and returns the directory of what it wrote.
func convert(t *testing.T, data []byte, to string) string {
	t.Helper()
	dir := t.TempDir()
	in := filepath.Join(dir, "book.xlsx")
	if err := os.WriteFile(in, data, 0o600); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(
		"soffice",
		"--headless",
		"-env:UserInstallation=file://"+filepath.Join(dir, "profile"),
		"--convert-to",
		to,
		"--outdir",
		dir,
		in,
	)
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("soffice: %v\n%s", err, out)
	}
	return dir
}

// everySheetAsShown: comma, double quote, UTF-8, from line 1; texts quoted, values as shown, no formulas, all sheets.
const everySheetAsShown = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,true,false,true,false,false,-1"

// Every cell of every sheet reads in LibreOffice as it was written: same texts, same numbers with their decimals, same
// dates.
func TestOfficeReadsTheSame(t *testing.T) {
	data := demoWard(t).workbook(t)
	o := open(t, data)
	dir := convert(t, data, everySheetAsShown)
	cells := 0
	for _, sheet := range o.a.GetSheetList() {
		got := readCSV(t, filepath.Join(dir, "book-"+sheet+".csv"))
		want, err := o.a.GetRows(sheet)
		if err != nil {
			t.Fatal(err)
		}
		if len(got) != len(want) {
			t.Errorf("%s: %d rows, want %d", sheet, len(got), len(want))
			continue
		}
		for i := range want {
			for j := range want[i] {
				cells++
				if got[i][j] != want[i][j] {
					t.Errorf("%s, row %d, column %d: %q, want %q", sheet, i+1, j+1, got[i][j], want[i][j])
				}
			}
		}
	}
	t.Logf("%d cells compared", cells)
}

func readCSV(t *testing.T, path string) [][]string {
	t.Helper()
	f, err := os.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close() // only read
	r := csv.NewReader(f)
	r.FieldsPerRecord = -1
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// Each minute of a day, and texts that look like something else, are shown as they are.
func TestOfficeShowsMinutesAndTexts(t *testing.T) {
	c := clock{zone(t, "Europe/Vienna")}
	start := time.Date(2026, 3, 1, 0, 0, 0, 0, c.zone)
	const minutes = 24 * 60
	var when, texts []cell
	for m := range minutes {
		when = append(when, c.moment(start.Add(time.Duration(m)*time.Minute), none))
		texts = append(texts, text(hostile[m%(len(hostile)-2)], none)) // the two longest once would do for a day
	}
	data, err := writeColumns(map[string][]cell{"A": when, "B": texts})
	if err != nil {
		t.Fatal(err)
	}
	rows := readCSV(t, filepath.Join(convert(t, data, everySheetAsShown), "book-Test.csv"))
	for m := range minutes {
		r := rows[headerRow+m]
		if want := start.Add(time.Duration(m) * time.Minute).Format("2006-01-02 15:04"); r[0] != want {
			t.Errorf("%s is shown as %s", want, r[0])
		}
		if want := texts[m].text; m < len(hostile)-2 && r[1] != want {
			t.Errorf("%q is shown as %q", want, r[1])
		}
	}
}

// On paper: A4 landscape, every page with the caution and its number, nothing as hash marks, no sheet wider than a page.
func TestOfficePrints(t *testing.T) {
	d := demoWard(t)
	dir := convert(t, d.workbook(t), "pdf")
	pdf := filepath.Join(dir, "book.pdf")
	info, err := exec.Command("pdfinfo", pdf).CombinedOutput()
	if err != nil {
		t.Fatalf("pdfinfo: %v\n%s", err, info)
	}
	if !regexp.MustCompile(`Page size: +841\.\d+ x 595\.\d+ pts \(A4\)`).Match(info) {
		t.Errorf("pages are not A4 landscape:\n%s", info)
	}
	out, err := exec.Command("pdftotext", "-layout", pdf, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	pages := strings.Split(strings.TrimSuffix(string(out), "\f"), "\f")
	of := map[string]int{}
	ward := ""
	for i, p := range pages {
		if strings.Contains(p, "##") {
			t.Errorf("page %d shows hash marks", i+1)
		}
		if !strings.Contains(p, "not a device, a monitor or an order") || !strings.Contains(p, "Confidential: aid to handover") ||
			!strings.Contains(p, d.handover.Unit) {
			t.Errorf("page %d lacks the caution, the unit or its footer", i+1)
		}
		m := regexp.MustCompile(`(\w+), printed .*, page (\d+) of (\d+)`).FindStringSubmatch(p)
		if m == nil || m[2] != fmt.Sprint(i+1) || m[3] != fmt.Sprint(len(pages)) {
			t.Errorf("page %d of %d says %q", i+1, len(pages), m)
			continue
		}
		of[m[1]]++
		if last := map[string]string{wardName: "By", handoverName: "Next due", "Due": "until", chartsName: "Head"}[m[1]]; last == "" ||
			!strings.Contains(p, last) {
			t.Errorf("page %d of %s is not to be printed, or lacks its last columns", i+1, m[1])
		}
		if m[1] == handoverName {
			ward = p
		}
	}
	if of[handoverName] != 1 || len(pages) > 8 {
		t.Errorf("twelve infants take %d pages, all that is printed %d", of[handoverName], len(pages))
	}
	for _, s := range d.handover.Infants {
		if !strings.Contains(ward, numberOrLabel(s.MRN, s.Temporary)) {
			t.Errorf("the page of the ward lacks %s", s.Infant)
		}
	}
	fonts, err := exec.Command("pdftohtml", "-xml", "-zoom", "1", "-i", "-stdout", pdf).Output()
	if err != nil {
		t.Fatal(err)
	}
	sizes := regexp.MustCompile(`<fontspec [^>]*size="(\d+)"`).FindAllStringSubmatch(string(fonts), -1)
	for _, m := range sizes {
		if len(m[1]) < 2 && m[1] < "8" {
			t.Errorf("type of %s points", m[1])
		}
	}
	if len(sizes) == 0 {
		t.Error("no size of type was read")
	}
	t.Logf("pages: %v", of)
}

// A table with more rows than a sheet takes is opened without repair, both its sheets whole.
func TestOfficeOpensFullSheets(t *testing.T) {
	most := excelize.TotalRows - headerRow
	data, err := writeSheets(newBook("Title", "&LFooter"), table("Test", "No row.", upTo(most+1000), func(int) string { return "" },
		column[int]{"A", 0, func(i int) cell { return count(i) }}, column[int]{"B", 0, func(int) cell { return word("b") }}))
	if err != nil {
		t.Fatal(err)
	}
	dir := convert(t, data, everySheetAsShown)
	first, second := readCSV(t, filepath.Join(dir, "book-Test.csv")), readCSV(t, filepath.Join(dir, "book-Test 2.csv"))
	if len(first) != excelize.TotalRows || len(second) != headerRow+1000 {
		t.Fatalf("%d and %d rows", len(first), len(second))
	}
	for i, r := range append(first[headerRow:], second[headerRow:]...) {
		if r[0] != fmt.Sprint(i) || r[1] != "b" {
			t.Fatalf("row %d is %q", i, r)
		}
	}
}
