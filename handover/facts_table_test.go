package handover

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"cotline/handover/entry"
)

// The keys of an object are its own: two rows of one name would hide one another.
func TestFactNamesAreUnique(t *testing.T) {
	rows := 0
	var check func(path string, specs []FactSpec, names map[string]bool)
	check = func(path string, specs []FactSpec, names map[string]bool) {
		for _, s := range specs {
			rows++
			if s.Name == "" { // its parts stand here
				check(path, s.Of, names)
				continue
			}
			if names[s.Name] {
				t.Errorf("%s%s stands twice", path, s.Name)
			}
			names[s.Name] = true
			check(path+s.Name+".", s.Of, map[string]bool{})
		}
	}
	check("", wardFacts, map[string]bool{})
	if rows < 250 {
		t.Errorf("only %d rows", rows)
	}
}

// Units and labels that a row takes from the table of kinds are there.
func TestFactUnitsAreOfAField(t *testing.T) {
	files, err := filepath.Glob("facts*.go")
	if err != nil {
		t.Fatal(err)
	}
	found := 0
	for _, name := range files {
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, func(n ast.Node) bool {
			kind, field, ok := unitTaken(n)
			if !ok {
				return true
			}
			found++
			k, known := entry.KindOf(kind)
			if !known {
				t.Errorf("%s: no kind %q", name, kind)
			} else if _, known := k.Spec(field); field != "" && !known {
				t.Errorf("%s: kind %s has no field %q", name, kind, field)
			}
			return true
		})
	}
	if found < 15 {
		t.Errorf("only %d rows with a unit of a field", found)
	}
}

// unitTaken is the kind, and the field where one is named, that a row is described by.
func unitTaken(n ast.Node) (kind, field string, ok bool) {
	call, isCall := n.(*ast.CallExpr)
	if !isCall {
		return "", "", false
	}
	f, isMethod := call.Fun.(*ast.SelectorExpr)
	if !isMethod || f.Sel.Name != "of" && f.Sel.Name != "fieldsOf" {
		return "", "", false
	}
	words := []string{"", ""}
	for i, arg := range call.Args {
		literal, isLiteral := arg.(*ast.BasicLit)
		if !isLiteral || i > 1 {
			return "", "", false
		}
		words[i], _ = strconv.Unquote(literal.Value)
	}
	return words[0], words[1], true
}

// The three states stay apart, a figure left out says why, and what says nothing
// is not among the facts.
func TestFactStates(t *testing.T) {
	at := time.Date(2026, 3, 9, 7, 30, 0, 0, time.UTC)
	s := &Summary{
		Settings: []Setting{{Field: "fio2Percent",
			Fact: &NumberFact{entry.MustDecimal("28"), Source{At: at, By: "rn-reed", Entry: "e-1"}}}, {Field: "flowLMin"}},
		FiO2: known(FiO2Window{MeanPercent: leftOut[entry.Decimal]("no time in the window")}),
		Tubes: known([]Tube{{Use: "venting", Route: "nasal", MarkCm: entry.MustDecimal("15.5"), SizeFr: notCharted[entry.Decimal](),
			Source: Source{Entry: "e-2"}}}),
		Head: notCharted[Head](),
	}
	facts := s.Facts()
	for _, c := range []struct {
		path  string
		state State
		why   string
		entry string
		value any
	}{
		{"settings.fio2Percent", Charted, "", "e-1", entry.MustDecimal("28")},
		{"settings.flowLMin", NotCharted, "", "", nil},
		{"fio2.meanPercent", NotApplicable, "no time in the window", "", nil},
		{"tubes.venting.route", Charted, "", "e-2", "nasal"},
		{"tubes.venting.sizeFr", NotCharted, "", "e-2", nil},
		{"tubes.venting.moved", Charted, "", "", false}, // said by the whole record
		{"head", NotCharted, "", "", nil},
		{"bonnet", NotApplicable, "", "", nil},
		{"weight", NotApplicable, "", "", nil},
	} {
		f := Find(facts, c.path)
		if f == nil {
			t.Errorf("%s is not there", c.path)
			continue
		}
		if f.State != c.state || f.Why != c.why || f.Entry != c.entry || f.Value != c.value {
			t.Errorf("%s: state %d, why %q, entry %q, value %v", c.path, f.State, f.Why, f.Entry, f.Value)
		}
	}
	for _, path := range []string{"support.mode", "head.circumferenceCm", "tubes.feeding", "skin.dueAt", "tubes.in"} {
		if f := Find(facts, path); f != nil {
			t.Errorf("%s is there: %v", path, f.Value)
		}
	}
	if f := Find(facts, "settings.fio2Percent"); f.Remark != "%" || f.Label != "Set FiO2" {
		t.Errorf("not described by the table of kinds: %q, %q", f.Label, f.Remark)
	}
}

func TestLabelOf(t *testing.T) {
	for path, want := range map[string]string{
		"fio2": "FiO2 in the window", "indices.osi": "OSI (set CPAP and FiO2)", "settings.flowLMin": "Set flow",
		"observations.spo2Percent": "SpO2", "tubes": "gastric tube", "tubes.feeding": "feeding tube",
		"tubes.feeding.in": "feeding tube", "tubes.venting.sizeFr": "venting tube size", "skin.sites.naris-left": "naris left",
		"rotation.last": "last rotation", "bonnet.due": "bonnet due", "name": "name", "outlook.severity": "severity",
		"nothing.at.all": "", "settings.nothing": "",
	} {
		if got := LabelOf(path); got != want {
			t.Errorf("%s is %q, want %q", path, got, want)
		}
	}
}
