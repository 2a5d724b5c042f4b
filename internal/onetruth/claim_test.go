package onetruth

import (
	"strings"
	"testing"
)

// claims are the rows that claim a path. Tests that use it run one after the other.
func claims(path string) []row {
	if out, ok := claimed[path]; ok {
		return out
	}
	var out []row
	for _, r := range table {
		for _, p := range strings.Fields(r.paths) {
			if covers(strings.Split(p, "."), strings.Split(path, ".")) {
				out = append(out, r)
			}
		}
	}
	claimed[path] = out
	return out
}

var claimed = map[string][]row{} // what was found before

// covers holds a path to a pattern, step by step.
func covers(pattern, path []string) bool {
	for i, step := range pattern {
		if step == "**" {
			return len(path) > i
		}
		if i >= len(path) || step != "*" && step != path[i] {
			return false
		}
	}
	return len(pattern) == len(path)
}

// unclaimed says which paths of the facts no row claims, or two do.
func unclaimed(f facts) []string {
	var out []string
	told := map[string]bool{}
	for key := range f {
		path := general(key)
		if n := len(claims(path)); n != 1 && !told[path] {
			told[path] = true
			if n == 0 {
				out = append(out, path+" has no row: say where each face tells it, or why not")
			} else {
				out = append(out, path+" has more than one row")
			}
		}
	}
	return out
}

// expected are the facts that a face is to tell: those whose row says where.
func (f facts) expected(column func(row) string) facts {
	out := facts{}
	for key, value := range f {
		if all := claims(general(key)); len(all) == 1 && !strings.HasPrefix(column(all[0]), "–") {
			out[key] = value
		}
	}
	return out
}

// A fact without a row is found.
func TestClaims(t *testing.T) {
	if got := unclaimed(facts{"in-01 settings.oxygenColour.value": "blue"}); len(got) != 0 {
		t.Errorf("a setting of its own needs no row of its own: %v", got)
	}
	if got := unclaimed(facts{"in-01 aura": "blue", "in-02 aura.at": "now"}); len(got) != 2 {
		t.Errorf("two new facts: %v", got)
	}
	if got := general("in-01 notes[a [b] c].by"); got != "notes[].by" {
		t.Error(got)
	}
}
