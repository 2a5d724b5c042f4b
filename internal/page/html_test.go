package page

import (
	"bytes"
	"html"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"cotline/handover"

	xhtml "golang.org/x/net/html"
)

func printedPage(t testing.TB, h *handover.Handover, o Options) string {
	t.Helper()
	var b bytes.Buffer
	if err := HTML(&b, h, handover.Ward{}, o); err != nil {
		t.Fatal(err)
	}
	return b.String()
}

// elements lists the page's elements as a parser that follows the HTML standard
// reads them.
func elements(t testing.TB, page string) []*xhtml.Node {
	t.Helper()
	root, err := xhtml.Parse(strings.NewReader(page))
	if err != nil {
		t.Fatal(err)
	}
	var out []*xhtml.Node
	for n := range root.Descendants() {
		if n.Type == xhtml.ElementNode {
			out = append(out, n)
		}
	}
	return out
}

func attr(n *xhtml.Node, name string) string {
	for _, a := range n.Attr {
		if a.Key == name {
			return a.Val
		}
	}
	return ""
}

func content(n *xhtml.Node) string {
	var b strings.Builder
	for d := range n.Descendants() {
		if d.Type == xhtml.TextNode {
			b.WriteString(d.Data)
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}

// One page that needs nothing else, with a language, headings, and a scope on
// each header of a table.
func TestHTMLStandsAlone(t *testing.T) {
	h := twoInfants()
	page := printedPage(t, h, Options{})
	count := map[string]int{}
	for _, n := range elements(t, page) {
		count[n.Data]++
		switch n.Data {
		case "script", "link", "img", "iframe", "object", "a", "b":
			t.Errorf("element %s", n.Data)
		case "html":
			if attr(n, "lang") != "en" {
				t.Error("no language")
			}
		case "th":
			if s := attr(n, "scope"); s != "row" && s != "col" {
				t.Errorf("header %q without scope", content(n))
			}
		}
		for _, a := range n.Attr {
			if a.Key == "src" || a.Key == "href" || a.Key == "style" || strings.HasPrefix(a.Key, "on") {
				t.Errorf("attribute %s on %s", a.Key, n.Data)
			}
		}
	}
	for element, want := range map[string]int{"title": 1, "style": 1, "main": 1, "h1": 1, "h2": len(h.Infants),
		"section": len(h.Infants)} {
		if count[element] != want {
			t.Errorf("%d of %s, want %d", count[element], element, want)
		}
	}
	// A browser is told so too (Content Security Policy Level 3).
	if !strings.Contains(page, `content="default-src 'none'; style-src 'unsafe-inline'"`) {
		t.Error("the page may ask for more")
	}
	for _, outside := range []string{"url(", "@import", "http:", "https:", "ZgotmplZ"} {
		if strings.Contains(page, outside) {
			t.Errorf("the page has %s", outside)
		}
	}
}

// Names stand apart from what is beside them, whatever way they are written, and
// nothing that was charted becomes an element.
func TestHTMLCharted(t *testing.T) {
	page := printedPage(t, twoInfants(), Options{Full: true})
	for _, want := range []string{"<bdi>Sương-Mùa, Łąka ندى &lt;b&gt;</bdi>", "<bdi>Κύμα שלכת</bdi>", "<bdi>Żołądź, Mgła</bdi>",
		"&lt;script&gt;alert(&#39;note&#39;)&lt;/script&gt;"} {
		if !strings.Contains(page, want) {
			t.Errorf("not in the page: %s", want)
		}
	}
	if strings.ContainsAny(page, isolate+release) {
		t.Error("an isolate outside bdi")
	}
}

// What stands in the margins cannot end the string, the rule or the sheet it
// stands in: neither a unit's name nor that of who printed.
func TestMarginsAreStrings(t *testing.T) {
	const hostile = "a\"; } body { display: none } </style><script>x</script> \\ \n é"
	h := twoInfants()
	h.Unit = hostile
	var b bytes.Buffer
	if err := HTML(&b, h, handover.Ward{Policy: &handover.Policy{Zone: h.Zone, Shifts: []handover.Clock{{Hour: 19, Minute: 30}}}},
		Options{PrintedBy: hostile}); err != nil {
		t.Fatal(err)
	}
	page := b.String()
	const safe = `a"; } body { display: none } </style><script>x</script> \ é`
	for box, want := range map[string]string{
		"top-left":    "printed by " + safe,
		"top-center":  "Aid to handover, not an order. Look at the infant.",
		"top-right":   "destroy by Sun 25 Oct 2026 19:30 (+00:00)",
		"bottom-left": safe + ", Sun 25 Oct 2026 07:30 (+00:00), chain c0ffee012345",
	} {
		found := regexp.MustCompile(`@` + box + ` \{ content: "([^"]*)";`).FindStringSubmatch(page)
		if found == nil {
			t.Fatalf("no %s", box)
		}
		if strings.ContainsAny(found[1], "<>{};'") {
			t.Errorf("%s is %s", box, found[1])
		}
		if got := readString(t, found[1]); got != want {
			t.Errorf("%s reads %q, want %q", box, got, want)
		}
	}
	for _, n := range elements(t, page) {
		if n.Data == "script" {
			t.Error("a name made a script")
		}
	}
}

// readString reads back a string of a style sheet, by CSS Syntax Level 3, section
// 4.3.7.
func readString(t *testing.T, s string) string {
	t.Helper()
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		if s[i] != '\\' {
			b.WriteByte(s[i])
			continue
		}
		n, err := strconv.ParseUint(s[i+1:i+7], 16, 32)
		if err != nil {
			t.Fatal(err)
		}
		b.WriteRune(rune(n))
		i += 6
		if strings.HasPrefix(s[i+1:], " ") {
			i++ // a space after the number belongs to it
		}
	}
	return b.String()
}

// Who printed stands on the sheet, or a line to write on.
func TestPrintedBy(t *testing.T) {
	for by, want := range map[string]string{
		"":                  `Printed by <span></span> handed over to`,
		"rn-dune":           `Printed by <bdi>rn-dune</bdi>, handed over to`,
		"Łąka <i>ندى</i>":   `Printed by <bdi>Łąka &lt;i&gt;ندى&lt;/i&gt;</bdi>, handed over to`,
		"one\n@page { x: }": `Printed by <bdi>one @page { x: }</bdi>, handed over to`,
	} {
		var b bytes.Buffer
		if err := HTML(&b, twoInfants(), handover.Ward{}, Options{PrintedBy: by}); err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(b.String(), want) {
			t.Errorf("%q: not in the page: %s", by, want)
		}
	}
	if page := printedPage(t, twoInfants(), Options{}); !strings.Contains(page, `content: "printed by \00005f `) ||
		!strings.Contains(page, `"destroy at the end of the shift"`) {
		t.Error("no line to write on, or no end of the shift")
	}
}

// Paper does not age: no fact is told by how long ago it was, but for what was old
// already.
func TestPaperHasNoAges(t *testing.T) {
	for _, h := range []*handover.Handover{twoInfants(), demo(t)} {
		for _, full := range []bool{false, true} {
			for _, n := range elements(t, printedPage(t, h, Options{Full: full})) {
				if n.Data != "body" {
					continue
				}
				if age := regexp.MustCompile(`\d (min|h|days?) ago|, in \d+ (min|h|day)|, (today|now)( [^\d]|[^ ]|$)`).
					FindString(content(n)); age != "" {
					t.Errorf("an age on paper: %q", age)
				}
			}
		}
	}
}

// Paper and terminal have the same facts: each row of the one is a row of the
// other when the ages are told on both.
func TestTextAndHTMLHaveTheSameRows(t *testing.T) {
	for _, h := range []*handover.Handover{twoInfants(), demo(t), random(t, 3)} {
		page := html.UnescapeString(strings.NewReplacer("<bdi>", "", "</bdi>", "").Replace(printedPage(t, h, Options{Full: true})))
		v := newView(h, false)
		text := strings.Join(strings.Fields(strings.NewReplacer(isolate, "", release, "", ";", "").
			Replace(terminalText(t, h, Options{Full: true}))), " ")
		for _, f := range h.Infants {
			for _, r := range v.rows(f) {
				for _, it := range r.Items {
					if said := strings.NewReplacer(isolate, "", release, "").Replace(it.Text); !strings.Contains(page, said) {
						t.Errorf("%s: not on paper: %s", f.Infant, said)
					}
				}
			}
			ages := v
			ages.ages = true
			for _, r := range ages.rows(f) {
				for _, it := range r.Items {
					if said := strings.Join(strings.Fields(strings.NewReplacer(isolate, "", release, "", ";", "").Replace(it.Text)),
						" "); !strings.Contains(text, said) {
						t.Errorf("%s: not on the terminal: %s", f.Infant, said)
					}
				}
			}
		}
	}
}

func TestHTMLWardComesFirst(t *testing.T) {
	page := printedPage(t, demo(t), Options{})
	caution, ward, infant := strings.Index(page, "Aid to handover"), strings.Index(page, `<table class="ward">`),
		strings.Index(page, "<section>")
	if caution < 0 || !(caution < ward && ward < infant) {
		t.Errorf("caution at %d, ward at %d, first infant at %d", caution, ward, infant)
	}
}

func BenchmarkHTML(b *testing.B) {
	h := demo(b)
	var out bytes.Buffer
	for b.Loop() {
		out.Reset()
		if err := HTML(&out, h, handover.Ward{}, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkJSON(b *testing.B) {
	h := demo(b)
	for b.Loop() {
		JSON(h)
	}
}
