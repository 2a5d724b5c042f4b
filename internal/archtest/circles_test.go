package archtest

import (
	"fmt"
	"go/ast"
	"go/importer"
	"go/parser"
	"go/token"
	"go/types"
	"io"
	"maps"
	"os"
	"os/exec"
	"path"
	"slices"
	"strings"
	"testing"
)

// longestCircle is how many files of a package may know each other, directly or by
// way of one another. Whoever changes one of them has to read them all.
const longestCircle = 8

func TestCirclesAreShort(t *testing.T) {
	l := newLoader(sources(t, root))
	for _, dir := range slices.Sorted(maps.Keys(l.files)) {
		circle := longest(l.references(dir))
		t.Logf("%s: %d files, longest circle %d", dir, len(l.files[dir]), len(circle))
		if len(circle) > longestCircle {
			t.Errorf("%s: a circle of %d files, at most %d: %s", dir, len(circle), longestCircle, strings.Join(circle, " "))
		}
	}
}

// The test itself finds what it is for: each file uses the next in one of the ways
// that Go has, the last the first.
func TestCirclesAreFound(t *testing.T) {
	ring := []string{
		`const C = D`,                               // a constant
		`const D = len(E{}.list)`,                   // a field
		`type E struct { list [2]F }`,               // a type
		`type F int; func (F) f() int { return g }`, // a variable
		`var g = h()`,                               // a function
		`func h() int { return new(I).i() }`,        // a method
		`import "slices"
		type I struct{}
		func (*I) i() int { return slices.Max([]J{{}}).j }`, // a field of what a standard function returns
		`type J struct { j int }; var _ = K[int]{}.k`, // a field of a generic type
		`type K[T any] struct { k T }`,
	}
	for name, c := range map[string]struct {
		last string
		want int
	}{
		"closed": {"; var _ = C", len(ring)},
		"open":   {"", 1},
	} {
		t.Run(name, func(t *testing.T) {
			set := token.NewFileSet()
			var files []source
			for i, text := range ring {
				if i == len(ring)-1 {
					text += c.last
				}
				file, err := parser.ParseFile(set, fmt.Sprintf("%d.go", i), "package a\n"+text, parser.SkipObjectResolution)
				if err != nil {
					t.Fatal(err)
				}
				files = append(files, source{dir: "a", name: fmt.Sprintf("%d.go", i), set: set, ast: file})
			}
			if circle := longest(newLoader(files).references("a")); len(circle) != c.want {
				t.Errorf("%d files, want %d: %v", len(circle), c.want, circle)
			}
		})
	}
}

// loader knows the types of the module's packages, which it reads from their source, and of
// the standard library. A third party's package is empty to it: its
// values lead to none of ours.
type loader struct {
	files    map[string][]source // by folder, without tests
	packages map[string]*types.Package
	uses     map[string]map[*ast.Ident]types.Object
	standard types.Importer
}

func newLoader(all []source) *loader {
	l := &loader{
		files:    map[string][]source{},
		packages: map[string]*types.Package{},
		uses:     map[string]map[*ast.Ident]types.Object{},
	}
	for _, s := range all {
		if !strings.HasSuffix(s.name, "_test.go") {
			l.files[s.dir] = append(l.files[s.dir], s)
		}
	}
	l.standard = importer.ForCompiler(token.NewFileSet(), "gc", l.compiled())
	return l
}

// compiled opens what the compiler left of each package of the standard library that a
// source imports. It was compiled for this test's own run, so the go command only tells where it lies.
func (l *loader) compiled() importer.Lookup {
	args := []string{"list", "-export", "-f", "{{.ImportPath}}\t{{.Export}}"}
	for _, files := range l.files {
		for _, s := range files {
			for _, i := range s.ast.Imports {
				if imported := strings.Trim(i.Path.Value, `"`); !outside(imported) && !slices.Contains(args, imported) {
					args = append(args, imported)
				}
			}
		}
	}
	out, err := exec.Command("go", args...).Output()
	lies := map[string]string{}
	for line := range strings.Lines(string(out)) {
		imported, file, _ := strings.Cut(strings.TrimSpace(line), "\t")
		lies[imported] = file
	}
	return func(imported string) (io.ReadCloser, error) {
		if err != nil {
			return nil, fmt.Errorf("go list: %w", err)
		}
		return os.Open(lies[imported])
	}
}

// outside says whether an import is not of the standard library.
func outside(imported string) bool {
	first, _, _ := strings.Cut(imported, "/")
	return first == module || strings.Contains(first, ".")
}

// Import is a package that one of ours imports.
func (l *loader) Import(imported string) (*types.Package, error) {
	if dir, ours := strings.CutPrefix(imported, module+"/"); ours {
		return l.load(dir), nil
	}
	if !outside(imported) {
		return l.standard.Import(imported)
	}
	p := types.NewPackage(imported, goesBy(imported))
	p.MarkComplete()
	return p, nil
}

func (l *loader) load(dir string) *types.Package {
	if p := l.packages[dir]; p != nil {
		return p
	}
	var files []*ast.File
	for _, s := range l.files[dir] {
		files = append(files, s.ast)
	}
	info := &types.Info{Uses: map[*ast.Ident]types.Object{}}
	config := types.Config{Importer: l, Error: func(error) {}} // what uses a third party has errors
	p, _ := config.Check(module+"/"+dir, l.files[dir][0].set, files, info)
	l.packages[dir], l.uses[dir] = p, info.Uses
	return p
}

// references are, of each file of a package, the other files that it refers to.
func (l *loader) references(dir string) map[string]map[string]bool {
	p, out := l.load(dir), map[string]map[string]bool{}
	for _, s := range l.files[dir] {
		out[s.name] = map[string]bool{}
		ast.Inspect(s.ast, func(n ast.Node) bool {
			id, ok := n.(*ast.Ident)
			if !ok {
				return true
			}
			of := l.uses[dir][id]
			if of == nil || of.Pkg() != p || !of.Pos().IsValid() {
				return true
			}
			out[s.name][path.Base(s.set.Position(of.Pos()).Filename)] = true
			return true
		})
	}
	return out
}

// longest is the largest set of files each of which reaches all others.
func longest(refers map[string]map[string]bool) (circle []string) {
	reach := map[string]map[string]bool{}
	for from := range refers {
		reach[from] = map[string]bool{}
		for next := []string{from}; len(next) > 0; next = next[1:] {
			if !reach[from][next[0]] {
				reach[from][next[0]] = true
				next = slices.AppendSeq(next, maps.Keys(refers[next[0]]))
			}
		}
	}
	for _, from := range slices.Sorted(maps.Keys(reach)) {
		var with []string
		for _, to := range slices.Sorted(maps.Keys(reach[from])) {
			if reach[to][from] {
				with = append(with, to)
			}
		}
		if len(with) > len(circle) {
			circle = with
		}
	}
	return circle
}
