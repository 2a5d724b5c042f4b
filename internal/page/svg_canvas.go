package page

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"strings"
)

// Pictures are drawn in whole units of a tenth of a CSS pixel, so that the same
// data give the same bytes on every machine. They are black on white and say
// nothing by colour alone. Attributes stand in place of a style sheet, which a
// page's security policy would refuse.
const (
	fontFamily = `Arial, 'Liberation Sans', 'Noto Sans', 'DejaVu Sans', sans-serif`

	ink   = "#000"
	dim   = "#555" // text and lines that stand behind; contrast 7.5 to 1 on white
	faint = "#bbb" // grid
	band  = "#e3e3e3"
	alert = "#8a1414" // as dark as ink in grey; a shape or a word says the same
)

// What heading and caution take of a picture's height; beside an infant's words
// both are cut off.
const (
	headingHeight = 190
	cautionHeight = 130
)

// pictureCaution is the short form of Caution, for a picture that leaves its page.
const pictureCaution = "Aid to handover, not a monitor or an order. Look at the infant."

// box is where a label stands.
type box struct{ x, y, w, h int }

func (a box) hits(b box) bool {
	return a.x < b.x+b.w && b.x < a.x+a.w && a.y < b.y+b.h && b.y < a.y+a.h
}

// form is where a picture stands: alone, then 190 mm wide, with its infant and the
// caution in it; or beside the infant's words on a sheet that says both, where there
// is less room. Lettering has the same size in both.
type form struct {
	beside bool
	width  int
}

var (
	alone = form{width: 7200}
	aside = form{width: 6000, beside: true}
)

// choose is a length that depends on the form.
func (f form) choose(alone, beside int) int {
	if f.beside {
		return beside
	}
	return alone
}

// drawing is an SVG being written, and where its labels stand.
type drawing struct {
	form
	left   int // what is cut off at the side
	body   bytes.Buffer
	id     string // of this picture, apart from any other on one page
	height int
	labels []box
}

// anchor is where on a line of text its point lies.
type anchor string

const (
	start  anchor = "start"
	middle anchor = "middle"
	end    anchor = "end"
)

// style of a label; the zero value is 100 units, black, from its start.
type style struct {
	size int
	bold bool
	fill string
	at   anchor
	halo bool // white round the letters, over lines
}

func (s style) filled() style {
	if s.size == 0 {
		s.size = 100
	}
	if s.fill == "" {
		s.fill = ink
	}
	if s.at == "" {
		s.at = start
	}
	return s
}

// boxOf is what a label takes, from the top of its capitals to below its line.
func boxOf(x, y int, st style, s string) box {
	st = st.filled()
	w := inkWidth(s, st.size, st.bold)
	switch st.at {
	case middle:
		x -= w / 2
	case end:
		x -= w
	}
	return box{x, y - st.size*4/5, w, st.size}
}

// text writes a label, its line at y.
func (d *drawing) text(x, y int, st style, s string) {
	if s == "" {
		return
	}
	st = st.filled()
	d.labels = append(d.labels, boxOf(x, y, st, s))
	fmt.Fprintf(&d.body, `<text x="%d" y="%d" font-size="%d"`, x, y, st.size)
	if st.at != start {
		fmt.Fprintf(&d.body, ` text-anchor="%s"`, st.at)
	}
	if st.bold {
		d.body.WriteString(` font-weight="bold"`)
	}
	if st.fill != ink {
		fmt.Fprintf(&d.body, ` fill="%s"`, st.fill)
	}
	if st.halo {
		d.body.WriteString(` stroke="#fff" stroke-width="30" stroke-linejoin="round" paint-order="stroke"`)
	}
	d.body.WriteByte('>')
	_ = xml.EscapeText(&d.body, []byte(s)) // a buffer takes all
	d.body.WriteString("</text>\n")
}

// fit writes a label where there is room for it, and says whether there was.
func (d *drawing) fit(x, y int, st style, s string) bool {
	b := boxOf(x, y, st, s)
	if b.x < d.left || b.x+b.w > d.left+d.width || b.y < 0 {
		return false
	}
	b = box{b.x - 20, b.y, b.w + 40, b.h}
	for _, other := range d.labels {
		if b.hits(other) {
			return false
		}
	}
	d.text(x, y, st, s)
	return true
}

// shape writes an element; attrs are name="value" pairs of our own making.
func (d *drawing) shape(format string, args ...any) {
	fmt.Fprintf(&d.body, format+"\n", args...)
}

