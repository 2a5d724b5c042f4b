package entry_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"cotline/handover/entry"
	"cotline/internal/wardtest"
)

type held = wardtest.Holding

// taken is the moment of acceptance in these tests.
var taken = time.Date(2026, 10, 24, 18, 0, 0, 0, time.UTC)

const tolerance = 2 * time.Minute

// ward reads entries, one a line; their lines count from 1.
func ward(t testing.TB, lines ...string) []*entry.Entry {
	t.Helper()
	var out []*entry.Entry
	for i, text := range lines {
		e := mustEntry(t, text)
		e.Line = i + 1
		out = append(out, e)
	}
	return out
}

// at is a moment of 24 October, in summer time.
func at(clock string) string { return "2026-10-24T" + clock + ":00+02:00" }

func admission(n int, infant, clock string) string {
	return entryLine(n, infant, "admission", at(clock), `"born":"2026-10-23","cot":"7","mrn":"1"`)
}

func discharge(n int, infant, clock string) string {
	return entryLine(n, infant, "discharge", at(clock), `"to":"ward"`)
}

func weight(n int, infant, clock string) string {
	return entryLine(n, infant, "weight", at(clock), `"weightG":1000`)
}

func retraction(n int, infant string, of int) string {
	return entryLine(n, infant, "retraction", at("12:00"), `"of":"`+entryID(of)+`","reason":"slip"`)
}

func correction(n int, infant string, of int, entry string) string {
	return entryLine(n, infant, "correction", at("12:00"), `"of":"`+entryID(of)+`","reason":"slip","entry":{`+entry+`}`)
}

func charted(entry, clock string) string {
	return strings.Replace(entry, `,"by":`, `,"charted":"`+at(clock)+`","by":`, 1)
}

