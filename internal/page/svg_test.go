package page

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"cotline/internal/ward"
	"cotline/internal/wardtest"
)

// label is a text of a picture as it was written, and where it stands.
type label struct {
	text string
	box
}

// picture is what a reader of the XML finds in a picture.
type picture struct {
	title, desc string
	role        string
	frame       box
	labels      []label
	ids         []string
	names       []string // of every element
	attrs       []xml.Attr
}

func readPicture(t testing.TB, svg []byte) picture {
	t.Helper()
	var p picture
	d := xml.NewDecoder(bytes.NewReader(svg))
	var inside []string
	var at xml.StartElement
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return p
		}
		if err != nil {
			t.Fatalf("no XML: %v", err)
		}
		switch token := token.(type) {
		case xml.StartElement:
			inside = append(inside, token.Name.Local)
			at = token.Copy()
			p.names, p.attrs = append(p.names, token.Name.Local), append(p.attrs, at.Attr...)
			if id := attrOf(at, "id"); id != "" {
				p.ids = append(p.ids, id)
			}
			if token.Name.Local == "svg" {
				p.role = attrOf(at, "role")
				if _, err := fmt.Sscanf(attrOf(at, "viewBox"), "%d %d %d %d", &p.frame.x, &p.frame.y, &p.frame.w, &p.frame.h); err != nil {
					t.Fatal(err)
				}
			}
		case xml.EndElement:
			inside = inside[:len(inside)-1]
		case xml.CharData:
			if len(inside) == 0 {
				continue
			}
			switch inside[len(inside)-1] {
			case "title":
				p.title += string(token)
			case "desc":
				p.desc += string(token)
			case "text":
				n := func(name string) int { i, _ := strconv.Atoi(attrOf(at, name)); return i }
				st := style{size: n("font-size"), bold: attrOf(at, "font-weight") == "bold", at: anchor(attrOf(at, "text-anchor"))}
				p.labels = append(p.labels, label{string(token), boxOf(n("x"), n("y"), st, string(token))})
			}
		}
	}
}

func attrOf(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

// overlaps tells labels that hit each other or leave the picture. What a mark has
// inside it stands in its own box, which the lanes keep apart.
func (p picture) overlaps() []string {
	var out []string
	for i, a := range p.labels {
		if a.x < p.frame.x || a.y < p.frame.y || a.x+a.w > p.frame.x+p.frame.w || a.y+a.h > p.frame.y+p.frame.h {
			out = append(out, fmt.Sprintf("%q leaves the picture: %+v of %+v", a.text, a.box, p.frame))
		}
		for _, b := range p.labels[:i] {
			if a.hits(b.box) {
				out = append(out, fmt.Sprintf("%q hits %q: %+v, %+v", a.text, b.text, a.box, b.box))
			}
		}
	}
	return out
}

// manyWards are the demo, random wards, and long windows of them.
func manyWards(t testing.TB) map[string]drawn {
	t.Helper()
	out := map[string]drawn{"demo": demoDrawn(t)}
	for seed := range uint64(8) {
		out[fmt.Sprint("random ", seed)] = drawn(wardtest.Random(t, seed, 6, 2))
	}
	for i, since := range []string{"2026-10-24T19:40:00Z", "2026-10-20T00:00:00Z", "2026-08-01T00:00:00Z"} {
		out["since "+since] = drawn(wardtest.Of(t, ward.Policy(), ward.Random(uint64(100+i), 5, 4), time.Time{}, clockOf(since)))
	}
	return out
}

func TestPicturesOfManyWards(t *testing.T) {
	for name, d := range manyWards(t) {
		d.keepRules(t, name, alone)
		d.keepRules(t, name+", on a sheet", aside)
	}
}

// keepRules holds every picture of a ward to what holds for all: no label hits another
// or is cut off, whoever cannot see it is told, and nothing in it runs.
func (d drawn) keepRules(t *testing.T, name string, in form) {
	t.Helper()
	seen := map[string]string{}
	for of, svg := range d.picturesIn(t, in) {
		p := readPicture(t, svg)
		for _, fault := range p.overlaps() {
			t.Errorf("%s, %s: %s", name, of, fault)
		}
		if p.role != "img" || p.title == "" || !strings.Contains(p.desc, Caution) {
			t.Errorf("%s, %s: role %q, title %q, and %d bytes of description", name, of, p.role, p.title, len(p.desc))
		}
		for _, id := range p.ids { // several pictures may stand on one page
			if seen[id] != "" {
				t.Errorf("%s: %s has an id of %s: %s", name, of, seen[id], id)
			}
			seen[id] = of
		}
		for _, n := range p.names {
			if slices.Contains([]string{"script", "style", "image", "foreignObject", "a", "use", "animate", "set"}, n) {
				t.Errorf("%s, %s: an element %s", name, of, n)
			}
		}
		for _, a := range p.attrs {
			if strings.HasPrefix(a.Name.Local, "on") || a.Name.Local == "style" || a.Name.Local == "href" ||
				strings.Contains(a.Value, "url(") && !strings.HasPrefix(a.Value, "url(#") {
				t.Errorf("%s, %s: an attribute %s=%q", name, of, a.Name.Local, a.Value)
			}
		}
		if bytes.Contains(svg, []byte("NaN")) || bytes.Contains(svg, []byte("%!")) {
			t.Errorf("%s, %s: a value that was not written", name, of)
		}
	}
	again := d.picturesIn(t, in)
	for of, svg := range d.picturesIn(t, in) {
		if !bytes.Equal(svg, again[of]) {
			t.Errorf("%s, %s: two drawings of one thing differ", name, of)
		}
	}
}

// No name stands in a picture: that of a restricted infant must stand nowhere,
// and who looks at a picture has the page round it.
func TestPicturesHaveNoNames(t *testing.T) {
	for name, d := range manyWards(t) {
		for _, f := range d.Handover.Infants {
			for of, svg := range d.pictures(t) {
				for _, word := range []string{f.Family, f.Given} {
					if len(word) > 3 && bytes.Contains(svg, []byte(word)) {
						t.Errorf("%s, %s: a name of %s", name, of, f.Infant)
					}
				}
			}
		}
	}
}
