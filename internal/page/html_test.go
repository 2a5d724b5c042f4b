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

func printedPage(t testing.TB, h *handover.Handover) string {
	t.Helper()
	var b bytes.Buffer
	if err := HTML(&b, h, handover.Ward{}); err != nil {
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
	page := printedPage(t, h)
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
	for element, want := range map[string]int{"title": 1, "style": 1, "main": 1, "h1": 1, "h2": len(h.Infants), "section": len(h.Infants)} {
		if count[element] != want {
			t.Errorf("%d of %s, want %d", count[element], element, want)
		}
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
	page := printedPage(t, twoInfants())
	for _, want := range []string{"<bdi>Sương-Mùa, Łąka ندى &lt;b&gt;</bdi>", "<bdi>Κύμα שלכת</bdi>", "<bdi>Żołądź, Mgła</bdi>", "&lt;script&gt;alert(&#39;note&#39;)&lt;/script&gt;"} {
		if !strings.Contains(page, want) {
			t.Errorf("not in the page: %s", want)
		}
	}
	if strings.ContainsAny(page, isolate+release) {
		t.Error("an isolate outside bdi")
	}
}

// A unit's name cannot end the string, the rule or the sheet it stands in.
func TestFootIsAString(t *testing.T) {
	h := twoInfants()
	h.Unit = "a\"; } body { display: none } </style><script>x</script> \\ \n é"
	page := printedPage(t, h)
	foot := regexp.MustCompile(`@bottom-left \{ content: "([^"]*)";`).FindStringSubmatch(page)
	if foot == nil {
		t.Fatal("no foot")
	}
	if strings.ContainsAny(foot[1], "<>{};'") {
		t.Errorf("the foot is %s", foot[1])
	}
	var b strings.Builder // read back by CSS Syntax Level 3, section 4.3.7
	for i := 0; i < len(foot[1]); i++ {
		if foot[1][i] == '\\' {
			n, err := strconv.ParseUint(foot[1][i+1:i+7], 16, 32)
			if err != nil {
				t.Fatal(err)
			}
			b.WriteRune(rune(n))
			i += 6
			if strings.HasPrefix(foot[1][i+1:], " ") {
				i++ // a space after the number belongs to it
			}
			continue
		}
		b.WriteByte(foot[1][i])
	}
	want := `a"; } body { display: none } </style><script>x</script> \ é, Sun 25 Oct 2026 07:30 (+00:00), chain c0ffee012345`
	if b.String() != want {
		t.Errorf("the foot reads %q, want %q", b.String(), want)
	}
	for _, n := range elements(t, page) {
		if n.Data == "script" {
			t.Error("the unit's name made a script")
		}
	}
}

// Paper does not age: no fact is told by how long ago it was.
func TestPaperHasNoAges(t *testing.T) {
	for _, h := range []*handover.Handover{twoInfants(), demo(t)} {
		for _, n := range elements(t, printedPage(t, h)) {
			if n.Data != "body" {
				continue
			}
			if age := regexp.MustCompile(`\d (min|h|days?) ago|, in \d+ (min|h|day)|, (today|now)\b`).FindString(content(n)); age != "" {
				t.Errorf("an age on paper: %q", age)
			}
		}
	}
}

// Paper and terminal have the same facts: each row of the one is a row of the
// other when the ages are told on both.
func TestTextAndHTMLHaveTheSameRows(t *testing.T) {
	for _, h := range []*handover.Handover{twoInfants(), demo(t), random(t, 3)} {
		page := html.UnescapeString(strings.NewReplacer("<bdi>", "", "</bdi>", "").Replace(printedPage(t, h)))
		v := newView(h, false)
		text := strings.Join(strings.Fields(strings.NewReplacer(isolate, "", release, "", ";", "").Replace(terminalText(t, h, Options{}))), " ")
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
					if said := strings.Join(strings.Fields(strings.NewReplacer(isolate, "", release, "", ";", "").Replace(it.Text)), " "); !strings.Contains(text, said) {
						t.Errorf("%s: not on the terminal: %s", f.Infant, said)
					}
				}
			}
		}
	}
}

func TestHTMLWardComesFirst(t *testing.T) {
	page := printedPage(t, demo(t))
	caution, ward, infant := strings.Index(page, "Aid to handover"), strings.Index(page, `<table class="ward">`), strings.Index(page, "<section>")
	if caution < 0 || !(caution < ward && ward < infant) {
		t.Errorf("caution at %d, ward at %d, first infant at %d", caution, ward, infant)
	}
}

func BenchmarkHTML(b *testing.B) {
	h := demo(b)
	var out bytes.Buffer
	for b.Loop() {
		out.Reset()
		if err := HTML(&out, h, handover.Ward{}); err != nil {
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
