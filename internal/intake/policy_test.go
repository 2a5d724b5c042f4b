package intake_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/intake"
	"cotline/internal/ward"
)

func TestPolicyOfDefaults(t *testing.T) {
	defaults, issues := handover.DecodePolicy(entry.Value{}, time.LoadLocation)
	if len(issues) > 0 {
		t.Fatal(issues)
	}
	for _, text := range []string{"every:\n  head:\n", "unit: ~"} {
		p, issues := intake.Policy([]byte(text))
		if len(issues) > 0 {
			t.Errorf("%q: %v", text, issues)
			continue
		}
		if diff := cmp.Diff(string(defaults.Canonical()), string(p.Canonical())); diff != "" {
			t.Errorf("%q: %s", text, diff)
		}
	}
}

// YAML and JSON of one policy are one policy: block and flow, quoted and plain.
func TestPolicyForms(t *testing.T) {
	block := `
# a unit
unit: Moonwort   # invented
every:
  rotationDue: 5h
  care:
    position: 6h
tube: {movedCm: 0.80}
shifts:
- "07:40"
- '19:40'
sizes:
  bonnet:
    - name: bud
      fromCm: 22
      toCm: 24.5
`
	json := `{"unit":"Moonwort","every":{"rotationDue":"5h","care":{"position":"6h"}},"tube":{"movedCm":0.80},"shifts":["07:40",` +
		`"19:40"],"sizes":{"bonnet":[{"name":"bud","fromCm":22,"toCm":24.5}]}}`
	a, issues := intake.Policy([]byte(block))
	if len(issues) > 0 {
		t.Fatal(issues)
	}
	b, issues := intake.Policy([]byte(json))
	if len(issues) > 0 {
		t.Fatal(issues)
	}
	if diff := cmp.Diff(string(a.Canonical()), string(b.Canonical())); diff != "" {
		t.Error(diff)
	}
	if a.MovedCm.String() != "0.80" {
		t.Errorf("a number keeps its digits: %s", a.MovedCm)
	}
	if _, issues := intake.Policy(ward.Policy()); len(issues) > 0 {
		t.Error(issues)
	}
}

func TestPolicyRefuses(t *testing.T) {
	for name, c := range map[string]struct{ text, want string }{
		"not YAML":          {"unit: x\nevery: [\n", "2  format"},
		"not UTF-8":         {"unit: \xff\n", "0  utf8"},
		"key twice":         {"unit: x\nunit: y\n", "2 unit duplicate-field"},
		"key twice, quoted": {"every:\n  head: 7d\n  \"head\": 6d\n", "3 every.head duplicate-field"},
		"anchor":            {"unit: &u x\n", "1 unit format"},
		"alias":             {"unit: x\nfhir:\n  codes: *u\n", "3 fhir.codes format"},
		"tag":               {"unit: !!str x\n", "1 unit format"},
		"merge key":         {"every:\n  <<: {head: 7d}\n", "2 every format"},
		"two documents":     {"unit: x\n---\nunit: y\n", "3  format"},
		"a list":            {"- unit\n", "1  type"},
		"unknown key":       {"unit: x\nevery:\n  rotation: 4h\n", "3 every.rotation unknown-field"},
		"unknown, in a list": {"sizes:\n  bonnet:\n    - {name: a, fromCm: 20, toCm: 22}\n    - {name: b, from: 22, toCm: 24}\n",
			"4 sizes.bonnet[1].from unknown-field"},
		"no sense":            {"timezone: Europe/Dublin\nshifts: ['07:30',\n  '25:00']\n", "2 shifts format"},
		"clock not in quotes": {"{shifts: [07:30, \"19:30\"]}\n", "1 shifts format"},
		"overdue too early":   {"unit: x\nevery:\n  skinDue: 8h\n", "3 every.skinOverdue order"},
		"left out of a list":  {"unit: x\nstaff:\n  - name: Nurse Teal\n", "3 staff[0].key type"},
		"infinite":            {"tube:\n  movedCm: .inf\n", "2 tube.movedCm range"},
		"octal":               {"tube:\n  movedCm: 01\n", "2 tube.movedCm range"},
		"nested":              {strings.Repeat("[", 100_000), "0  format"},
		"too much":            {strings.Repeat("# x\n", 100_000), "0  line-too-long"},
		"control character":   {"\"a\\u001b\": 1\n", `1 "a\x1b" unknown-field`},
	} {
		t.Run(name, func(t *testing.T) {
			_, issues := intake.Policy([]byte(c.text))
			if len(issues) == 0 {
				t.Fatal("taken")
			}
			i := issues[0]
			if got := fmt.Sprintf("%d %s %s", i.Line, i.Path, i.Code); got != c.want {
				t.Errorf("got  %s\nwant %s\n%v", got, c.want, issues)
			}
		})
	}
}

func FuzzPolicyYAML(f *testing.F) {
	f.Add(ward.Policy())
	for _, text := range []string{"", "a: [", "unit: &a x\nb: *a", "? a\n: b", "every: {head: 7d}\n---\n", "a: |\n b\n",
		"unit: \"\\u0000\"", "%YAML 1.2\n---\nunit: x", "a: 'b", "- - - x", "<<: *x"} {
		f.Add([]byte(text))
	}
	f.Fuzz(func(t *testing.T, text []byte) {
		p, issues := intake.Policy(text)
		if (p == nil) == (len(issues) == 0) {
			t.Fatal("neither a policy nor a refusal, or both")
		}
		for _, i := range issues {
			if s := i.String(); strings.ContainsAny(s, "\n\r\x1b\x00") {
				t.Errorf("not fit for a line: %q", s)
			}
		}
		if p == nil {
			return
		}
		again, issues := intake.Policy(p.Canonical()) // JSON is YAML
		if len(issues) > 0 || string(again.Canonical()) != string(p.Canonical()) {
			t.Errorf("%s reads back with %v", p.Canonical(), issues)
		}
	})
}
