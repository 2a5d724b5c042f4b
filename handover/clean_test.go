package handover_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/wardtest"
)

type holding = wardtest.Holding

var afterNoon = time.Date(2026, 10, 24, 12, 0, 0, 0, time.UTC)

func accept(t testing.TB, held entry.Holding, text string) (*entry.Entry, []entry.Issue) {
	t.Helper()
	e := mustEntry(t, text)
	fresh, issues := entry.Accept(held, []*entry.Entry{e}, nil, time.Minute, afterNoon)
	if len(fresh) == 0 {
		return nil, issues
	}
	return fresh[0], issues
}

func admittedAs(mrn string) string {
	return entryLine(1, "a", "admission", noon, `"born":"2026-10-24","cot":"7","mrn":"`+mrn+`"`)
}

// Unicode Standard Annex 15: NFKC makes one of the shapes of a character, such as
// digits of full width (U+FF10 to U+FF19); a blank that does not break is a blank.
func TestOneNumberIsOneNumber(t *testing.T) {
	for _, written := range []string{"7302614", " 7302614 ", "\u00a07302614", "7302614\u3000",
		"\uff17\uff13\uff10\uff12\uff16\uff11\uff14"} {
		e, issues := accept(t, entry.Nothing, admittedAs(written))
		if len(issues) > 0 || e.Text("mrn") != "7302614" {
			t.Errorf("%q: %v %q", written, issues, e.Text("mrn"))
		}
	}
	for field, own := range map[string]string{
		"cot":       `"born":"2026-10-24","cot":" \uff17 ","mrn":"1"`,
		"temporary": `"born":"2026-10-24","cot":"1","temporary":"7\u00a0"`,
		"visit":     `"born":"2026-10-24","cot":"1","mrn":"1","visit":"\uff17 "`,
		"mother":    `"born":"2026-10-24","cot":"1","mrn":"1","mother":" 7"`,
	} {
		if e, issues := accept(t, entry.Nothing, entryLine(1, "a", "admission", noon, own)); len(issues) > 0 || e.Text(field) != "7" {
			t.Errorf("%s: %v", field, issues)
		}
	}
	admission := holding{mustEntry(t, admittedAs("1"))}
	if e, issues := accept(t, admission, entryLine(2, "a", "support", noon, `"state":"started","mode":"cpap","driver":" D\uff17"`)); len(
		issues) > 0 || e.Text("driver") != "D7" {
		t.Error(issues)
	}
	if e, issues := accept(t, admission, entryLine(3, "a", "correction", noon,
		`"of":"`+entryID(1)+`","reason":"slip","entry":{"kind":"admission","at":"`+noon+`","born":"2026-10-24","cot":"7 ",`+
			`"mrn":"1 "}`)); len(issues) > 0 || !strings.Contains(string(e.AppendCanonical(nil)), `"cot":"7","mrn":"1"`) {
		t.Error(issues, e)
	}
}

// What nobody sees, or what turns the direction, makes one number look like another: it
// is refused, by field, without being shown. Characters by Unicode Standard Annex 9 and
// the property Default_Ignorable_Code_Point.
func TestUnseenInNumbersIsRefused(t *testing.T) {
	for _, r := range []rune{0x200b, 0x200d, 0x2060, 0xfeff, 0x200e, 0x200f, 0x061c, 0x202e, 0x2066, 0x00ad, 0x034f, 0x180e, 0xfe0f,
		0xe0020, 0x2800, 0x3164} {
		_, issues := accept(t, entry.Nothing, admittedAs("73"+string(r)+"02614"))
		if len(issues) != 1 || issues[0].Path != "mrn" || issues[0].Code != entry.CodeText || issues[0].Found != "" {
			t.Errorf("U+%04X: %v", r, issues)
		}
	}
	_, issues := accept(t, entry.Nothing, entryLine(3, "a", "correction", noon,
		`"of":"`+entryID(1)+`","reason":"slip","entry":{"kind":"move","at":"`+noon+`","cot":"7\u202e"}`))
	found := false
	for _, i := range issues {
		found = found || i.Path == "entry.cot" && i.Code == entry.CodeText
	}
	if !found {
		t.Error(issues)
	}
}

// Free text keeps its letters, whatever their script, and loses what has no width or
// turns the direction; of one that holds nothing else, nothing is left.
func TestFreeTextKeepsItsLetters(t *testing.T) {
	for written, want := range map[string]string{
		"a\u200bb\u200e \u202ec\ufeff": "ab c", "\u05e9\u05dc\u05d5\u05dd": "\u05e9\u05dc\u05d5\u05dd", " two  blanks ": " two  blanks ",
		"\u00bd \uff17": "\u00bd \uff17", "e\u0301": "\u00e9",
	} {
		if e, issues := accept(t, entry.Nothing, entryLine(1, "", "note", noon, `"text":"`+written+`"`)); len(issues) > 0 ||
			e.Text("text") != want {
			t.Errorf("%q: %v", written, issues)
		}
	}
	if _, issues := accept(t, entry.Nothing, entryLine(1, "", "note", noon, `"text":"\u200b\u200e"`)); len(issues) != 1 ||
		issues[0].Code != entry.CodeText {
		t.Error(issues)
	}
}

// A file that is sent again is held already: what the rule cleans, and what was taken
// before the rule, when numbers kept their blanks and hidden characters.
func TestSentAgainIsHeld(t *testing.T) {
	for _, written := range []string{"7302614 ", "\uff17302614", "73\u200b02614", "7302614"} {
		before := mustEntry(t, admittedAs(written)) // as it stands in a record of before
		for _, held := range []*entry.Entry{before, mustEntry(t, admittedAs("7302614"))} {
			fresh, issues := accept(t, holding{held}, admittedAs(written))
			same := held == before || !strings.Contains(written, "\u200b")
			if same && (fresh != nil || len(issues) > 0) || !same && len(issues) == 0 {
				t.Errorf("%q on %q: %v %v", written, held.Text("mrn"), fresh, issues)
			}
		}
	}
	if _, issues := accept(t, holding{mustEntry(t, admittedAs("7302614 "))}, admittedAs("7302615")); len(issues) != 1 ||
		issues[0].Code != entry.CodeIDConflict {
		t.Error("another number is held:", issues)
	}
}

// Two infants of a record of before, with one number but for a blank, are told.
func TestNumbersOfBeforeAreOne(t *testing.T) {
	var entries []*entry.Entry
	for n, mrn := range []string{"7302614", "7302614 "} {
		e := mustEntry(t, entryLine(n+1, fmt.Sprint("in-", n), "admission", noon,
			fmt.Sprintf(`"born":"2026-10-24","cot":"%d","mrn":"%s"`, n, mrn)))
		e.Charted = e.At
		entries = append(entries, e)
		if e.Text("mrn") != mrn {
			t.Error("what is held is changed")
		}
	}
	w := handover.Ward{Entries: entries, Policy: inventedPolicy(t, "Europe/Vienna")}
	h := handover.Compile(w, afterNoon, afterNoon, time.Time{})
	if len(h.Infants) != 2 || len(h.Infants[0].Conflicts) != 1 || h.Infants[0].Conflicts[0].What != "number" {
		t.Errorf("%+v", h.Infants[0].Conflicts)
	}
}
