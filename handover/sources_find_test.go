package handover

import (
	"go/ast"
	"go/parser"
	"go/token"
	"math/big"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// numbersOf finds the numeric constants of each declaration of a file: every
// literal but 0 and 1, also in the text that MustDecimal reads; 1 where Int or
// apd.New takes it; apd.New(3, -3) is 3e-3; a unit of time goes with its factor
// (30 * time.Minute is "30 min"), and is none where it multiplies a variable.
// Indices, slice bounds, array lengths and the sizes of make are places, not values.
func numbersOf(f *ast.File) map[string][]string {
	out := map[string][]string{}
	for _, d := range f.Decls {
		switch d := d.(type) {
		case *ast.FuncDecl:
			name := methodOf(d) + d.Name.Name
			out[name] = append(out[name], numbersIn(d)...)
		case *ast.GenDecl:
			for _, s := range d.Specs {
				if v, ok := s.(*ast.ValueSpec); ok {
					out[v.Names[0].Name] = append(out[v.Names[0].Name], numbersIn(v)...)
				}
			}
		}
	}
	return out
}

// methodOf is the type of a method with a point; a method of a reading, of which
// there are many, goes by its name alone.
func methodOf(d *ast.FuncDecl) string {
	if d.Recv == nil {
		return ""
	}
	t := d.Recv.List[0].Type
	if p, ok := t.(*ast.StarExpr); ok {
		t = p.X
	}
	if name := called(t); name != "" && name != "reading" {
		return name + "."
	}
	return ""
}

func numbersIn(root ast.Node) []string {
	var out []string
	var visit func(ast.Node) bool
	walk := func(n ast.Node) { ast.Inspect(n, visit) }
	visit = func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.IndexExpr:
			walk(n.X)
			return false
		case *ast.SliceExpr:
			walk(n.X)
			return false
		case *ast.ArrayType:
			return false
		case *ast.BinaryExpr:
			if unit := unitOf(n.Y); unit != "" && n.Op == token.MUL {
				if last := factor(n.X); last != "" {
					if x, ok := n.X.(*ast.BinaryExpr); ok {
						walk(x.X)
					}
					out = append(out, last+" "+unit)
				} else {
					walk(n.X)
				}
				return false
			}
		case *ast.SelectorExpr:
			if unit := unitOf(n); unit != "" {
				out = append(out, "1 "+unit)
				return false
			}
		case *ast.CallExpr:
			switch name := strings.TrimPrefix(called(n.Fun), "entry."); {
			case name == "make":
				return false
			case name == "float64" && unitOf(n.Args[0]) != "": // a conversion, not a time
				return false
			case name == "MustDecimal":
				if l, ok := n.Args[0].(*ast.BasicLit); ok {
					out = append(out, strings.Trim(l.Value, `"`))
				}
				return true
			case name == "Int" || name == "apd.New":
				if l, ok := n.Args[0].(*ast.BasicLit); ok {
					s := l.Value
					if len(n.Args) > 1 {
						if e, ok := n.Args[1].(*ast.UnaryExpr); ok && e.Op == token.SUB {
							s += "e-" + e.X.(*ast.BasicLit).Value
						}
					}
					if s != "0" {
						out = append(out, s)
					}
					return false
				}
			}
		case *ast.BasicLit:
			if n.Kind == token.FLOAT || n.Kind == token.INT {
				if v, ok := new(big.Rat).SetString(n.Value); !ok || v.Sign() != 0 && v.Cmp(big.NewRat(1, 1)) != 0 {
					out = append(out, n.Value)
				}
			}
		}
		return true
	}
	walk(root)
	return out
}

func called(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.Ident:
		return e.Name
	case *ast.SelectorExpr:
		if x, ok := e.X.(*ast.Ident); ok {
			return x.Name + "." + e.Sel.Name
		}
	}
	return ""
}

func unitOf(e ast.Expr) string {
	return map[string]string{"time.Hour": "h", "time.Minute": "min", "time.Second": "s"}[called(e)]
}

// factor is the literal that a unit of time is multiplied by, empty for a variable.
func factor(e ast.Expr) string {
	switch e := e.(type) {
	case *ast.BasicLit:
		return e.Value
	case *ast.BinaryExpr:
		if e.Op == token.MUL {
			return factor(e.Y)
		}
	}
	return ""
}

// A number in words: not part of a name (SpO2, J5) or of a greater number, with
// its unit of time where it has one.
var toldNumber = regexp.MustCompile(`(?:^|[^A-Za-z0-9.])([0-9]+(?:\.[0-9]+)?(?:e-?[0-9]+)?)( (?:h|min|s)\b)?`)

// told are the numbers of a row's value.
func told(value string) []string {
	var out []string
	for _, m := range toldNumber.FindAllStringSubmatch(value, -1) {
		out = append(out, m[1]+m[2])
	}
	return out
}

// sameNumber compares two numbers by value, units of time too. A plain literal may be
// told with its unit: const seconds = 60 as "60 s".
func sameNumber(code, words string) bool {
	a, unit, _ := strings.Cut(code, " ")
	b, told, _ := strings.Cut(words, " ")
	if unit != "" && unit != told {
		return false
	}
	x, _ := new(big.Rat).SetString(a)
	y, _ := new(big.Rat).SetString(b)
	return x != nil && y != nil && x.Cmp(y) == 0
}

// The finder itself: what is a number of a formula, and what is none.
func TestNumbersAreFound(t *testing.T) {
	const source = `package p
import "time"
const pull = 0.97
var limit, other = MustDecimal("1.11"), Int(1)
func f(x float64, s []int, d int) {
	_ = 3.5*x + 1 - 0.0
	_ = apd.New(3, -3); _ = apd.New(7, 0); _ = apd.New(0, 0)
	_ = 30 * time.Minute; _ = 7 * 24 * time.Hour; _ = -time.Hour; _ = time.Duration(d) * time.Second
	_ = s[len(s)-2]; _ = s[2:]; _ = make([]int, 3*d); _ = [4]int{}
	_ = 27*7 + 6
}`
	f, err := parser.ParseFile(token.NewFileSet(), "p.go", source, 0)
	if err != nil {
		t.Fatal(err)
	}
	got := numbersOf(f)
	want := map[string][]string{"pull": {"0.97"}, "limit": {"1.11", "1"},
		"f": {"3.5", "3e-3", "7", "30 min", "7", "24 h", "1 h", "27", "7", "6"}}
	for decl, numbers := range want {
		if !slices.Equal(got[decl], numbers) {
			t.Errorf("%s: %v, want %v", decl, got[decl], numbers)
		}
	}
	if got := told("SpO2 % × 3e-3, 7 days of 24 h, 27+0 to −5800.2206, √2.43, x²"); !slices.Equal(got,
		[]string{"3e-3", "7", "24 h", "27", "0", "5800.2206", "2.43"}) {
		t.Errorf("told: %v", got)
	}
}
