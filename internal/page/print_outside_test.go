//go:build outside

package page

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"cotline/handover"
	"cotline/internal/browser"
)

// shifts are those that a sheet's end is taken from; no entries, no pictures.
func shifts(h *handover.Handover) handover.Ward {
	return handover.Ward{Policy: &handover.Policy{Zone: h.Zone, Shifts: []handover.Clock{{Hour: 7, Minute: 30}, {Hour: 19, Minute: 30}}}}
}

// printedPDF has the page printed by the browser, as the command line does.
func printedPDF(t *testing.T, h *handover.Handover, o Options) (file string) {
	t.Helper()
	return printedOf(t, h, shifts(h), o)
}

func printedOf(t *testing.T, h *handover.Handover, ward handover.Ward, o Options) (file string) {
	t.Helper()
	var page bytes.Buffer
	if err := HTML(&page, h, ward, o); err != nil {
		t.Fatal(err)
	}
	program, err := browser.Find("")
	if err != nil {
		t.Fatal(err)
	}
	pdf, err := browser.PDF(t.Context(), t.TempDir(), program, page.Bytes())
	if err != nil {
		t.Fatal(err)
	}
	file = filepath.Join(t.TempDir(), "page.pdf")
	if err := os.WriteFile(file, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	return file
}

// sheetsOf reads a PDF back (pdftotext, of Poppler), a text a sheet.
func sheetsOf(t *testing.T, pdf string) []string {
	t.Helper()
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
// tells what it is, its number, who printed it and when it is destroyed.
func TestPrint(t *testing.T) {
	h := demo(t)
	h.Chain = "c0ffee0123456789"
	for _, size := range Papers {
		by := map[string]string{"A4": "rn-dune", "letter": ""}[size]
		pdf := printedPDF(t, h, Options{Paper: size, PrintedBy: by})
		sheets := sheetsOf(t, pdf)
		points := map[string]string{"A4": "594.96 x 841.92 pts (A4)", "letter": "612 x 792 pts (letter)"}[size]
		if info := run(t, "pdfinfo", pdf); !strings.Contains(info, points) {
			t.Errorf("%s: the paper is not %s:\n%s", size, points, info)
		}
		if most := 2 + (len(h.Infants)+1)/2; len(sheets) > most || len(h.Infants) != 12 { // a full ward of 12: 8 sheets
			t.Errorf("%s: %d sheets for %d infants, want %d at most", size, len(sheets), len(h.Infants), most)
		}
		if by == "" {
			by = toWrite
		}
		for i, sheet := range sheets {
			for _, want := range []string{
				fmt.Sprintf("page %d of %d", i+1, len(sheets)), h.Unit, "25 Oct 2026 07:30 (+01:00)", "chain c0ffee012345",
				"printed by " + by, "destroy by Sun 25 Oct 2026 19:30 (+01:00)", "Look at the infant.",
			} {
				if !strings.Contains(strings.Join(strings.Fields(sheet), " "), want) {
					t.Errorf("%s: sheet %d does not say %q", size, i+1, want)
				}
			}
		}
		for _, f := range h.Infants {
			// The heading is repeated where an infant goes on on another sheet.
			if n := len(regexp.MustCompile(`(?m)^ *`+f.Cot+` .* day \d+`).FindAllString(strings.Join(sheets, "\n"), -1)); n != 1 {
				t.Errorf("%s: %s has its heading on %d sheets", size, f.Cot, n)
			}
		}
	}
}

// In the full form an infant has one sheet, laid across, with all of its words and,
// beside them, its pictures: what a sheet holds of the one it holds of the other.
func TestPrintOfPicturesBesideWords(t *testing.T) {
	d := demoDrawn(t)
	for _, size := range Papers {
		pdf := printedOf(t, d.Handover, d.Ward, Options{Paper: size, Full: true})
		sheets := sheetsOf(t, pdf)
		infants := d.Handover.Infants
		if len(sheets) != len(infants)+1 {
			t.Fatalf("%s: %d sheets for the ward and %d infants", size, len(sheets), len(infants))
		}
		across := map[string]string{"A4": "841.92 x 594.96", "letter": "792 x 612"}[size]
		for i, f := range infants {
			number := fmt.Sprint(i + 2)
			if info := run(t, "pdfinfo", "-f", number, "-l", number, pdf); !strings.Contains(info, across) {
				t.Errorf("%s: the sheet of %s is not laid across:\n%s", size, f.Cot, info)
			}
			sheet := strings.Join(strings.Fields(sheets[i+1]), " ")
			for _, want := range []string{"Cot " + f.Cot + ": ", "Unit rules", "Latest finding of each site", "back of the head",
				"Skin checks", "today"} {
				if !strings.Contains(sheet, want) {
					t.Errorf("%s: the sheet of %s does not say %q", size, f.Cot, want)
				}
			}
			boxes := run(t, "pdftotext", "-bbox", "-f", number, "-l", number, pdf, "-")
			if words, drawn := leftOf(t, boxes, "Changed"), leftOf(t, boxes, "Alarms", "Episodes"); words > 100 || drawn < 350 {
				t.Errorf("%s, %s: words begin at %.0f points from the left, the lanes of the strip at %.0f", size, f.Cot, words, drawn)
			}
		}
	}
}

// leftOf is how far from the left the last of some words stands.
func leftOf(t *testing.T, boxes string, words ...string) float64 {
	t.Helper()
	found := regexp.MustCompile(`xMin="([0-9.]+)"[^>]*>(?:`+strings.Join(words, "|")+`)<`).FindAllStringSubmatch(boxes, -1)
	if len(found) == 0 {
		t.Fatalf("none of %q on the sheet", words)
	}
	left, err := strconv.ParseFloat(found[len(found)-1][1], 64)
	if err != nil {
		t.Fatal(err)
	}
	return left
}

// Whatever stands beside it, a number on the ward list is not broken in two: half a
// number is another infant's.
func TestPrintOfNumbers(t *testing.T) {
	h := demo(t)
	for i := range h.Infants {
		h.Infants[i].Cot = fmt.Sprintf("Bay 1-%db", i+1)
		h.Infants[i].Family, h.Infants[i].Given = "Thunderheatherberyl", "Pebblestone"
		h.Infants[i].Support.Mode = "ventilation"
		for a := range h.Infants[i].Attention {
			h.Infants[i].Attention[a].Text += " and that for longer than a line of the ward list has room for"
		}
	}
	words := strings.Fields(strings.Join(sheetsOf(t, printedPDF(t, h, Options{Paper: "A4"})), " "))
	for _, f := range h.Infants {
		whole := 0
		for _, w := range words {
			if w == f.MRN {
				whole++
			}
		}
		if f.MRN != "" && whole < 2 { // on the list and over the infant
			t.Errorf("%s: its number %s is broken on the ward list", f.Cot, f.MRN)
		}
	}
}

// Unit names and printers' names of any length leave the sheet as it is.
func TestPrintOfLongMargins(t *testing.T) {
	h := demo(t)
	short := len(sheetsOf(t, printedPDF(t, h, Options{Paper: "A4"})))
	h.Unit = strings.Repeat("Very long name of a unit ", 8)
	sheets := sheetsOf(t, printedPDF(t, h, Options{Paper: "A4", PrintedBy: strings.Repeat("W", 40)}))
	if len(sheets) != short {
		t.Errorf("%d sheets, want %d", len(sheets), short)
	}
	for i, sheet := range sheets {
		for _, want := range []string{fmt.Sprintf("page %d of %d", i+1, len(sheets)), "destroy by Sun 25 Oct 2026 19:30"} {
			if !strings.Contains(strings.Join(strings.Fields(sheet), " "), want) {
				t.Errorf("sheet %d does not say %q", i+1, want)
			}
		}
	}
}

// The PDF can be read by anybody and anything: fonts are in it, names come back
// letter for letter, and it has title, language, headings and table headers.
func TestPrintIsAccessible(t *testing.T) {
	h := demo(t)
	names := [][2]string{{"Źdźbło", "Żółta-Łąka"}, {"Sương", "Nguyệt Ấm Ững"}, {"Ήλιος", "Κύμα"}, {"D’Été", "Ğöl Şimşek"}}
	for i, n := range names {
		h.Infants[i].Family, h.Infants[i].Given = n[0], n[1]
	}
	pdf := printedPDF(t, h, Options{Paper: "A4"})
	text := strings.Join(strings.Fields(run(t, "pdftotext", pdf, "-")), " ")
	for i, n := range names {
		if want := fmt.Sprintf("%s %s, %s no. %s", h.Infants[i].Cot, n[0], n[1], h.Infants[i].MRN); !strings.Contains(text, want) {
			t.Errorf("not read back: %s", want)
		}
	}
	fonts := strings.Split(strings.TrimSpace(run(t, "pdffonts", pdf)), "\n")
	if len(fonts) < 4 { // a heading of two lines, a plain font, a bold one
		t.Errorf("fonts: %q", fonts)
	}
	for _, line := range fonts[2:] {
		f := strings.Fields(line) // … emb sub uni object, its two numbers
		if n := len(f); f[n-5] != "yes" || f[n-3] != "yes" {
			t.Errorf("not embedded, or without its letters: %s", line)
		}
	}
	info := run(t, "pdfinfo", pdf)
	for _, want := range []string{"Tagged:          yes", "Title:           Handover: " + h.Unit + ", Sun 25 Oct 2026 07:30 (+01:00)"} {
		if !strings.Contains(info, want) {
			t.Errorf("no %q in\n%s", want, info)
		}
	}
	for _, n := range names {
		if strings.Contains(info, n[0]) {
			t.Error("a name in the description")
		}
	}
	raw, err := os.ReadFile(pdf)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"/Lang (en)", "/DisplayDocTitle true", "/Outlines "} {
		if !bytes.Contains(raw, []byte(want)) {
			t.Errorf("no %s", want)
		}
	}
	tags := map[string]int{}
	for _, line := range strings.Split(run(t, "pdfinfo", "-struct", pdf), "\n") {
		if f := strings.Fields(line); len(f) > 0 {
			tags[strings.Trim(strings.Join(f[:min(2, len(f))], " "), ":")]++
		}
	}
	if tags["H1 (block)"] != 1 || tags["H2 (block)"] != len(h.Infants) {
		t.Errorf("%d headings of the first order and %d of the second", tags["H1 (block)"], tags["H2 (block)"])
	}
	if tags["/Scope /Column"] != 5 || tags["/Scope /Row"] < 8*len(h.Infants) {
		t.Errorf("%d headers of columns, %d of rows", tags["/Scope /Column"], tags["/Scope /Row"])
	}
}

// A note longer than a sheet splits its infant all the same: then the heading,
// with name and number, stands on each sheet.
func TestPrintOfALongNote(t *testing.T) {
	h := twoInfants()
	h.Infants[0].Notes[0].Text = strings.Repeat("A long night with much to tell. ", 125) + "End of the note."
	h.Infants[0].Notes[1].Text = strings.Repeat("Read this out, all of it. ", 150)
	sheets := sheetsOf(t, printedPDF(t, h, Options{Paper: "A4", Full: true}))
	all := strings.Join(strings.Fields(strings.Join(sheets, " ")), " ")
	if !strings.Contains(all, "End of the note.") {
		t.Error("the note is cut")
	}
	if n := headings(sheets, "Cot K1: ", "0071234"); n < 2 {
		t.Errorf("%d of %d sheets have the heading", n, len(sheets))
	}
	// Beside pictures too.
	d := demoDrawn(t)
	long, f := *d.Handover, *d.Handover.Infants[0]
	note := handover.Note{Text: strings.Repeat("A long night with much to tell. ", 125) + "End of the note."}
	f.Notes = append(slices.Clone(f.Notes), note)
	long.Infants = []*handover.Summary{&f}
	sheets = sheetsOf(t, printedOf(t, &long, d.Ward, Options{Paper: "A4", Full: true}))
	all = strings.Join(strings.Fields(strings.Join(sheets, " ")), " ")
	if n := headings(sheets, "Cot "+f.Cot+": ", f.MRN); n < 2 || !strings.Contains(all, "End of the note.") {
		t.Errorf("%d of %d sheets have the heading, or the note is cut", n, len(sheets))
	}
}

// headings counts the sheets that hold all of some words.
func headings(sheets []string, words ...string) (n int) {
	for _, sheet := range sheets {
		if !slices.ContainsFunc(words, func(w string) bool { return !strings.Contains(sheet, w) }) {
			n++
		}
	}
	return n
}
