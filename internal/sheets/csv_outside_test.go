//go:build outside

package sheets

import (
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// An office program set to a language with a decimal comma reads the local preset: numbers as numbers, hostile texts and
// leading zeros as they are, nothing as a formula. Columns of numbers are detected, columns of texts imported as text, as
// a person would; then everything detected, as a double click would.
func TestOfficeReadsLocalCSV(t *testing.T) {
	texts := hostile[:len(hostile)-2]
	var out strings.Builder
	rows := table("Test", "", upTo(len(texts)), func(int) string { return "" },
		column[int]{"Text", 0, func(i int) cell { return text(texts[i], none) }},
		column[int]{"Number", 0, func(i int) cell { return number(dec(t, "-"+strconv.Itoa(i+1)+".50")) }},
	)
	if _, err := preset(t, "local").table(&out, rows); err != nil {
		t.Fatal(err)
	}
	const textThenNumber = "1/2/2/1" // column 1 as text, column 2 by itself
	for name, columns := range map[string]string{"as a person imports it": textThenNumber, "as a double click opens it": ""} {
		f := officeOpens(t, out.String(), "CSV:59,34,76,1,"+columns+",1031,false,true") // 59 is the semicolon, 1031 German
		for i, want := range texts {
			ref := strconv.Itoa(i + 2)
			for _, column := range []string{"A", "B"} {
				if formula, err := f.GetCellFormula("book", column+ref); err != nil || formula != "" {
					t.Errorf("%s: %s%s is a formula: %q, %v", name, column, ref, formula, err)
				}
			}
			number, err := f.GetCellValue("book", "B"+ref, excelize.Options{RawCellValue: true})
			if err != nil || number != "-"+strconv.Itoa(i+1)+".5" {
				t.Errorf("%s: row %d is %q, %v", name, i+1, number, err)
			}
			if columns == "" {
				continue
			}
			got, err := f.GetCellValue("book", "A"+ref)
			if err != nil || unguarded(got) != undirected(want) {
				t.Errorf("%s: %q is read as %q, %v", name, want, got, err)
			}
		}
	}
}

// officeOpens is a CSV file opened in LibreOffice and saved as a workbook.
func officeOpens(t *testing.T, text, filter string) *excelize.File {
	t.Helper()
	dir := t.TempDir()
	in := filepath.Join(dir, "book.csv")
	if err := os.WriteFile(in, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(
		"soffice",
		"--headless",
		"-env:UserInstallation=file://"+filepath.Join(dir, "profile"),
		"--infilter="+filter,
		"--convert-to",
		"xlsx",
		"--outdir",
		dir,
		in,
	)
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("soffice: %v\n%s", err, out)
	}
	f, err := excelize.OpenFile(filepath.Join(dir, "book.xlsx"))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() }) // it was only read
	return f
}
