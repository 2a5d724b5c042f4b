package web

import (
	"strings"
	"testing"

	"cotline/internal/sheets"
)

// Every figure of an infant stands on its page, once, and leads to the entry that it comes
// from; of every figure that cannot be computed it is said what lacks, in the line that
// would tell it.
func TestInfantOpensToEntries(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	v := b.as(t, "nurse")
	led, lacked := 0, 0
	of := map[string]string{} // the infant of an entry
	for _, e := range b.held(t).Entries {
		of[e.ID] = e.Infant
	}
	for _, f := range look(t, b.fern.live()).Ward().Infants {
		text := v.get(t, infantPath("fern", f.Infant)).body
		links := map[string]int{}
		want := map[string]int{}
		for _, n := range nodes(t, text, "figures") {
			for d := range n.Descendants() {
				for _, a := range d.Attr {
					if a.Key == "href" {
						links[a.Val]++
					}
				}
			}
		}
		figures := sheets.Figures(f, b.fern.policy.Zone)
		all := " " + strings.Join(textsOf(t, text, "figures"), " ") + " "
		for _, x := range figures {
			if !strings.Contains(all, " "+squeezed(x.Fact+" "+x.Value+" "+x.Remark)) {
				t.Errorf("%s: %s %s is not told", f.Cot, x.Path, x.Value)
			}
			switch of[x.Entry] {
			case f.Infant:
				want[entriesAt("fern", f.Infant, x.Entry)]++
				led++
			case "": // of the unit, such as a handover, or of none
			default:
				t.Errorf("%s: %s is from another infant", f.Cot, x.Path)
			}
		}
		for path, n := range want {
			if links[path] != n {
				t.Errorf("%s: %d figures lead to %s, want %d", f.Cot, links[path], path, n)
			}
		}
		if n := len(nodes(t, text, "fact")); n < len(figures) {
			t.Errorf("%s: %d figures of %d", f.Cot, n, len(figures))
		}
		lacks := strings.Join(textsOf(t, text, "lacks"), " ")
		if n := strings.Count(lacks, "NOT COMPUTED"); n != len(f.NotComputed) {
			t.Errorf("%s: %d refusals are told, want %d", f.Cot, n, len(f.NotComputed))
		}
		lacked += len(f.NotComputed)
	}
	if led == 0 || lacked == 0 {
		t.Errorf("%d figures with an entry, %d not computed", led, lacked)
	}
}

// No fact of the engine's is without a line of the page to open under.
func TestEveryFactHasALine(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	for _, unit := range []*record{b.fern, b.moss} {
		for _, f := range look(t, unit.live()).Ward().Infants {
			for _, x := range sheets.Figures(f, unit.policy.Zone) {
				root, _, _ := strings.Cut(x.Path, ".")
				n := strings.Count(" "+lookFigures+" ", " "+root+" ")
				for _, row := range rowsOfFigures {
					n += strings.Count(" "+row.paths+" ", " "+root+" ")
				}
				if n != 1 {
					t.Errorf("%s opens under %d lines", x.Path, n)
				}
			}
		}
	}
}

func textsOf(t testing.TB, text, class string) (out []string) {
	t.Helper()
	for _, n := range nodes(t, text, class) {
		out = append(out, wordsOf(n))
	}
	return out
}

func squeezed(s string) string { return strings.Join(strings.Fields(s), " ") }
