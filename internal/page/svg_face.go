package page

import (
	"slices"
	"strings"

	"cotline/handover"
	"cotline/handover/entry"
)

// faceSite is where a site lies on the drawing, and where its words stand: in
// the left or the right column, in a row from the top. The rows are in such an
// order that no line to a label crosses another or runs through another mark.
type faceSite struct {
	x, y  int
	right bool
	row   int
}

var faceSites = map[string]faceSite{
	"bridge":      {3600, 1540, false, 1},
	"ear-right":   {2740, 1800, false, 2},
	"septum":      {3600, 1800, false, 3},
	"cheek-right": {3040, 2160, false, 4},
	"naris-right": {3390, 1940, false, 5},
	"forehead":    {3600, 1060, true, 0},
	"naris-left":  {3810, 1940, true, 1},
	"ear-left":    {4460, 1800, true, 2},
	"columella":   {3600, 2060, true, 3},
	"cheek-left":  {4160, 2160, true, 4},
	"philtrum":    {3600, 2260, true, 5},
	"occiput":     {3600, 3410, true, 6},
}

// Columns of labels: where their marks stand, and how far words may go.
const (
	faceLeft  = 2320
	faceRight = 4880
	faceRow   = 470
	faceTop   = 590
	faceLines = 4 // in a row; the description has all
)

// faceMap draws one infant's skin findings and the hours under the interface on
// a face and the back of a head as an SVG. The infant looks at the reader: the
// infant's right is on the left.
func faceMap(h *handover.Handover, f *handover.Summary, in form) []byte {
	d := &drawing{form: in, id: pictureID("face", f.Infant), height: 3980, left: (alone.width - in.width) / 2}
	v := view{clock: clock{at: h.At, zone: h.Zone}}
	who := whose(f.Cot, f.MRN, f.Temporary)
	d.heading("skin", who)
	d.text(d.left+40, 300, style{}, hoursSaid(v, f))
	d.text(2800, 3080, style{size: 110, bold: true, at: middle}, "infant's right")
	d.text(4400, 3080, style{size: 110, bold: true, at: middle}, "infant's left")
	d.face()
	var codes []string
	told := []string{hoursSaid(v, f)}
	for _, site := range entry.Sites {
		at, ok := faceSites[site]
		if !ok {
			continue // a test holds the drawing to the list of sites
		}
		lines, code := d.siteSaid(v, f, site)
		d.site(at, lines, code)
		told = append(told, lines[0]+prefixed("; ", strings.Join(lines[1:], " "))+".")
		if !slices.Contains(codes, code) {
			codes = append(codes, code)
		}
	}
	d.text(d.left+40, 3800, style{size: 95, fill: dim}, codesSaid(codes))
	d.caution(3930)
	return d.bytes("Skin map, "+who, strings.Join(told, " "))
}

func hoursSaid(v view, f *handover.Summary) string {
	s := "Latest finding of each site in this stay."
	switch {
	case f.HoursUnder.Value != nil:
		s += " Hours: under interface, bonnet or straps in the 24 h up to " + v.when(v.at) + "."
	case f.HoursUnder.Applies:
		s += " Hours under the interface NOT CHARTED."
	}
	return s
}

// siteSaid is what is known of a site, in lines, and the code of its mark.
func (d *drawing) siteSaid(v view, f *handover.Summary, site string) (lines []string, code string) {
	hours := ""
	if f.HoursUnder.Value != nil {
		for _, x := range *f.HoursUnder.Value {
			if x.Site == site {
				hours = x.Hours.String() + " h under"
			}
		}
	}
	due := ""
	if (f.Skin.State == "due" || f.Skin.State == "overdue") && slices.Contains(f.Skin.DueSites, site) {
		due = "CHECK DUE"
	}
	i := slices.IndexFunc(f.Skin.Sites, func(x handover.SkinSite) bool { return x.Site == site })
	if i < 0 {
		return d.linesOf(plain(site)+": not seen", due, hours), "?"
	}
	x := f.Skin.Sites[i]
	change := ""
	if x.Change == "new" || x.Change == "worse" {
		change = strings.ToUpper(x.Change)
	}
	return d.linesOf(joined(", ", plain(site)+": "+plain(x.Finding), change), due, "seen "+v.when(x.At), hours,
			prefixed("also ", plains(x.Also))),
		findingCodes[x.Finding]
}

