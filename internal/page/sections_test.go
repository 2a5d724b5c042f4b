package page

import (
	"regexp"
	"slices"
	"strings"
	"testing"

	"cotline/handover"
	"cotline/internal/ward"
	"cotline/internal/wardtest"
)

var chartedWords = regexp.MustCompile(`(?s)“.*?”`)

// What is told to a reader elsewhere of one infant names no other: neither by name nor
// by number nor by label; and of one whose name is not shown not that one either. What
// was charted as free text stays what it is.
func TestWordsForOthers(t *testing.T) {
	policy := wardtest.Policy(t, ward.Policy())
	others := 0
	hold := func(h *handover.Handover) {
		words := Words(h, policy)
		for _, f := range h.Infants {
			var all []string
			for _, lines := range words(f.Infant) {
				all = append(all, lines...)
			}
			text := chartedWords.ReplaceAllString(strings.Join(all, "\n"), "“”")
			if strings.Contains(text, "LOOK-ALIKE (") {
				others++
			}
			for _, other := range append(slices.Clone(h.Infants), h.Elsewhere...) {
				for _, name := range []string{other.MRN, other.Temporary, other.Family, other.Given} {
					own := other == f || name == f.MRN || name == f.Temporary || name == f.Family || name == f.Given
					if name != "" && (!own || f.Restricted && name != f.MRN && name != f.Temporary) && strings.Contains(text, name) {
						t.Errorf("%s: %q stands in what is told of it", f.Infant, name)
					}
				}
			}
		}
	}
	hold(wardtest.Demo(t).Handover)
	for _, seed := range []uint64{3, 4, 5} {
		hold(wardtest.Random(t, seed, 8, 3).Handover)
	}
	if others < 6 {
		t.Errorf("only %d infants are like another", others)
	}
}

// Staff go by name where there is one, what needs a person stands first, and each
// section is whole without the others.
func TestWordsStandAlone(t *testing.T) {
	h := wardtest.Demo(t).Handover
	words := Words(h, wardtest.Policy(t, ward.Policy()))
	for _, c := range []struct{ infant, section, line string }{
		{"in-01", "first", `^!! SKIN septum stage 1, swelling, worse, 05:15$`},
		{"in-01", "skin", `^Skin: worst: septum stage 1, WORSE, also swelling`}, // told first, and here
		{"in-02", "support", `^Support: bilevel 9 over 6, rate 30, FiO2 37 `},
		{"in-02", "changes", `^Changed: since 24 Oct 19:35: .*last rotation prongs to mask → mask to prongs`},
		{"in-02", "changes", `^Handed over: by Nurse Agate to Nurse Dune 24 Oct 19:37`},
		{"in-02", "words", `^Notes: READ OUT: “Tube at 13.9, nothing comes back: the feed of seven is held.” \(Nurse Dune, 06:48\)$`},
		{"in-05", "changes", `^Late: WRITTEN LATE: Care: eye care, of 24 Oct 18:40 \(Nurse Elder, charted 24 Oct 20:50\)$`},
		{"in-08", "first", `^handed over to Nurse Frost 03:40, not accepted$`},
		{"in-08", "devices", `set-up steps NOT DONE: heat probe in`},
		{"in-09", "support", `^NOT CHARTED: pressure, FiO2, flow, `},
		{"in-09", "mind", `^CONFLICT: same driver ax-2051 charted for cot Fern 6$`},
	} {
		line := regexp.MustCompile(c.line)
		if lines := words(c.infant)[c.section]; !slices.ContainsFunc(lines, line.MatchString) {
			t.Errorf("%s, %s: no line %s in %q", c.infant, c.section, c.line, lines)
		}
	}
	for infant, without := range map[string]string{"in-01": "asked: ", "in-08": "rn-"} {
		for section, lines := range words(infant) {
			if strings.Contains(strings.Join(lines, "\n"), without) {
				t.Errorf("%s, %s: %q in %q", infant, section, without, lines)
			}
		}
	}
	if told := words("in-none"); len(told) > 0 {
		t.Errorf("words of an infant who is not there: %v", told)
	}
}

// What is remarked on several times is told once.
func TestOnce(t *testing.T) {
	r := row{Label: "Remarks"}
	for _, text := range []string{"a tube checked", "a head measured", "a tube checked", "a tube checked"} {
		r.add(text)
	}
	if got := lined(once(r)); got != "Remarks: a tube checked (3 times); a head measured" {
		t.Error(got)
	}
}
