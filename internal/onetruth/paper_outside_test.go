//go:build outside

package onetruth

import (
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// TestOneTruthOnPaper takes the text out of the PDF, which a browser (Chromium) made
// for the program, by pdftotext (of Poppler), and holds every fact of it too.
func TestOneTruthOnPaper(t *testing.T) {
	for _, name := range []string{"demo", "seed 12"} {
		t.Run(name, func(t *testing.T) {
			f := wards()[name](t)
			want, text := factsOfJSON(t, f.json).expectedInWords(), printed(t, f)
			got := factsOfPDF(f, text)
			for _, fault := range slices.Concat(got.faults, differ(want, got.facts), got.misplaced(inWords)) {
				t.Error(fault)
			}
			planted := factsOfPDF(f, strings.ReplaceAll(text, ".0 cm", " cm")) // a decimal is lost
			if len(differ(want, planted.facts)) == 0 {
				t.Error("a fault was planted, and not found")
			}
		})
	}
}

// printed is the text of the PDF, laid out as on paper.
func printed(t *testing.T, f faces) string {
	t.Helper()
	pdf := filepath.Join(t.TempDir(), "handover.pdf")
	f.run("handover", "--full", "--no-pictures", "--format", "pdf", "-o", pdf)
	out, err := exec.Command("pdftotext", "-layout", "-nopgbrk", pdf, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	return string(out)
}

var (
	paperLabels = []string{"Look-alike", "Conflict", "Handed over", "Told", "Safety", "Gas", "Limits", "Growth by", "Changed", "Due",
		"Next", "Support", "Oxygen", "Seen", "Episodes", "Interface", "Skin", "Tube", "Growth", "Bonnet", "Humidifier", "Set-up",
		"Cares", "Alarms", "Outlook", "Notes", "Tasks", "Plans",
		"Remarks", "Late", "Not charted", "Not computed", "Unit rules", "None charted", "Handover", "Window", "From", "Left",
		"Unit notes", "Unit tasks"}
	paperRow = regexp.MustCompile(`^ {0,3}(` + strings.Join(paperLabels, "|") + `) +(\S.*)$`)
	who      = regexp.MustCompile(`^(?:label |formerly |record key )`)
	paperCot = regexp.MustCompile(`^ {0,3}Cot (\S.*: .*)$`)
)

// factsOfPDF reads the lines of the sheets: headings, labels at the left, what goes on
// below them farther in.
func factsOfPDF(f faces, text string) *faceReader {
	r := f.faceReader()
	all := []labelled{{}}
	ward := false // within the ward list, which has no labels
	for _, l := range strings.Split(text, "\n") {
		p := &all[len(all)-1]
		t := strings.TrimSpace(l)
		switch m := paperRow.FindStringSubmatch(l); {
		case t == "" || marginOf(t):
		case paperCot.MatchString(l):
			if strings.HasSuffix(t, ": pictures") {
				r.read(r.allWithoutAges(all))
				return r
			}
			all = append(all, labelled{called: strings.TrimPrefix(t, "Cot ")})
		case strings.HasSuffix(t, ": handover"):
			p.rows = append(p.rows, line{"Unit", strings.TrimSuffix(t, ": handover")})
		case m != nil:
			ward = false
			p.rows = append(p.rows, line{m[1], m[2]})
		case strings.HasPrefix(t, "Printed by") || strings.HasPrefix(t, "Cot  "):
			ward = true
		case ward || len(p.rows) == 0 && p.called == "":
		case who.MatchString(t) && (len(p.rows) == 0 || p.rows[len(p.rows)-1].label == ""):
			p.rows = append(p.rows, line{"Who", t})
		case len(p.rows) == 0: // what must be seen first
			p.rows = append(p.rows, line{"", t})
		default:
			last := &p.rows[len(p.rows)-1]
			last.text = broken.ReplaceAllString(last.text+" "+t, "$1-")
		}
	}
	r.read(r.allWithoutAges(all))
	return r
}

// broken is a word that a line was broken within, at its hyphen.
var broken = regexp.MustCompile(`(\w)- `)

// marginOf says whether a line is of a sheet's margin.
func marginOf(t string) bool {
	return regexp.MustCompile(`page \d+ of \d+|printed by _|Aid to handover, not an order`).MatchString(t)
}
