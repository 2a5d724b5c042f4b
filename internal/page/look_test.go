package page

import (
	"fmt"
	"strings"
	"testing"

	"cotline/handover"
)

// flat is a text on one line, without what keeps writing directions apart.
func flat(s string) string {
	return strings.Join(strings.Fields(strings.NewReplacer(isolate, "", release, "").Replace(s)), " ")
}

// The mark stands exactly where attention says now, and the ward's line of an infant
// has every row, in order: on each face, in both forms, of random wards.
func TestMarksAreAttention(t *testing.T) {
	wards := map[string]*handover.Handover{"demo": demo(t)}
	for seed := range uint64(15) {
		wards[fmt.Sprint("seed ", seed)] = random(t, seed)
	}
	marked, infants := 0, 0
	for name, h := range wards {
		for _, f := range h.Infants {
			infants++
			if len(lookAt(f).Now) > 0 {
				marked++
			}
		}
		for form, o := range map[string]Options{"short": {}, "full": {Full: true}} {
			text := terminalText(t, h, o)
			_, list, _ := strings.Cut(text, "\nCot ")
			list, _, _ = strings.Cut(list, "\n\n")
			entries := wardEntries(t, h, list)
			var looks []string
			for _, n := range elements(t, printedPage(t, h, o)) {
				if n.Data == "td" && attr(n, "class") == "look" && attr(n, "colspan") == "" {
					looks = append(looks, content(n))
				}
			}
			if len(looks) != len(h.Infants) {
				t.Fatalf("%s, %s: %d lines of the ward on paper, want %d", name, form, len(looks), len(h.Infants))
			}
			now := 0
			for i, f := range h.Infants {
				now += len(lookAt(f).Now)
				for face, got := range map[string]string{"text": entries[i], "page": looks[i]} {
					holdsRows(t, name+", "+form+", "+face+", "+f.Infant, flat(got), f)
				}
			}
			for face, got := range map[string]string{"text": text, "page": printedPage(t, h, o)} {
				if n := strings.Count(got, "!!"); n != 2*now {
					t.Errorf("%s, %s, %s: %d marks, want each of %d rows twice", name, form, face, n, now)
				}
			}
		}
	}
	t.Logf("%d of %d infants of random wards have a mark", marked, infants)
}

// holdsRows holds a ward's line to an infant's attention: each row in order, a mark
// before each that is now, and no other mark.
func holdsRows(t *testing.T, where, line string, f *handover.Summary) {
	t.Helper()
	rest := line
	now := 0
	for _, a := range f.Attention {
		if a.Level != handover.Now {
			continue
		}
		now++
		before, after, found := strings.Cut(rest, "!! "+flat(a.Text))
		if !found || strings.Contains(before, "!!") {
			t.Errorf("%s: no mark before %q, or out of order: %s", where, a.Text, line)
			return
		}
		rest = after
	}
	if n := strings.Count(line, "!!"); n != now {
		t.Errorf("%s: %d marks, want %d: %s", where, n, now, line)
	}
	for _, a := range f.Attention {
		if a.Level == handover.Now {
			continue
		}
		_, after, found := strings.Cut(rest, flat(a.Text))
		if !found {
			t.Errorf("%s: not told, or out of order: %q: %s", where, a.Text, line)
			return
		}
		rest = after
	}
}

// wardEntries are the ward list's lines, an infant's together.
func wardEntries(t *testing.T, h *handover.Handover, list string) []string {
	t.Helper()
	out := make([]string, len(h.Infants))
	at := -1
	for _, line := range strings.Split(list, "\n")[1:] {
		if at+1 < len(h.Infants) && strings.HasPrefix(line, h.Infants[at+1].Cot+" ") {
			at++
		}
		if at >= 0 {
			out[at] += line + " "
		}
	}
	if at != len(h.Infants)-1 {
		t.Fatalf("%d infants in the ward list, want %d:\n%s", at+1, len(h.Infants), list)
	}
	return out
}

// No face says that nothing is due without the next moment beside it, and what is old
// carries its age on paper too.
func TestNothingDueNamesTheNext(t *testing.T) {
	for seed := range uint64(15) {
		h := random(t, seed)
		for _, f := range h.Infants {
			v := newView(h, false)
			for _, r := range []row{v.nearly(f).shortDue(f), beside(v.due(f), v.next(f))} {
				words := ""
				for _, it := range r.Items {
					words += it.Text + "; "
				}
				if strings.Contains(words, "nothing overdue") && len(r.Items) < 2 {
					t.Errorf("seed %d, %s: %s", seed, f.Infant, words)
				}
			}
			for _, old := range f.Old {
				age := v.howOld(f, old.Path, old.At)
				page := fmt.Sprint(v.rows(f))
				if !strings.Contains(page, age) {
					t.Errorf("seed %d, %s: %s is %s, and the full form does not say so", seed, f.Infant, old.Path, age)
				}
			}
		}
	}
}
