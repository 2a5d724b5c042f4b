//go:build outside

package page

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"cotline/handover"
)

// printed has the page printed by a browser (Chromium) on one size of paper and
// read back (pdftotext, of Poppler), a text a sheet.
func printedSheets(t *testing.T, h *handover.Handover, size string) []string {
	t.Helper()
	dir := t.TempDir()
	file, pdf := filepath.Join(dir, "page.html"), filepath.Join(dir, "page.pdf")
	page := strings.Replace(printedPage(t, h), "@page {", "@page { size: "+size+";", 1)
	if err := os.WriteFile(file, []byte(page), 0o600); err != nil {
		t.Fatal(err)
	}
	run(t, "chromium", "--headless", "--no-sandbox", "--disable-gpu", "--no-first-run", "--disable-background-networking", "--disable-sync",
		"--no-pdf-header-footer", "--user-data-dir="+filepath.Join(dir, "profile"), "--print-to-pdf="+pdf, "file://"+file)
	if info := run(t, "pdfinfo", pdf); !strings.Contains(info, "Tagged:          yes") {
		t.Errorf("the PDF is not tagged:\n%s", info)
	}
	sheets := strings.Split(run(t, "pdftotext", "-layout", pdf, "-"), "\f")
	return sheets[:len(sheets)-1]
}

func run(t *testing.T, name string, args ...string) string {
	t.Helper()
	out, err := exec.Command(name, args...).Output()
	if err != nil {
		t.Fatalf("%s: %v", name, err)
	}
	return string(out)
}

// On A4 and on Letter no infant is split, two stand on a sheet, and each sheet
// has its number, the moment and the chain.
func TestPrint(t *testing.T) {
	h := demo(t)
	h.Chain = "c0ffee0123456789"
	for _, size := range []string{"A4", "letter"} {
		sheets := printedSheets(t, h, size)
		if most := 1 + (len(h.Infants)+1)/2; len(sheets) > most {
			t.Errorf("%s: %d sheets for %d infants, want %d at most", size, len(sheets), len(h.Infants), most)
		}
		for i, sheet := range sheets {
			for _, want := range []string{fmt.Sprintf("page %d of %d", i+1, len(sheets)), h.Unit, "25 Oct 2026 07:30 (+01:00)", "chain c0ffee012345"} {
				if !strings.Contains(strings.Join(strings.Fields(sheet), " "), want) {
					t.Errorf("%s: sheet %d does not say %q", size, i+1, want)
				}
			}
		}
		for _, f := range h.Infants {
			// The heading is repeated where an infant goes on on another sheet.
			if n := strings.Count(strings.Join(sheets, "\n"), "Cot "+f.Cot+": "); n != 1 {
				t.Errorf("%s: %s has its heading on %d sheets", size, f.Cot, n)
			}
		}
	}
}

// A note longer than a sheet splits its infant all the same: then the heading,
// with name and number, stands on each sheet.
func TestPrintOfALongNote(t *testing.T) {
	h := twoInfants()
	h.Infants[0].Notes[0].Text = strings.Repeat("A long night with much to tell. ", 125) + "End of the note."
	h.Infants[0].Notes[1].Text = strings.Repeat("Read this out, all of it. ", 150)
	sheets := printedSheets(t, h, "A4")
	all := strings.Join(strings.Fields(strings.Join(sheets, " ")), " ")
	if !strings.Contains(all, "End of the note.") {
		t.Error("the note is cut")
	}
	headings := 0
	for _, sheet := range sheets {
		if strings.Contains(sheet, "Cot K1: ") && strings.Contains(sheet, "0071234") {
			headings++
		}
	}
	if headings < 2 {
		t.Errorf("%d of %d sheets have the heading", headings, len(sheets))
	}
}
