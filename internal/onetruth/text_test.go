package onetruth

import (
	"regexp"
	"strings"
	"testing"
	"time"

	"golang.org/x/net/html"
)

// firstLabel is of the rows that may come first after who the infant is.
var firstLabel = regexp.MustCompile(`^(Look-alike|Conflict|Handed over|Changed) `)

var (
	textRule  = strings.Repeat("-", 100)
	labelText = 13 // columns of a label
)

// factsOfText reads the text of a terminal.
func factsOfText(f faces) *faceReader {
	r := f.faceReader()
	parts := strings.Split(string(f.text), textRule+"\n")
	top := labelled{}
	lines := strings.Split(parts[0], "\n")
	for i, l := range lines { // the unit's name stands by itself after the caution
		if strings.HasPrefix(l, "Handover ") {
			top.rows = append(top.rows, line{"Unit", lines[i-1]})
		}
	}
	_, after, _ := strings.Cut(parts[0], "\nHandover ")
	heading, list, _ := strings.Cut("Handover "+after, "\n\n")
	top.rows = append(top.rows, textRows(strings.Split(heading, "\n"))...)
	top.rows = append(top.rows, textRows(belowList(list))...)
	all := []labelled{top}
	for _, part := range parts[1:] {
		lines := strings.Split(part, "\n")
		heading, look := lines[0], ""
		i := 1
		for ; !strings.HasPrefix(lines[i], "record key") && !strings.HasPrefix(lines[i], "label ") &&
			!strings.HasPrefix(lines[i], "formerly "); i++ {
			if strings.HasPrefix(lines[i], "  ") { // what must be seen first
				look += " " + strings.TrimSpace(lines[i])
			} else {
				heading += " " + lines[i]
			}
		}
		p := labelled{called: strings.TrimPrefix(heading, "COT ")}
		who := ""
		for ; lines[i] != "" && lines[i][0] != ' ' && !firstLabel.MatchString(lines[i]); i++ {
			who += " " + lines[i]
		}
		p.rows = append([]line{{"", look}, {"Who", strings.TrimSpace(who)}}, textRows(lines[i:])...)
		all = append(all, p)
	}
	r.read(r.allWithoutAges(all))
	return r
}

// allWithoutAges takes the ages off: those of a screen, and those of what is old.
func (r *faceReader) allWithoutAges(all []labelled) []labelled {
	for i := range all {
		for j := range all[i].rows {
			r.noteOld(all[i].called, all[i].rows[j])
			all[i].rows[j].text = r.withoutAges(all[i].rows[j].text)
		}
	}
	return all
}

// belowList are the rows after the ward list, which has no labels.
func belowList(list string) []string {
	lines := strings.Split(list, "\n")
	for i, l := range lines {
		for _, label := range []string{"Left ", "Late ", "Unit notes ", "Unit tasks "} {
			if strings.HasPrefix(l, label) {
				return lines[i:]
			}
		}
	}
	return nil
}

// textRows are labels in the first columns, their facts beside and below.
func textRows(lines []string) (out []line) {
	for _, l := range lines {
		switch {
		case strings.TrimSpace(l) == "":
		case l[0] != ' ':
			out = append(out, line{strings.TrimSpace(l[:labelText]), l[labelText:]})
		default:
			out[len(out)-1].text += " " + strings.TrimSpace(l)
		}
	}
	return out
}

var (
	aged = regexp.MustCompile(`(` + clockTime + `|[A-Z][a-z]{2} \d{1,2} [A-Z][a-z]{2}(?: \d{4})?), (today|now|in \d+ (?:min|h|` +
		`days?)(?: \d+ min)?|\d+ (?:min|h|days?)(?: \d+ min)? (?:ago|old))`)
	age = regexp.MustCompile(`^(in )?(\d+) (min|h|days?)(?: (\d+) min)?( ago| old)?$`)
)

// withoutAges removes the ages that a screen shows beside moments, and holds each to
// its moment: an age may be short by less than its smallest unit.
func (r *faceReader) withoutAges(text string) string {
	return aged.ReplaceAllStringFunc(text, func(s string) string {
		m := aged.FindStringSubmatch(s)
		if a := age.FindStringSubmatch(m[2]); a != nil && !strings.HasPrefix(a[3], "day") {
			t, err := time.Parse(minute, r.clock(m[1]))
			d, errAge := time.ParseDuration(a[2] + a[3][:1])
			if a[4] != "" {
				rest, _ := time.ParseDuration(a[4] + "m")
				d += rest
			}
			off := r.at.Sub(t)
			if a[1] != "" {
				off = -off
			}
			least := time.Minute
			if a[3] == "h" && a[4] == "" {
				least = time.Hour
			}
			if over := off - d; err != nil || errAge != nil || over < -time.Minute || over >= least+time.Minute {
				r.fault("%q: it is %v", s, off)
			}
		}
		return m[1]
	})
}

// factsOfHTML reads the page by an HTML parser of its own.
func factsOfHTML(t testing.TB, f faces) *faceReader {
	t.Helper()
	r := f.faceReader()
	doc, err := html.Parse(strings.NewReader(string(f.html)))
	if err != nil {
		t.Fatal(err)
	}
	top := labelled{}
	for _, h := range find(doc, "h1") {
		top.rows = append(top.rows, line{"Unit", strings.TrimSuffix(content(h), ": handover")})
	}
	all := []labelled{}
	for _, table := range find(doc, "table") {
		if class(table) != "facts" {
			continue
		}
		p := labelled{}
		for _, h := range find(table, "h2") {
			p.called = strings.TrimPrefix(content(h), "Cot ")
		}
		for _, tr := range find(table, "tr") {
			head, cells := find(tr, "th"), find(tr, "td")
			switch {
			case len(find(tr, "h2")) > 0:
			case len(head) == 0 && class(cells[0]) == "look":
				p.rows = append(p.rows, line{"", content(cells[0])})
			case len(head) == 0:
				p.rows = append(p.rows, line{"Who", content(cells[0])})
			default:
				p.rows = append(p.rows, line{content(head[0]), content(cells[0])})
			}
		}
		if p.called == "" {
			top.rows = append(top.rows, p.rows...)
		} else {
			all = append(all, p)
		}
	}
	r.read(r.allWithoutAges(append([]labelled{top}, all...)))
	return r
}

func find(n *html.Node, tag string) (out []*html.Node) {
	for c := range n.Descendants() {
		if c.Type == html.ElementNode && c.Data == tag {
			out = append(out, c)
		}
	}
	return out
}

func class(n *html.Node) string {
	for _, a := range n.Attr {
		if a.Key == "class" {
			return a.Val
		}
	}
	return ""
}

// content is an element's text, blanks as a browser shows them.
func content(n *html.Node) string {
	var b strings.Builder
	for c := range n.Descendants() {
		if c.Type == html.TextNode {
			b.WriteString(c.Data)
		}
	}
	return strings.Join(strings.Fields(b.String()), " ")
}