func TestAccept(t *testing.T) {
	weightAt := func(clock string) string { return `"kind":"weight","at":"` + at(clock) + `","weightG":1001` }
	for name, c := range map[string]struct {
		held, offered []string
		want          []string // line: path code
		fresh         int      // where nothing is refused
	}{
		"a stay": {nil, []string{admission(1, "a", "08:00"), weight(2, "a", "09:00"), discharge(3, "a", "10:00")},
			nil, 3},
		"lines in any order": {nil, []string{discharge(3, "a", "10:00"), weight(2, "a", "09:00"), admission(1, "a", "08:00")},
			nil, 3},
		"born, not yet admitted": {nil, []string{admission(1, "a", "08:00"), weight(2, "a", "07:00")}, nil, 2},
		"never admitted":         {nil, []string{weight(1, "a", "07:00")}, []string{"1: at not-admitted"}, 0},
		"not yet born": {nil, []string{admission(1, "a", "08:00"),
			entryLine(2, "a", "weight", "2026-10-22T08:00:00+02:00", `"weightG":1000`)}, []string{"2: at not-admitted"}, 0},
		"at the very discharge": {nil, []string{admission(1, "a", "08:00"), discharge(2, "a", "10:00"), weight(3, "a", "10:00")},
			nil, 3},
		"after the discharge": {nil, []string{admission(1, "a", "08:00"), discharge(2, "a", "10:00"), weight(3, "a", "10:01")},
			[]string{"3: at not-admitted"}, 0},
		"in a second stay": {nil, []string{admission(1, "a", "08:00"), discharge(2, "a", "10:00"), admission(3, "a", "11:00"),
			weight(4, "a", "10:30")}, nil, 4},
		"admitted already": {[]string{admission(1, "a", "08:00")}, []string{admission(2, "a", "09:00")},
			[]string{"1: at already-admitted"}, 0},
		"discharge of nobody": {nil, []string{discharge(1, "a", "09:00")}, []string{"1: at not-admitted"}, 0},
		"admission before one": {[]string{admission(1, "a", "08:00")}, []string{admission(2, "a", "07:00")},
			[]string{"1: at already-admitted"}, 0},
		"discharge pushes out": {[]string{admission(1, "a", "08:00"), weight(2, "a", "10:00")}, []string{discharge(3, "a", "09:00")},
			[]string{"1: at not-admitted"}, 0},
		"discharge, and retracted": {[]string{admission(1, "a", "08:00"), weight(2, "a", "10:00")},
			[]string{discharge(3, "a", "09:00"), retraction(4, "a", 2)}, nil, 2},
		"an earlier stay, late": {[]string{admission(1, "a", "10:00"), weight(2, "a", "11:00")},
			[]string{admission(3, "a", "07:00"), discharge(4, "a", "08:00")}, nil, 2},
		"retracted admission": {[]string{admission(1, "a", "08:00"), retraction(2, "a", 1)}, []string{admission(3, "a", "09:00")}, nil, 1},

		"held already": {[]string{admission(1, "a", "08:00")}, []string{admission(1, "a", "08:00")}, nil, 0},
		"held, id in upper case": {[]string{strings.ReplaceAll(admission(1, "a", "08:00"), "-4000-", "-4abc-")},
			[]string{strings.ReplaceAll(admission(1, "a", "08:00"), "-4000-", "-4ABC-")}, nil, 0},
		"twice in one file": {nil, []string{admission(1, "a", "08:00"), admission(1, "a", "08:00")}, nil, 1},
		"other content": {[]string{admission(1, "a", "08:00"), weight(2, "a", "09:00")}, []string{weight(2, "a", "09:01")},
			[]string{"1: id id-conflict"}, 0},
		"other digits": {[]string{admission(1, "a", "08:00"), weight(2, "a", "09:00")},
			[]string{strings.Replace(weight(2, "a", "09:00"), "1000", "1000.0", 1)}, []string{"1: id id-conflict"}, 0},
		"charted given after": {[]string{admission(1, "a", "08:00")}, []string{charted(admission(1, "a", "08:00"), "08:00")},
			[]string{"1: id id-conflict"}, 0},
		"case of a key": {[]string{admission(1, "ann-1", "08:00")}, []string{admission(2, "Ann-1", "09:00")},
			[]string{"1: infant infant-case"}, 0},
		"case of a key, in file": {nil, []string{admission(2, "Ann-1", "09:00"), admission(1, "ann-1", "08:00")},
			[]string{"2: infant infant-case"}, 0},
		"case of a listed key": {[]string{admission(1, "a", "08:00")},
			[]string{entryLine(2, "", "handover", noon, `"to":"b","asOf":"`+noon+`","infants":["A"]`)}, []string{"1: infants infant-case"},
			0},

		"charted in time":        {nil, []string{charted(admission(1, "a", "19:58"), "20:02")}, nil, 1},
		"charted too early":      {nil, []string{charted(admission(1, "a", "08:03"), "08:00")}, []string{"1: charted clock"}, 0},
		"charted at tolerance":   {nil, []string{charted(admission(1, "a", "08:02"), "08:00")}, nil, 1},
		"charted in the future":  {nil, []string{charted(admission(1, "a", "08:00"), "20:03")}, []string{"1: charted clock"}, 0},
		"happened in the future": {nil, []string{admission(1, "a", "20:03")}, []string{"1: at clock"}, 0},
		"correction too early": {[]string{admission(1, "a", "08:00"), weight(2, "a", "09:00")},
			[]string{charted(correction(3, "a", 2, weightAt("09:30")), "09:00")}, []string{"1: charted clock"}, 0},

		"correction": {[]string{admission(1, "a", "08:00"), weight(2, "a", "09:00")},
			[]string{correction(3, "a", 2, weightAt("09:01"))}, nil, 1},
		"correction of nothing": {[]string{admission(1, "a", "08:00")}, []string{correction(3, "a", 2, weightAt("09:01"))},
			[]string{"1: of reference"}, 0},
		"correction of one": {[]string{admission(1, "a", "08:00"), weight(2, "a", "09:00"),
			correction(3, "a", 2, weightAt("09:01"))}, []string{correction(4, "a", 3, weightAt("09:02"))}, []string{"1: of reference"}, 0},
		"correction, other kind": {[]string{admission(1, "a", "08:00"), weight(2, "a", "09:00")},
			[]string{correction(3, "a", 2, `"kind":"head","at":"`+noon+`","circumferenceCm":25`)}, []string{"1: entry.kind reference"}, 0},
		"correction, other infant": {[]string{admission(1, "a", "08:00"), weight(2, "a", "09:00"), admission(4, "b", "08:00")},
			[]string{correction(3, "b", 2, weightAt("09:01"))}, []string{"1: infant reference"}, 0},
		"corrected out of a stay": {[]string{admission(1, "a", "08:00"), weight(2, "a", "09:00"), discharge(4, "a", "10:00")},
			[]string{correction(3, "a", 2, weightAt("10:01"))}, []string{"1: entry.at not-admitted"}, 0},
		"corrected and retracted": {[]string{admission(1, "a", "08:00"), weight(2, "a", "09:00"), discharge(4, "a", "10:00")},
			[]string{correction(3, "a", 2, weightAt("10:01")), retraction(5, "a", 3)}, nil, 2},
		"retraction of one": {[]string{admission(1, "a", "08:00"), weight(2, "a", "09:00"), retraction(3, "a", 2)},
			[]string{retraction(4, "a", 3)}, []string{"1: of reference"}, 0},
		"retraction, other infant": {[]string{admission(1, "a", "08:00"), weight(2, "a", "09:00"), admission(3, "b", "08:00")},
			[]string{retraction(4, "b", 2)}, []string{"1: infant reference"}, 0},
		"moved to nothing": {[]string{admission(1, "a", "08:00"), weight(2, "a", "09:00")},
			[]string{entryLine(3, "a", "retraction", noon, `"of":"`+entryID(2)+`","reason":"x","movedTo":"`+entryID(9)+`"`)},
			[]string{"1: movedTo reference"}, 0},
		"done, no task": {[]string{admission(1, "a", "08:00"), weight(2, "a", "09:00")},
			[]string{entryLine(3, "a", "task-done", noon, `"task":"`+entryID(2)+`"`)}, []string{"1: task reference"}, 0},
		"corrected to no task": {[]string{entryLine(1, "", "task", noon, `"text":"x"`),
			entryLine(2, "", "task-done", noon, `"task":"`+entryID(1)+`"`)},
			[]string{correction(3, "", 2, `"kind":"task-done","at":"`+noon+`","task":"`+entryID(9)+`"`)},
			[]string{"1: entry.task reference"}, 0},
		"accepted, no handover": {nil, []string{entryLine(3, "", "acceptance", noon, `"handover":"`+entryID(2)+`","infants":["a"]`)},
			[]string{"1: handover no-handover"}, 0},

		"size of the unit": {[]string{admission(1, "a", "08:00")},
			[]string{entryLine(2, "a", "interface", noon, `"type":"mask","size":"pea"`)}, nil, 1},
		"size of nobody": {[]string{admission(1, "a", "08:00")},
			[]string{entryLine(2, "a", "interface", noon, `"type":"mask","size":"reed"`)}, []string{"1: size size"}, 0},
		"size without a list": {[]string{admission(1, "a", "08:00")},
			[]string{entryLine(2, "a", "interface", noon, `"type":"cannula","size":"any"`)}, nil, 1},
		"bonnet of nobody": {[]string{admission(1, "a", "08:00")},
			[]string{entryLine(2, "a", "bonnet", noon, `"action":"fitted","size":"reed"`)}, []string{"1: size size"}, 0},
		"corrected to no size": {[]string{admission(1, "a", "08:00"), entryLine(2, "a", "interface", noon, `"type":"mask","size":"pea"`)},
			[]string{correction(3, "a", 2, `"kind":"interface","at":"`+noon+`","type":"mask","size":"reed"`)},
			[]string{"1: entry.size size"}, 0},
		"step of nobody": {[]string{admission(1, "a", "08:00")},
			[]string{entryLine(2, "a", "setup", noon, `"steps":[{"step":"sing","done":true}]`)}, []string{"1: steps step"}, 0},

		"every fault is told": {nil, []string{weight(1, "a", "07:00"), admission(2, "b", "20:10"), retraction(3, "b", 9)},
			[]string{"1: at not-admitted", "2: at clock", "3: of reference"}, 0},
	} {
		t.Run(name, func(t *testing.T) {
			lists := &entry.Lists{Sizes: map[string][]string{"mask": {"pea", "bean"}}, Bonnets: []string{"bud"},
				Steps: []string{"gas", "power"}}
			already, issues := entry.Accept(entry.Nothing, ward(t, c.held...), nil, tolerance, taken)
			if len(issues) > 0 {
				t.Fatalf("held: %v", issues)
			}
			fresh, issues := entry.Accept(held(already), ward(t, c.offered...), lists, tolerance, taken)
			var got []string
			for _, i := range issues {
				got = append(got, fmt.Sprintf("%d: %s %s", i.Line, i.Path, i.Code))
			}
			if diff := cmp.Diff(c.want, got); diff != "" {
				t.Errorf("(-want +got)\n%s%v", diff, issues)
			}
			if len(c.want) == 0 && len(fresh) != c.fresh {
				t.Errorf("%d entries are new, want %d", len(fresh), c.fresh)
			}
		})
	}
}

