package handover_test

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"maps"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"cotline/handover/entry"
)

// readsField are the calls that read a field of an entry by name, with the place
// of the name among their arguments.
var readsField = map[string]int{
	"Text": 0, "Has": 0, "Flag": 0, "List": 0, "Number": 0, "Moment": 0, "Reference": 0, "Names": 0, // of an entry
	"having": 0, "being": 0, "identity": 0, "identified": 0, "settingsOf": 1, "setAt": 1, "lookup": 1,
	"Field": 0, // of an object in a field
}

// otherDocuments read by the same calls what is no entry: the unit's policy.
var otherDocuments = []string{"handover/policy_decode.go", "handover/policy_thresholds.go"}

// otherTrees hold code that reads FHIR documents, forms or flags by the same calls, or is
// a module of its own.
var otherTrees = []string{"oracle", "r4", "read", "storetest", "web"}

// fieldNames are the fields of every kind, those inside objects and lists too.
func fieldNames() map[string]bool {
	names := map[string]bool{}
	var add func(specs []entry.Spec)
	add = func(specs []entry.Spec) {
		for _, s := range specs {
			names[s.Name] = true
			add(s.Of)
		}
	}
	add(entry.Common)
	for _, k := range entry.Kinds {
		add(k.Fields)
	}
	return names
}

// A field that is read under a name which no kind has is never there: the compiler
// cannot see it, so this does.
func TestFieldsAreReadByTheirNames(t *testing.T) {
	names, read, files := fieldNames(), map[string]bool{}, 0
	err := filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && path != ".." && strings.HasPrefix(d.Name(), "."), d.IsDir() && slices.Contains(otherTrees, d.Name()):
			return fs.SkipDir
		case !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go"):
			return nil
		}
		name, err := filepath.Rel("..", path)
		if err != nil || slices.Contains(otherDocuments, filepath.ToSlash(name)) {
			return err
		}
		files++
		set := token.NewFileSet()
		file, err := parser.ParseFile(set, path, nil, 0)
		if err != nil {
			return err
		}
		ast.Inspect(file, func(n ast.Node) bool {
			field, ok := fieldRead(n, file.Name.Name)
			if ok && !names[field] {
				t.Errorf("%s reads %q, and no kind of entry has that field", set.Position(n.Pos()), field)
			}
			read[field] = read[field] || ok
			return true
		})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	if files < 150 || len(read) < 50 {
		t.Errorf("only %d files and %d fields were looked at: %v", files, len(read), slices.Sorted(maps.Keys(read)))
	}
}

// fieldRead is the name of the field that a call reads, if it is a literal. Plain
// functions of these names are those of the engine only.
func fieldRead(n ast.Node, pkg string) (string, bool) {
	call, ok := n.(*ast.CallExpr)
	if !ok {
		return "", false
	}
	var name string
	switch f := call.Fun.(type) {
	case *ast.Ident:
		if pkg == "handover" {
			name = f.Name
		}
	case *ast.SelectorExpr:
		name = f.Sel.Name
	}
	place, ok := readsField[name]
	if !ok || len(call.Args) <= place {
		return "", false
	}
	literal, ok := call.Args[place].(*ast.BasicLit)
	if !ok || literal.Kind != token.STRING {
		return "", false
	}
	field, err := strconv.Unquote(literal.Value)
	return field, err == nil
}

func TestFieldReadKnowsATypo(t *testing.T) {
	for source, want := range map[string]string{
		`e.Text("rout")`: "rout", `r.setAt(s, "fio2", t)`: "fio2", `latest(x, having("sise"))`: "sise",
	} {
		expr, err := parser.ParseExpr(source)
		if err != nil {
			t.Fatal(err)
		}
		found := ""
		ast.Inspect(expr, func(n ast.Node) bool {
			if field, ok := fieldRead(n, "handover"); ok {
				found = field
			}
			return true
		})
		if found != want || fieldNames()[found] {
			t.Errorf("%s: %q", source, found)
		}
	}
}