// faceWords is how wide the words of a site may be.
func (d *drawing) faceWords() int { return d.choose(2120, 1520) }

// linesOf is a title, and under it facts: one that is not there is left out, and
// one that has no room goes on in a line of its own.
func (d *drawing) linesOf(title string, facts ...string) []string {
	out := d.wrapped(title, true)
	line := ""
	for _, fact := range facts {
		if fact == "" {
			continue
		}
		longer := joined(", ", line, fact)
		if line != "" && inkWidth(longer+",", 100, false) > d.faceWords() {
			out = append(out, line+",")
			longer = fact
		}
		if whole := d.wrapped(longer, false); len(whole) > 1 {
			out = append(out, whole[:len(whole)-1]...)
			longer = whole[len(whole)-1]
		}
		line = longer
	}
	if line != "" {
		out = append(out, line)
	}
	return out
}

// wrapped breaks at spaces.
func (d *drawing) wrapped(s string, bold bool) []string {
	var out []string
	line := ""
	for _, word := range strings.Fields(s) {
		longer := joined(" ", line, word)
		if line != "" && inkWidth(longer+",", 100, bold) > d.faceWords() {
			out = append(out, line)
			longer = word
		}
		line = longer
	}
	return append(out, line)
}

// site draws a mark on the face, one beside its words, and a line between.
func (d *drawing) site(at faceSite, lines []string, code string) {
	x, y := faceLeft, faceTop+at.row*faceRow
	st := style{at: end}
	words := x - 90
	if at.right {
		x, st.at = faceRight, start
		words = x + 90
	}
	d.line(at.x, at.y, x, y, 7, dim, "")
	d.spot(at.x, at.y, code)
	d.spot(x, y, code)
	if len(lines) > faceLines {
		lines = append(slices.Clone(lines[:faceLines-1]), shortened(strings.Join(lines[faceLines-1:], " "), d.faceWords(), 100, false))
	}
	for i, line := range lines {
		st.bold = i == 0
		d.text(words, y+10+i*112, st, line)
	}
}

// spot is the mark of a finding: white where intact, black where not, broken
// where nobody looked.
func (d *drawing) spot(x, y int, code string) {
	fill, colour, dashes := ink, "#fff", ""
	switch code {
	case "?":
		fill, colour, dashes = "#fff", ink, ` stroke-dasharray="30 24"`
	case findingCodes["intact"]:
		fill, colour = "#fff", ink
	}
	d.shape(`<circle cx="%d" cy="%d" r="72" fill="%s" stroke="%s" stroke-width="12"%s/>`, x, y, fill, ink, dashes)
	d.text(x, y+30, style{size: 80, bold: true, at: middle, fill: colour}, code)
}

// codesSaid explains the codes that were drawn.
func codesSaid(codes []string) string {
	var out []string
	for _, f := range entry.Findings {
		if slices.Contains(codes, findingCodes[f]) {
			out = append(out, findingCodes[f]+" = "+plain(f))
		}
	}
	if slices.Contains(codes, "?") {
		out = append(out, "? = not seen in this stay")
	}
	return strings.Join(out, ", ")
}

// face draws the outline of a face from the front, with a bonnet, and of the
// back of a head.
func (d *drawing) face() {
	d.shape(`<g fill="none" stroke="#999" stroke-width="14" stroke-linecap="round">`)
	d.shape(`<ellipse cx="3600" cy="1880" rx="820" ry="1080"/>`)
	d.shape(`<ellipse cx="2740" cy="1840" rx="110" ry="230"/><ellipse cx="4460" cy="1840" rx="110" ry="230"/>`)
	d.shape(`<path d="M2850 1430Q3600 1130 4350 1430"/>`)                                                             // a bonnet's edge
	d.shape(`<path d="M3120 1600q140 90 280 0M3800 1600q140 90 280 0"/>`)                                             // eyes, closed
	d.shape(`<path d="M3500 1600Q3480 1850 3300 1990Q3400 2090 3600 2110Q3800 2090 3900 1990Q3720 1850 3700 1600"/>`) // nose
	d.shape(`<path d="M3330 2450Q3600 2560 3870 2450"/>`)                                                             // mouth
	d.shape(`<circle cx="3600" cy="3410" r="290"/><path d="M3420 3190Q3600 3120 3780 3190"/>`)
	d.shape(`</g>`)
	d.text(3930, 3350, style{size: 95, fill: dim}, "back of the head")
}