func TestAcceptStampsCharted(t *testing.T) {
	offered := ward(t, admission(1, "a", "08:00"), charted(weight(2, "a", "09:00"), "09:05"))
	fresh, _ := entry.Accept(entry.Nothing, offered, nil, tolerance, taken)
	if got := fresh[0].Charted.Text; got != "2026-10-24T18:00:00+00:00" {
		t.Errorf("charted left out is stamped %s", got)
	}
	if got := fresh[1].Charted.Text; got != at("09:05") {
		t.Errorf("charted as offered became %s", got)
	}
	// A plain record has no moment of acceptance.
	fresh, _ = entry.Accept(entry.Nothing, ward(t, admission(1, "a", "08:00")), nil, tolerance, time.Time{})
	if got := fresh[0].Charted.Text; got != at("08:00") {
		t.Errorf("in a plain record charted is at, not %s", got)
	}
}

// The order of lines means nothing: any order of a file is taken, or refused
// for as many reasons.
func TestAcceptOrderOfLines(t *testing.T) {
	files := map[string][]string{
		"taken": {admission(1, "a", "08:00"), weight(2, "a", "09:00"), discharge(3, "a", "10:00"), admission(4, "a", "11:00"),
			correction(5, "a", 2, `"kind":"weight","at":"`+at("09:30")+`","weightG":1001`), retraction(6, "a", 5),
			weight(7, "a", "10:40")},
		"refused": {admission(1, "a", "08:00"), weight(2, "b", "09:00"), discharge(3, "a", "10:00"), weight(4, "a", "10:30"),
			retraction(5, "a", 9)},
	}
	rapid.Check(t, func(r *rapid.T) {
		for name, lines := range files {
			want := map[string]int{"taken": 0, "refused": 3}[name]
			_, issues := entry.Accept(entry.Nothing, ward(t, rapid.Permutation(lines).Draw(r, name)...), nil, tolerance, taken)
			if len(issues) != want {
				r.Fatalf("%s: %v", name, issues)
			}
		}
	})
}

