package archtest

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

const module = "cotline"

// root of the module, from this package's directory.
const root = "../.."

// source is a file of the module.
type source struct {
	dir, name string // below the root, with slashes
	set       *token.FileSet
	ast       *ast.File
	lines     []string
	data      []bool // lines that begin within a literal of several lines
}

// sources parses every Go file of the module. It leaves out nested modules, and
// directories that are hidden or hold test data.
func sources(t *testing.T, root string) (out []source) {
	t.Helper()
	set := token.NewFileSet()
	err := filepath.WalkDir(root, func(p string, d os.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(root, p)
		if err != nil {
			return err
		}
		rel = filepath.ToSlash(rel)
		if d.IsDir() {
			if rel == "." {
				return nil
			}
			_, nested := os.Stat(filepath.Join(p, "go.mod"))
			if nested == nil || strings.HasPrefix(d.Name(), ".") || d.Name() == "testdata" || d.Name() == "node_modules" {
				return filepath.SkipDir
			}
			return nil
		}
		if !strings.HasSuffix(rel, ".go") {
			return nil
		}
		text, err := os.ReadFile(p)
		if err != nil {
			return err
		}
		file, err := parser.ParseFile(set, p, text, parser.SkipObjectResolution|parser.ParseComments)
		if err != nil {
			return err
		}
		lines := strings.Split(string(text), "\n")
		out = append(out, source{path.Dir(rel), path.Base(rel), set, file, lines, inLiterals(set, file, len(lines))})
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// inLiterals says of each line whether it begins within a literal.
func inLiterals(set *token.FileSet, file *ast.File, lines int) []bool {
	in := make([]bool, lines)
	ast.Inspect(file, func(n ast.Node) bool {
		if l, ok := n.(*ast.BasicLit); ok {
			for i := set.Position(l.Pos()).Line; i < set.Position(l.End()).Line; i++ {
				in[i] = true
			}
		}
		return true
	})
	return in
}

// check says what is wrong with a file.
func check(s source) (faults []string) {
	add := func(format string, args ...any) {
		faults = append(faults, fmt.Sprintf("%s/%s %s", s.dir, s.name, fmt.Sprintf(format, args...)))
	}
	r, known := table[s.dir]
	if !known {
		add("is of a package without a row in the table")
		return faults
	}
	if strings.HasSuffix(s.name, "_test.go") {
		return nil
	}
	named := map[string]string{} // path by the name it goes by in the file
	for _, spec := range s.ast.Imports {
		imported, err := strconv.Unquote(spec.Path.Value)
		if err != nil {
			add("imports %s", spec.Path.Value)
			continue
		}
		name := goesBy(imported)
		if spec.Name != nil {
			name = spec.Name.Name
		}
		named[name] = imported
		if name == "." {
			add("imports %s without a name", imported)
		}
		if !allowed(s.dir, r, imported) {
			add("imports %s: %s", imported, r.why)
		}
		for _, never := range r.never {
			if matches(imported, ban[never].imports) {
				add("imports %s: never %s: %s", imported, never, r.why)
			}
		}
	}
	for _, never := range r.never {
		b := ban[never]
		ast.Inspect(s.ast, func(n ast.Node) bool {
			switch n := n.(type) {
			case *ast.SelectorExpr:
				if x, ok := n.X.(*ast.Ident); ok && slices.Contains(b.names[named[x.Name]], n.Sel.Name) {
					add("names %s.%s: never %s: %s", named[x.Name], n.Sel.Name, never, r.why)
				}
			case *ast.Field:
				if b.tags && n.Tag != nil {
					add("has a tag %s: never %s: %s", n.Tag.Value, never, r.why)
				}
			}
			return true
		})
	}
	return faults
}

// goesBy is the name a package goes by unless it is given another: the last part
// of its path, without a version.
func goesBy(imported string) string {
	name := path.Base(imported)
	if len(name) > 1 && name[0] == 'v' && strings.Trim(name[1:], "0123456789") == "" {
		name = path.Base(path.Dir(imported))
	}
	return name
}

// matches says whether a path is listed; x/... is x and all below it.
func matches(imported string, list []string) bool {
	return slices.ContainsFunc(list, func(p string) bool {
		base, below := strings.CutSuffix(p, "/...")
		return imported == base || below && strings.HasPrefix(imported, base+"/")
	})
}

func allowed(dir string, r row, imported string) bool {
	if of, ours := strings.CutPrefix(imported, module+"/"); ours {
		if matches(of, tests) && !slices.Contains(tests, dir) {
			return false
		}
		return slices.Contains(r.module, "*") || matches(of, r.module)
	}
	if first, _, _ := strings.Cut(imported, "/"); !strings.Contains(first, ".") {
		return true // the standard library; bans say what of it is not allowed
	}
	return slices.ContainsFunc(r.others, func(p string) bool { return imported == p || strings.HasPrefix(imported, p+"/") })
}
