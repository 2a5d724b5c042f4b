package archtest

import (
	"go/ast"
	"go/parser"
	"go/token"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"cotline/handover/entry"
)

// The files codes*.go of the one folder that every code of a published system, and of our
// own, stands in.
const codesDir = "fhir/internal/r4"

func holdsCodes(dir, name string) bool {
	return dir == codesDir && strings.HasPrefix(name, "codes") && !strings.HasSuffix(name, "_test.go")
}

// Numbers of LOINC, and identifiers of SNOMED CT: 6 to 18 digits, none of them a
// leading nought (SNOMED CT Release File Specifications, 4.1).
var published = regexp.MustCompile(`^(\d{1,7}-\d|[1-9]\d{5,17})$`)

// Own codes that name something else too, which stays as it is: the role of a figure in its
// document, of which identities derive; a profile, and a value set.
var names = []string{"day-of-life", "postmenstrual-age", "safety-check", "blood-gas", "gas-sample"}

func TestCodesStandInOnePlace(t *testing.T) {
	all := sources(t, root)
	own := slices.DeleteFunc(ownCodes(all), func(code string) bool { return slices.Contains(names, code) || inRecord(entry.Kinds, code) })
	if len(own) < 30 {
		t.Fatalf("%d own codes in %s", len(own), codesDir)
	}
	for _, s := range all {
		if fault := codeLiterals(s, own); len(fault) > 0 {
			t.Errorf("%s/%s: code literals outside %s/codes*.go: %s", s.dir, s.name, codesDir, strings.Join(fault, " "))
		}
	}
}

// The test itself finds what it is for.
func TestCodeLiteralsAreFound(t *testing.T) {
	for name, c := range map[string]struct{ dir, file, text, want string }{
		"LOINC":              {"fhir", "a.go", `var _ = loinc("2708-6")`, `"2708-6"`},
		"LOINC, raw":         {"fhir/read", "a.go", "var _ = `59408-5`", "`59408-5`"},
		"SNOMED CT":          {"fhir/guide", "a.go", `var _ = map[string]bool{"422543003": true}`, `"422543003"`},
		"our own":            {"fhir", "a.go", `var _ = own("skin-site")`, `"skin-site"`},
		"our own, in r4":     {"fhir/internal/r4", "a.go", `var _ = "skin-site"`, `"skin-site"`},
		"in their files":     {"fhir/internal/r4", "codes.go", `var _ = loinc("2708-6")`, ""},
		"one of a family":    {"fhir/internal/r4", "codes_care.go", `var _ = loinc("2708-6")`, ""},
		"a file like it":     {"fhir", "codes.go", `var _ = loinc("2708-6")`, `"2708-6"`},
		"tests":              {"fhir", "a_test.go", `var _ = loinc("2708-6")`, ""},
		"elsewhere":          {"handover", "a.go", `var _ = "2708-6"`, ""},
		"digits":             {"fhir", "a.go", `var _ = "0123456789"`, ""},
		"a date, a position": {"fhir", "a.go", `var _, _ = "2006-01-02", "12"`, ""},
		"an import":          {"fhir", "a.go", `import _ "skin-site"`, ""},
	} {
		t.Run(name, func(t *testing.T) {
			file, err := parser.ParseFile(token.NewFileSet(), "a.go", "package a\n"+c.text, parser.SkipObjectResolution)
			if err != nil {
				t.Fatal(err)
			}
			got := strings.Join(codeLiterals(source{dir: c.dir, name: c.file, ast: file}, []string{"skin-site"}), " ")
			if got != c.want {
				t.Errorf("found %s, want %s", got, c.want)
			}
		})
	}
}

// ownCodes are the first arguments of own in the files of the codes.
func ownCodes(all []source) (out []string) {
	for _, s := range all {
		if !holdsCodes(s.dir, s.name) {
			continue
		}
		ast.Inspect(s.ast, func(n ast.Node) bool {
			if call, ok := n.(*ast.CallExpr); ok && len(call.Args) > 0 {
				name, named := call.Fun.(*ast.Ident)
				code, literal := call.Args[0].(*ast.BasicLit)
				if named && literal && name.Name == "own" {
					if text, err := strconv.Unquote(code.Value); err == nil {
						out = append(out, text)
					}
				}
			}
			return true
		})
	}
	return out
}

// inRecord says whether a code is a kind's or a field's name too: as that it stands
// wherever entries are read.
func inRecord(kinds []entry.Kind, code string) bool {
	var named func([]entry.Spec) bool
	named = func(fields []entry.Spec) bool {
		return slices.ContainsFunc(fields, func(s entry.Spec) bool { return s.Name == code || named(s.Of) })
	}
	return slices.ContainsFunc(kinds, func(k entry.Kind) bool { return k.Name == code || named(k.Fields) })
}

// codeLiterals are the literals of product code that are codes.
func codeLiterals(s source, own []string) (out []string) {
	if s.dir != "fhir" && !strings.HasPrefix(s.dir, "fhir/") || holdsCodes(s.dir, s.name) ||
		strings.HasSuffix(s.name, "_test.go") {
		return nil
	}
	ast.Inspect(s.ast, func(n ast.Node) bool {
		if _, imports := n.(*ast.ImportSpec); imports {
			return false
		}
		l, ok := n.(*ast.BasicLit)
		if !ok || l.Kind != token.STRING {
			return true
		}
		if text, err := strconv.Unquote(l.Value); err == nil && (published.MatchString(text) || slices.Contains(own, text)) {
			out = append(out, l.Value)
		}
		return true
	})
	return out
}
