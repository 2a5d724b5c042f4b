package web

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"maps"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

// literals are the texts in the sources of pages, with where: those that a call of package
// words says, and the others. A word alone, with a capital, is text where it is all that is
// said.
func literals(t testing.TB) (said, others sources) {
	t.Helper()
	said, others = sources{map[string]string{}, map[string]string{}}, sources{map[string]string{}, map[string]string{}}
	for _, file := range pageSources(t) {
		eachLiteral(t, file, func(text, where string, is bool) {
			if is {
				said.add(text, where)
			} else {
				others.add(text, where)
			}
		})
	}
	return said, others
}

// pageSources are the files of Go that pages are made by.
func pageSources(t testing.TB) (out []string) {
	t.Helper()
	for _, folder := range []string{".", "forms"} {
		files, err := filepath.Glob(folder + "/*.go")
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, files...)
	}
	return slices.DeleteFunc(out, func(file string) bool { return strings.HasSuffix(file, "_test.go") })
}

// sources are phrases, and words alone, with where they stand.
type sources struct{ phrases, alone map[string]string }

func (x sources) add(text, where string) {
	for piece := range strings.SplitSeq(verbs.ReplaceAllString(text, "\n"), "\n") {
		piece = squeezed(strings.Trim(piece, " \t.,;:!?()–"))
		switch {
		case !letters.MatchString(piece):
		case strings.Contains(piece, " "):
			x.phrases[piece] = where
		case strings.ToLower(piece) != piece:
			x.alone[piece] = where
		}
	}
}

var verbs = regexp.MustCompile(`%[+#]?[a-z]`)

// eachLiteral are the strings of a file, and whether a call of package words has them.
func eachLiteral(t testing.TB, file string, do func(text, where string, said bool)) {
	t.Helper()
	files := token.NewFileSet()
	tree, err := parser.ParseFile(files, file, nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	said := map[ast.Node]bool{}
	ast.Inspect(tree, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.ImportSpec, *ast.Field: // a tag
			return false
		case *ast.CallExpr:
			if f, is := n.Fun.(*ast.SelectorExpr); is {
				if x, is := f.X.(*ast.Ident); is && x.Name == "words" {
					said[n.Args[0]] = true
				}
			}
		case *ast.BasicLit:
			if n.Kind == token.STRING {
				text, err := strconv.Unquote(n.Value)
				if err != nil {
					t.Fatal(err)
				}
				do(text, fmt.Sprintf("%s:%d", file, files.Position(n.Pos()).Line), said[n])
			}
		}
		return true
	})
}

// notRead are the phrases of the sources that nobody reads on a page, by what they are.
var notRead = [][]string{
	{ // errors and causes that a page says in words of its own, or none
		"a page could not be made", "another policy was put in force meanwhile", "another site", "has no main part", "no kind",
		"no method",
		"no page", "no route", "somebody else filled this in", "the record changed meanwhile", "there is no such infant here",
		"there is no such page", "there is no such table", "this came from another site", "this page is not asked so", "too often",
		"what was sent is no form", "what was sent is too large",
	},
	{ // the log and the trace
		"a fault of the program ended a request", "a fault of the program in compiling the ward", "a request failed", "another fault",
		"entries were taken, but what proves them whole could not be kept", "kept on the device", "no PDF was made",
		"more than 256 KiB", "no policy is in force",
		"as signed", "requests that lasted too long were cut off", "the new certificate cannot be used, the one before stays",
		"the record is not what was taken: run cotline verify, and hold against paper", "the ward cannot be compiled", "wrong infant",
	},
	{"is wanted", "programs are given no tokens here", "too large", "too many requests"}, // to programs
	{"moved 0", "retraction of"}, // ids follow from them
	{`<time datetime="`},         // markup
	{"Mon 2 Jan", "Mon 2 Jan 15:04", "Monday 2 January 2006", "Monday 2 January, 15:04", "2 Jan 2006 15:04",
		"2 Jan 2006 15:04:05 -07:00"},
	{ // facts by their paths, and the engine's rows by their labels
		"next tasks plans", "support settings limits fio2 spo2 indices", "observations silverman gas episodes alarms",
		"interface rotation hoursUnder skin bonnet", "humidifier setup safety", "head weight birthWeight",
		"outlook notes told thresholds remarks doubts", "handedOver since new", "gaps notComputed old",
		"sex mother visit birthOrder multiples age", "Not charted", "Support, Limits, Oxygen, Seen, Gas, Alarms, Outlook",
		"Interface, Skin", "Growth, Growth by",
	},
}

var ofTheWire = regexp.MustCompile(`^(text|attachment|inline|default-src|manifest-src|base-uri|camera|max-age|public|0|const)[/; =(,-]`)

// Whatever phrase stands in the sources is said by way of the catalogue, or nobody reads it.
func TestEveryTextIsSaid(t *testing.T) {
	_, others := literals(t)
	listed := slices.Concat(notRead...)
	for _, phrase := range slices.Sorted(maps.Keys(others.phrases)) {
		if !slices.Contains(listed, phrase) && !ofTheWire.MatchString(phrase) {
			t.Errorf("%s: %q is not said by package words, nor listed as what nobody reads", others.phrases[phrase], phrase)
		}
	}
	for _, phrase := range listed {
		if others.phrases[phrase] == "" {
			t.Errorf("%q is listed, and not in the sources", phrase)
		}
	}
}

// How long something holds is said in the unit that people count in.
func TestWaitingIsSaid(t *testing.T) {
	for d, want := range map[time.Duration]string{30 * time.Second: "31 seconds", 10 * time.Minute: "10 minutes",
		90*time.Minute + time.Second: "91 minutes", 24 * time.Hour: "24 hours", 25*time.Hour - time.Second: "25 hours"} {
		if got := waiting(d); got != want {
			t.Errorf("%s: %s", d, got)
		}
	}
}

// What is charted for the unit says so, and what admits an infant does not.
func TestUnitIsNamedWhereItIsCharted(t *testing.T) {
	b := newServer(t, nil)
	v := b.as(t, "nurse")
	for sheet, want := range map[string]string{"": "The unit: Chart", "/note": "The unit: Note", "/task": "The unit: Task",
		"/admission": "Admission"} {
		if page := v.get(t, chartPath("fern", "")+sheet).body; !strings.Contains(page, "<h1>"+want+"</h1>") {
			t.Errorf("%s: no %q", sheet, want)
		}
	}
}