func (d *drawing) line(x1, y1, x2, y2, width int, colour, dashes string) {
	if dashes != "" {
		dashes = ` stroke-dasharray="` + dashes + `"`
	}
	d.shape(`<path d="M%d %dL%d %d" stroke="%s" stroke-width="%d"%s/>`, x1, y1, x2, y2, colour, width, dashes)
}

func (d *drawing) rect(x, y, w, h int, fill, stroke string, width int) {
	d.shape(`<rect x="%d" y="%d" width="%d" height="%d" fill="%s" stroke="%s" stroke-width="%d"/>`, x, y, w, h, fill, stroke, width)
}

// hatches are the patterns of a picture by name: what is drawn on a white tile
// of so many units.
var hatches = map[string]struct {
	tile         int
	path, colour string
}{
	"forecast": {80, "M0 80L80 0M-20 20L20 -20M60 100L100 60", "#777"},
	"mask":     {110, "M0 110L110 0M-20 20L20 -20M90 130L130 90", "#777"},
	"prongs":   {90, "M30 0V90", "#777"},
	"break":    {200, "M0 0L200 200M180 -20L220 20M-20 180L20 220", "#ccc"},
}

// hatch is the fill of a pattern of this picture.
func (d *drawing) hatch(name string) string { return "url(#" + d.id + "-" + name + ")" }

// bytes is the whole picture: its name, what it shows in words, and its drawing.
func (d *drawing) bytes(title, told string, patterns ...string) []byte {
	top := d.choose(0, headingHeight)
	height := d.height - top - d.choose(0, cautionHeight)
	var b bytes.Buffer
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="%d %d %d %d" width="%d" height="%d" role="img" `+
		`aria-labelledby="%s-title %s-desc" font-family="%s" fill="none">`+"\n",
		d.left, top, d.width, height, d.width/10, height/10, d.id, d.id, fontFamily)
	fmt.Fprintf(&b, `<title id="%s-title">`, d.id)
	_ = xml.EscapeText(&b, []byte(title))
	fmt.Fprintf(&b, "</title>\n"+`<desc id="%s-desc">`, d.id)
	_ = xml.EscapeText(&b, []byte(told+" "+Caution))
	b.WriteString("</desc>\n")
	if len(patterns) > 0 {
		b.WriteString("<defs>\n")
		for _, name := range patterns {
			h := hatches[name]
			fmt.Fprintf(&b, `<pattern id="%s-%s" width="%d" height="%d" patternUnits="userSpaceOnUse"><path d="%s" stroke="%s" `+
				`stroke-width="14"/></pattern>`+"\n", d.id, name, h.tile, h.tile, h.path, h.colour)
		}
		b.WriteString("</defs>\n")
	}
	fmt.Fprintf(&b, `<rect x="%d" y="%d" width="%d" height="%d" fill="#fff"/>`+"\n", d.left, top, d.width, height)
	b.WriteString(`<g fill="` + ink + `">` + "\n")
	b.Write(d.body.Bytes())
	b.WriteString("</g>\n</svg>\n")
	return b.Bytes()
}

// pictureID is safe in an attribute and a fragment: an infant's key is made of
// letters, digits, point, underscore and hyphen (whatever else is left out).
func pictureID(kind, infant string) string {
	return kind + "-" + strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || r == '.' || r == '_' || r == '-' {
			return r
		}
		return -1
	}, infant)
}

// heading writes who a picture is about, never shortened: what is too long for
// the line is written smaller. There is no name in a picture: a restricted one
// must stand nowhere, and the page round it has the others.
func (d *drawing) heading(what, who string) {
	if d.beside {
		return
	}
	st := style{size: 130, bold: true}
	s := who + ": " + what
	if w := inkWidth(s, st.size, true); w > d.width-80 {
		st.size = st.size * (d.width - 80) / w
	}
	d.text(40, 150, st, s)
}

// caution writes the caution on the last line.
func (d *drawing) caution(y int) {
	if !d.beside {
		d.text(40, y, style{size: 95, fill: dim}, pictureCaution)
	}
}

// whose is an infant by cot and number.
func whose(cot, mrn, temporary string) string {
	switch {
	case mrn != "":
		return said(cot) + ", number " + said(mrn)
	case temporary != "":
		return said(cot) + ", label " + said(temporary)
	}
	return said(cot) + ", no number"
}

// beneath draws under everything that was written since the body was so long.
func (d *drawing) beneath(at int, draw func()) {
	over := bytes.Clone(d.body.Bytes()[at:])
	d.body.Truncate(at)
	draw()
	d.body.Write(over)
}
