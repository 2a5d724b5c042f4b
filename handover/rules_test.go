package handover_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"cotline/handover"
)

// holds checks facts against lines of "path = value"; - says that the path is not
// there. A line "only path" says that no other fact stands under that path.
// Paths of the infant a may leave out infants.a.
func holds(t testing.TB, h *handover.Handover, want string) {
	t.Helper()
	all := facts(h)
	wanted := map[string]bool{}
	var only []string
	for _, line := range strings.Split(want, "\n") {
		if line = strings.TrimSpace(line); line == "" {
			continue
		}
		if path, ok := strings.CutPrefix(line, "only "); ok {
			only = append(only, path)
			continue
		}
		path, value, ok := strings.Cut(line, " = ")
		if !ok {
			t.Fatalf("no fact: %q", line)
		}
		path = strings.TrimPrefix(path, "infants.a.")
		wanted[path] = true
		if got := valueAt(all, path); got != value {
			t.Errorf("%s\n  got  %s\n  want %s", path, got, value)
		}
	}
	for _, f := range all {
		path := strings.TrimPrefix(f.path, "infants.a.")
		for _, under := range only {
			if (path == under || strings.HasPrefix(path, under+".")) && !wanted[path] {
				t.Errorf("%s = %s\n  want nothing there", path, f.value)
			}
		}
	}
}

func valueAt(all []fact, path string) string {
	i := slices.IndexFunc(all, func(f fact) bool { return strings.TrimPrefix(f.path, "infants.a.") == path })
	if i >= 0 {
		return all[i].value
	}
	if slices.ContainsFunc(all, func(f fact) bool { return strings.HasPrefix(strings.TrimPrefix(f.path, "infants.a."), path+".") }) {
		return "(has parts)"
	}
	return "-"
}

// text is every fact of a handover, one a line.
func text(h *handover.Handover) string {
	var b strings.Builder
	for _, f := range facts(h) {
		fmt.Fprintf(&b, "%s = %s\n", f.path, f.value)
	}
	return b.String()
}

// rule is one row of a table of rules: what is charted beside a common story, and
// what then holds at a moment.
type rule struct {
	name, record, when, want string
}

// rules checks each row. Policy is JSON, empty for the defaults.
func rules(t *testing.T, policy, common string, rows []rule) {
	t.Helper()
	p := readPolicy(t, cmpOr(policy, "{}"))
	for _, r := range rows {
		t.Run(r.name, func(t *testing.T) {
			t.Helper()
			holds(t, compiled(t, p, common+"\n"+r.record, r.when), r.want)
		})
	}
}

func cmpOr(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

// admitted begins the story of a, a girl of 27+0 born on the first.
const admitted = "#1 1 06:00 admission born=2026-10-01 cot=7 mrn=4711 sex=female gestation=27+0\n"

// onCPAP goes on with support from the 24th at 06:00.
const onCPAP = admitted + "#2 24 06:00 support state=started mode=cpap\n"
