package fhir_test

import (
	"html"
	"regexp"
	"slices"
	"strings"
	"testing"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/handover"
	"cotline/internal/page"
)

var paragraph = regexp.MustCompile(`(?s)<p>(.*?)</p>`)

// linesSaid are the lines of each section of a document, by its title.
func linesSaid(d documentForm) (titles []string, lines map[string][]string) {
	lines = map[string][]string{}
	for _, s := range d.Entry[0].Resource.Section {
		titles = append(titles, s.Title)
		for _, p := range paragraph.FindAllStringSubmatch(s.Text.Div, -1) {
			lines[s.Title] = append(lines[s.Title], html.UnescapeString(strings.ReplaceAll(p[1], "<br/>", "\n")))
		}
	}
	return titles, lines
}

// The sections of a document are in one order, each in the very words of the faces;
// what needs somebody stands out.
func TestDocumentsTellTheWordsOfTheFaces(t *testing.T) {
	w, ask := fixture.Demo(t)
	h := handover.Compile(w, ask.At, ask.Known, ask.At.Add(-12*3600e9))
	order := []string{"Look first", "Support and settings", "Observations", "Skin", "Devices", "Age and growth", "Cares and words",
		"Due and planned", "Changes", "Mind", "Corrections", "Further entries"}
	words := page.Words(h, w.Policy)
	marked := 0
	for _, s := range h.Infants {
		d, _ := document(t, w, fhir.Edition{Handover: h, Words: words}, s.Infant)
		titles, lines := linesSaid(d)
		if !slices.Equal(titles, order) {
			t.Fatalf("%s: sections %q", s.Infant, titles)
		}
		told := words(s.Infant)
		if n := len(fhir.SectionNames()); len(order) != n+2 {
			t.Fatalf("%d sections have words", n)
		}
		for i, name := range fhir.SectionNames() {
			want := slices.Clone(told[name])
			for n, line := range want {
				if strings.HasPrefix(line, "!! ") {
					want[n] = "<b>" + line + "</b>"
					marked++
				}
			}
			if len(want) == 0 {
				want = []string{"Nothing to tell."}
			}
			if !slices.Equal(lines[order[i]], want) {
				t.Errorf("%s, %s: %q, want %q", s.Infant, order[i], lines[order[i]], want)
			}
		}
	}
	if marked < 5 {
		t.Errorf("only %d lines are marked", marked)
	}
	if _, err := fhir.Document(w, fhir.Edition{Handover: h}, h.Infants[0].Infant); err == nil {
		t.Error("a document without words")
	}
}

// keyPath is a path of the table of facts, which means nothing to a reader.
var keyPath = regexp.MustCompile(`\b(?:settings|skin|tubes|support|rotation|bonnet|observations|humidifier|setup|outlook|interface|head|` +
	`indices|gas|limits)\.[a-z]`)

// mark of a direction, which a narrative never holds.
const directions = "\u2066\u2067\u2068\u2069\u200e\u200f\u202a\u202b\u202c\u202d\u202e"

// No section tells a path, a staff key that has a name, an entry's id or a moment to the
// second: of the demo ward and of random ones.
func TestDocumentsSayNoKey(t *testing.T) {
	hold := func(where string, w handover.Ward, h *handover.Handover) {
		for _, s := range h.Infants {
			d, _ := document(t, w, fhir.Edition{Handover: h, Words: page.Words(h, w.Policy)}, s.Infant)
			_, sections := linesSaid(d)
			for title, lines := range sections {
				text := strings.Join(lines, "\n")
				for _, is := range []string{keyPath.FindString(text), secondly.FindString(text), entryID.FindString(text)} {
					if is != "" {
						t.Errorf("%s, %s, %s: %q in %s", where, s.Infant, title, is, text)
					}
				}
				if strings.ContainsAny(text, directions) {
					t.Errorf("%s, %s, %s: a mark of direction", where, s.Infant, title)
				}
				for _, p := range w.Policy.Staff {
					if p.Name != "" && regexp.MustCompile(`(?:^|[ (])`+regexp.QuoteMeta(p.Key)+`(?:$|[ ,;)])`).MatchString(text) {
						t.Errorf("%s, %s, %s: %s for %s", where, s.Infant, title, p.Key, p.Name)
					}
				}
			}
		}
	}
	w, ask := fixture.Demo(t)
	hold("demo", w, handover.Compile(w, ask.At, ask.Known, ask.At.Add(-12*3600e9)))
	for seed := range fixture.Seeds(60, 3) {
		w, last := fixture.Random(t, seed, 4, 3)
		hold("random", w, handover.Compile(w, last, last, last.Add(-12*3600e9)))
	}
}

var (
	secondly = regexp.MustCompile(`\d\dT\d\d:\d\d:\d\d`)
	entryID  = regexp.MustCompile(`\bentry [0-9a-f]{8}\b|[0-9a-f]{8}-[0-9a-f]{4}-`)
)
