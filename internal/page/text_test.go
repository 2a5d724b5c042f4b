package page

import (
	"bytes"
	"regexp"
	"strings"
	"testing"

	"cotline/handover"

	"pgregory.net/rapid"
)

func terminalText(t testing.TB, h *handover.Handover, o Options) string {
	t.Helper()
	var b bytes.Buffer
	if err := Text(&b, h, o); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// Names of any script and length wrap within 100 columns and are never cut.
func TestTextNamesWrap(t *testing.T) {
	for _, name := range []string{
		strings.Repeat("Zażółć-gęślą-", 20), strings.Repeat("Mưa-Đông ", 30), strings.Repeat("ΑΒΓάέή", 40), strings.Repeat("雪山", 60),
		strings.Repeat("שלג ", 50), strings.Repeat("ثلجوريح", 40), strings.Repeat("e\u0301", 150), strings.Repeat("👩‍👧‍👦", 50),
	} {
		h := twoInfants()
		h.Infants[0].Family, h.Infants[0].Given = name, "End"
		text := terminalText(t, h, Options{Full: true})
		bounded(t, text)
		bounded(t, terminalText(t, h, Options{}))
		// Spaces and line breaks apart, the name stands whole in its heading.
		closed := strings.NewReplacer(" ", "", "\n", "", isolate, "", release, "").Replace(text)
		if want := "COTK1:" + strings.ReplaceAll(name, " ", "") + ",End,number0071234"; !strings.Contains(closed, want) {
			t.Errorf("%q is not whole in its heading", name)
		}
	}
}

func bounded(t testing.TB, text string) {
	t.Helper()
	for _, line := range strings.Split(text, "\n") {
		if n := columns(line); n > textWidth {
			t.Errorf("%d columns: %q", n, line)
		}
		if strings.Count(line, isolate) != strings.Count(line, release) {
			t.Errorf("direction runs over the end of a line: %q", line)
		}
	}
}

func TestTextOfWards(t *testing.T) {
	for name, h := range map[string]*handover.Handover{"by hand": twoInfants(), "demo": demo(t), "random": random(t, 7)} {
		text := terminalText(t, h, Options{Full: true})
		bounded(t, text)
		bounded(t, terminalText(t, h, Options{}))
		if !strings.HasPrefix(strings.Join(strings.Fields(text), " "), Caution) {
			t.Errorf("%s: the caution does not come first", name)
		}
		for _, f := range h.Infants {
			if !strings.Contains(text, "COT "+f.Cot+": ") {
				t.Errorf("%s: %s is left out", name, f.Infant)
			}
		}
	}
}

var escape = regexp.MustCompile("\x1b\\[[0-9;]*m")

// Colour is beside the words, never instead of them.
func TestColourCarriesNothing(t *testing.T) {
	h := twoInfants()
	plain, coloured := terminalText(t, h, Options{Full: true}), terminalText(t, h, Options{Full: true, Colour: true})
	if strings.Contains(plain, "\x1b") {
		t.Error("an escape without colour")
	}
	if !strings.Contains(coloured, "\x1b[1;31m") {
		t.Error("no colour where it is wanted")
	}
	if escape.ReplaceAllString(coloured, "") != plain {
		t.Error("colour changes the text")
	}
	for _, line := range strings.Split(coloured, "\n") {
		if n := strings.Count(line, "\x1b[1"); strings.Count(line, "\x1b[0m") != n {
			t.Errorf("colour runs over the end of a line: %q", line)
		}
	}
}

// What is out of order says so in capitals.
func TestTextCapitals(t *testing.T) {
	text := strings.Join(strings.Fields(terminalText(t, twoInfants(), Options{Full: true})), " ")
	for _, want := range []string{
		"LOOK-ALIKE (number): cot K2: name not shown, number 0071243",
		"CONFLICT: same driver drv-2 charted for cot K2",
		"OVERDUE 1 h 20 min rotation (mask on), since 06:10, was due 02:10, 5 h 20 min ago",
		"OVERDUE 8 h 30 min bonnet and head measure (tight), since 00:00, was due Sat 24 Oct, 1 day ago",
		"DEFERRED until 09:00, in 1 h 30 min", "observations (unit policy 1h) due", "nasal suction (plan 6h) due",
		"pressure 6.0 cmH2O, SpO2 target 90 to 95 % set 03:10, 4 h 20 min ago",
		"(corrected by rn-birch 00:45)", "(ARRIVED LATE)", "MOVED: nasal feeding tube", "READ OUT: ",
		"never seen in this stay: nares, philtrum, cheeks, ear right, occiput",
		"NEW on the ward since 24 Oct 20:05",
		"worst: septum stage 1, WORSE, also dry, swelling, under a barrier, 11.33 h under the interface in 24 h",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("not said: %s", want)
		}
	}
}

// Charted text cannot move the cursor, colour the screen, or turn what stands
// beside it.
func TestTextIsHarmless(t *testing.T) {
	h := twoInfants()
	hostile := "a\x1b[2Jb\x07c\u202ed\u2066e\u009bf\u2028g\r\nh\x00\xffi"
	h.Unit, h.Infants[0].Family, h.Infants[0].Cot, h.Infants[0].Notes[0].Text, h.Tasks[0].Text = hostile, hostile,
		hostile, hostile, hostile
	text := terminalText(t, h, Options{})
	bounded(t, text)
	for _, r := range text {
		if r != '\n' && r != rune(isolateRune) && r != rune(releaseRune) && harmless(r) != r {
			t.Errorf("%U comes through", r)
		}
	}
}

const (
	isolateRune = '\u2068'
	releaseRune = '\u2069'
)

// Any text is laid out within the width, each letter kept and in order.
func TestParaKeepsText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		width := rapid.IntRange(4, 60).Draw(t, "width")
		items := rapid.SliceOfN(rapid.StringMatching(`[a-zA-ZżĐς雪שé ]{1,80}`), 1, 5).Draw(t, "items")
		apart := rapid.SliceOfN(rapid.Bool(), len(items), len(items)).Draw(t, "apart")
		p := &para{width: width}
		var in []item
		for i, text := range items {
			in = append(in, item{text, apart[i]})
		}
		p.items(in)
		var out strings.Builder
		for _, line := range p.lines {
			total := 0
			for _, piece := range line {
				out.WriteString(piece.text)
				total += columns(piece.text)
			}
			if total > width {
				t.Fatalf("%d columns of %d", total, width)
			}
		}
		kept := func(s string) string { return strings.NewReplacer(" ", "", ";", "").Replace(s) }
		if got, want := kept(out.String()), kept(strings.Join(items, "")); got != want {
			t.Fatalf("%q came out as %q", want, got)
		}
	})
}

// Wide letters, combining marks and joined signs have the width of UAX 11.
func TestColumns(t *testing.T) {
	for s, want := range map[string]int{"abc": 3, "Łąka": 4, "雪山": 4, "e\u0301": 1, "Đông": 4, isolate + "ab" + release: 2} {
		if got := columns(s); got != want {
			t.Errorf("%q has %d columns, want %d", s, got, want)
		}
	}
}

func BenchmarkText(b *testing.B) {
	h := demo(b)
	var out bytes.Buffer
	for b.Loop() {
		out.Reset()
		if err := Text(&out, h, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