// Taking a file in two parts, the first of which stands by itself, holds the
// same as taking it whole; taking it again holds nothing new.
func TestAcceptAgain(t *testing.T) {
	lines := []string{admission(1, "a", "08:00"), weight(2, "a", "09:00"), entryLine(3, "", "task", noon, `"text":"x"`),
		entryLine(4, "", "task-done", noon, `"task":"`+entryID(3)+`"`), discharge(5, "a", "10:00"), admission(6, "a", "11:00")}
	rapid.Check(t, func(r *rapid.T) {
		n := rapid.IntRange(0, len(lines)).Draw(r, "first part")
		first, issues := entry.Accept(entry.Nothing, ward(t, lines[:n]...), nil, tolerance, taken)
		if len(issues) > 0 {
			r.Fatal(issues)
		}
		rest, issues := entry.Accept(held(first), ward(t, lines...), nil, tolerance, taken)
		if len(issues) > 0 || len(first)+len(rest) != len(lines) {
			r.Fatalf("%d and %d of %d entries; %v", len(first), len(rest), len(lines), issues)
		}
	})
}

// A minus before zero is refused wherever a number stands, when it is offered; one that is
// held, or was held by another record, stays.
func TestZeroHasNoMinus(t *testing.T) {
	gas := func(n int, value string) string {
		return entryLine(n, "a", "gas", at("09:00"), `"sample":"capillary","baseExcessMmolL":`+value)
	}
	for value, fine := range map[string]bool{"0": true, "0.0": true, "-0.1": true, "-0": false, "-0.0": false} {
		_, issues := entry.Accept(entry.Nothing, ward(t, admission(1, "a", "08:00"), gas(2, value)), nil, tolerance, taken)
		if fine != (len(issues) == 0) {
			t.Errorf("%s: %v", value, issues)
		}
		want := entry.Issue{Line: 2, Path: "baseExcessMmolL", Code: entry.CodeNumber, Found: value, Allowed: "zero has no minus"}
		if !fine && (len(issues) != 1 || issues[0] != want) {
			t.Errorf("%s: %v", value, issues)
		}
	}
	nested := ward(t, admission(1, "a", "08:00"), gas(2, "1"),
		correction(3, "a", 2, `"kind":"gas","at":"`+at("09:00")+`","sample":"capillary","baseExcessMmolL":-0`),
		entryLine(4, "a", "calibration", at("09:00"), `"points":[{"gasPercent":21,"readPercent":21}],"flows":[-0]`),
		entryLine(5, "a", "observations", at("09:00"), `"silverman":{"chest":-0}`))
	_, issues := entry.Accept(entry.Nothing, nested, nil, tolerance, taken)
	var paths []string
	for _, i := range issues {
		paths = append(paths, i.Path)
	}
	if d := cmp.Diff([]string{"entry.baseExcessMmolL", "flows[0]", "silverman.chest"}, paths); d != "" {
		t.Error(d)
	}
	before := ward(t, admission(1, "a", "08:00"), gas(2, "-0"))
	for _, e := range before {
		e.Charted = e.At
	}
	again := ward(t, admission(1, "a", "08:00"), gas(2, "-0"))
	if fresh, issues := entry.Accept(held(before), again, nil, tolerance, taken); len(fresh)+len(issues) > 0 {
		t.Errorf("held already: %v %v", fresh, issues)
	}
	before[1].Carried = true
	if _, issues := entry.Accept(entry.Nothing, before, nil, tolerance, taken); len(issues) > 0 {
		t.Errorf("carried: %v", issues)
	}
}
