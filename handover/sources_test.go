package handover

import (
	"flag"
	"go/parser"
	"go/token"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// doNotCompute are the files that take entries and policy in, keep them and
// describe what comes out. Every other file of the two packages computes, and each
// of its numbers wants a row in Constants.
var doNotCompute = []string{
	"entry/accept.go", "entry/accept_stays.go", "entry/canonical.go", "entry/decode.go", "entry/decode_value.go", "entry/entry.go",
	"entry/forms.go",
	"entry/issue.go", "entry/json.go", "entry/kinds.go", "entry/spec.go", "entry/value.go",
	"policy.go", "policy_decode.go", "policy_keys.go", "policy_fhir.go", "policy_read.go", "policy_thresholds.go", "sources.go",
	"sources_page.go",
	"summary.go", "summary_body.go", "summary_breathing.go", "summary_words.go",
}

// declared are the numbers of every declaration of this package and of entry, and
// of those of the files that compute.
func declared(t *testing.T) (all, computing map[string][]string) {
	t.Helper()
	files, err := filepath.Glob("*.go")
	entries, bad := filepath.Glob("entry/*.go")
	if err != nil || bad != nil || len(files) < 30 || len(entries) < 15 {
		t.Fatalf("%d files of the package found, and %d of entry: %v %v", len(files), len(entries), err, bad)
	}
	files = append(files, entries...)
	for _, name := range doNotCompute {
		if !slices.Contains(files, name) {
			t.Errorf("%s does not compute, and is no file", name)
		}
	}
	all, computing = map[string][]string{}, map[string][]string{}
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		for decl, numbers := range numbersOf(f) {
			all[decl] = append(all[decl], numbers...)
			if !slices.Contains(doNotCompute, name) {
				computing[decl] = append(computing[decl], numbers...)
			}
		}
	}
	return all, computing
}

func TestEveryNumberOfTheEngineHasASource(t *testing.T) {
	_, computing := declared(t)
	held, rows := 0, map[string][]string{}
	for _, g := range Constants {
		for _, c := range g.Constants {
			for _, decl := range c.In {
				rows[decl] = append(rows[decl], told(c.Value)...)
			}
		}
	}
	for decl, numbers := range computing {
		for _, n := range numbers {
			held++
			if !slices.ContainsFunc(rows[decl], func(told string) bool { return sameNumber(n, told) }) {
				t.Errorf("%s has the number %s, and no row of Constants tells it: say where it comes from in sources.go", decl, n)
			}
		}
	}
	if held < 120 {
		t.Errorf("only %d numbers found in the engine", held)
	}
}

func TestEverySourceStandsInTheEngine(t *testing.T) {
	all, computing := declared(t)
	for _, g := range Constants {
		for _, c := range g.Constants {
			var there []string
			for _, decl := range c.In {
				if _, ok := all[decl]; !ok {
					t.Errorf("%q stands in %s, which is in neither package", c.Name, decl)
				}
				there = append(there, computing[decl]...)
			}
			for _, n := range told(c.Value) { // 0, and a 1 that is not alone in a call, are no constants
				v, _, _ := strings.Cut(n, " ")
				if v == "0" || v == "1" && !slices.Contains(there, n) {
					continue
				}
				if !slices.ContainsFunc(there, func(code string) bool { return sameNumber(code, n) }) {
					t.Errorf("%q tells %s, and %v has no such number", c.Name, n, c.In)
				}
			}
			if len(c.In) == 0 || c.Name == "" || c.Value == "" || c.Use == "" {
				t.Errorf("%q says too little", c.Name)
			}
			switch c.Origin {
			case Published, OwnFit:
				if c.Source == "" {
					t.Errorf("%q is %s, and has no source", c.Name, c.Origin)
				}
			case CommonPractice, Invented, FromMemory, Definition:
			default:
				t.Errorf("%q has the mark %q", c.Name, c.Origin)
			}
		}
	}
}

func TestAValueFromMemoryIsNotCited(t *testing.T) {
	c := Constant{Name: "x", Value: "2", Use: "u", Origin: FromMemory, Source: "Somebody 1999"}
	if s := c.source(); !strings.HasPrefix(s, "none opened") {
		t.Errorf("a value from memory is cited as %q", s)
	}
	for _, k := range policyKeys {
		if k.origin == Published && k.why == "" {
			t.Errorf("%s is published, and does not say where", k.path)
		}
	}
}

func TestSourcesMarkdown(t *testing.T) {
	text := SourcesMarkdown()
	if text != SourcesMarkdown() {
		t.Error("two texts of one table differ")
	}
	for _, want := range []string{"Villar J et al., Lancet Glob Health 2015", "`every.rotationDue`", "`\"4h\"`",
		"55.53617", "| own fit |"} {
		if !strings.Contains(text, want) {
			t.Errorf("not in the text: %s", want)
		}
	}
	for line := range strings.Lines(text) {
		if cells := strings.Count(strings.ReplaceAll(line, `\|`, ""), "|"); strings.HasPrefix(line, "|") && cells != 7 && cells != 5 {
			t.Errorf("a row of %d cells: %s", cells-1, line)
		}
	}
}

// SOURCES.md tells the same, between these marks.
const (
	sourcesBegin = "<!-- sources: begin -->\n"
	sourcesEnd   = "<!-- sources: end -->\n"
)

var updateSources = flag.Bool("update-sources", false, "write the table of sources into SOURCES.md")

func TestSourcesPage(t *testing.T) {
	const name = "SOURCES.md"
	page, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	before, rest, begins := strings.Cut(string(page), sourcesBegin)
	told, after, ends := strings.Cut(rest, sourcesEnd)
	if !begins || !ends {
		t.Fatalf("%s has lost the marks round the table of sources", name)
	}
	if told == SourcesMarkdown() {
		return
	}
	if !*updateSources {
		t.Fatalf("%s is not the engine's table: go test ./handover -run SourcesPage -update-sources", name)
	}
	if err := os.WriteFile(name, []byte(before+sourcesBegin+SourcesMarkdown()+sourcesEnd+after), 0o644); err != nil {
		t.Fatal(err)
	}
}
