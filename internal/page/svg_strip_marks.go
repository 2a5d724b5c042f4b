package page

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// face is what was on the face, by pattern and word, and each rotation.
func (s *strip) face() {
	top := s.lane("Interface", "", 420)
	if len(s.Interface) == 0 {
		s.fit(stripLeft+40, top+290, style{fill: dim}, "none charted")
	}
	for i, b := range s.Interface {
		x, w := s.stretchOf(b.From, b.To)
		y := top + 200
		words := joined(" ", b.What, said(b.Size))
		switch b.What {
		case "off":
			s.line(x, y+80, x+w, y+80, 14, ink, "20 40")
		case "cannula":
			s.rect(x, y, w, 160, "#fff", ink, 10)
		default:
			s.rect(x, y, w, 160, "#fff", "none", 0)
			s.rect(x, y, w, 160, s.hatch(b.What), ink, 10)
		}
		s.inBar(x, w, y, words)
		if i == len(s.Interface)-1 {
			s.now(y+90, b.What)
			s.fit(s.x1+60, y+195, style{}, shortened(said(b.Size), stripNow-80, 100, false))
		}
		switch b.What {
		case "mask":
			s.explain("Interface", "slanted lines = mask")
		case "prongs":
			s.explain("Interface", "upright lines = prongs")
		case "cannula":
			s.explain("Interface", "plain bar = cannula")
		default:
			s.explain("Interface", "dots = off")
		}
	}
	next := 0 // where the next arrow has room
	for _, r := range s.Rotations {
		x, y := s.timeAxis.x(r.At), top+105
		s.line(x, y+60, x, top+200, 16, ink, "")
		if x-55 < next {
			continue
		}
		next = x + 85
		s.shape(`<path d="M%d %dl-34 34l34 34M%d %dl34 34l-34 34M%d %dh104" fill="none" stroke="%s" stroke-width="16"/>`, x-18, y-34, x+18,
			y-34, x-52, y, ink)
		if s.fit(x+75, y+35, style{halo: true}, s.hour(r.At)) {
			next = x + 75 + inkWidth(s.hour(r.At), 100, false) + 30
		}
		s.explain("Interface", "double arrow = rotation")
	}
}

// inBar writes words on a white ground inside a bar, where they fit.
func (s *strip) inBar(x, w, y int, words string) {
	width := inkWidth(words, 100, true)
	if width+60 > w {
		return
	}
	s.rect(x+15, y+22, width+30, 116, "#fff", "none", 0)
	s.fit(x+30, y+115, style{bold: true}, words)
}

// mark is something that happened at a moment, drawn as a small box with a few
// letters in it; a black one wants a look.
type mark struct {
	x     int
	code  string
	black bool
	n     int
}

// marks draws a lane of marks. Those that would overlap become one, with their
// number and the code that stands for both.
func (s *strip) marks(lane string, top int, all []mark, both func(a, b string) string) {
	const gap = 20
	width := func(m mark) int { return max(inkWidth(m.label(), 95, true)+30, 120) }
	var out []mark
	for _, m := range all {
		m.n = 1
		for n := len(out); n > 0; n = len(out) {
			a := out[n-1]
			if m.x-width(m)/2 >= a.x+width(a)/2+gap {
				break
			}
			m = mark{(a.x*a.n + m.x*m.n) / (a.n + m.n), both(a.code, m.code), a.black || m.black, a.n + m.n}
			out = out[:n-1]
		}
		out = append(out, m)
	}
	for _, m := range out {
		w := width(m)
		x := min(max(m.x-w/2, stripLeft), s.width-w)
		fill, colour := "#fff", ink
		if m.black {
			fill, colour = ink, "#fff"
		}
		s.rect(x, top+45, w, 130, fill, ink, 10)
		s.text(x+w/2, top+145, style{size: 95, bold: true, fill: colour, at: middle}, m.label())
		if m.n > 1 {
			s.explain(lane, "2× = so many at about one time")
		}
	}
}

func (m mark) label() string {
	if m.n > 1 {
		return joined(" ", fmt.Sprintf("%d×", m.n), m.code)
	}
	return m.code
}

// findingCodes stand in the box of a finding.
var findingCodes = map[string]string{
	"intact": "ok", "blanching": "bl", "stage-1": "1", "stage-2": "2", "mucosal": "mu", "stage-3": "3", "stage-4": "4",
	"unstageable": "un", "deep": "de",
}

// skin marks each check by its worst finding.
func (s *strip) skin() {
	top := s.lane("Skin checks", "", 220)
	if len(s.Skin) == 0 {
		s.fit(stripLeft+40, top+145, style{fill: dim, halo: true}, "none charted")
	}
	var all []mark
	for _, c := range s.Skin {
		all = append(all, mark{x: s.timeAxis.x(c.At), code: findingCodes[c.Worst], black: c.Worst != "intact"})
	}
	s.marks("Skin", top, all, worse)
	for _, f := range entry.Findings {
		if slices.ContainsFunc(s.Skin, func(c handover.SkinSeen) bool { return c.Worst == f }) {
			s.explain("Skin", findingCodes[f]+" = worst site "+plain(f))
		}
	}
}

// worse is the code of the finding that sorts later.
func worse(a, b string) string {
	for _, f := range slices.Backward(entry.Findings) {
		if c := findingCodes[f]; c == a || c == b {
			return c
		}
	}
	return a
}

// either has the letters of both, in the order of the signs.
func either(a, b string) string {
	out := ""
	for _, sign := range entry.Signs {
		if c := initial(sign); strings.Contains(a+b, c) {
			out += c
		}
	}
	return out
}

func initial(word string) string { return strings.ToUpper(word[:1]) }

// episodes marks each by the first letters of its signs.
func (s *strip) episodes() {
	top := s.lane("Episodes", "", 220)
	if len(s.Episodes) == 0 {
		s.fit(stripLeft+40, top+145, style{fill: dim, halo: true}, "none charted")
		return
	}
	var all []mark
	for _, e := range s.Episodes {
		code := ""
		for _, sign := range e.Signs {
			code += initial(sign)
			s.explain("Episodes", initial(sign)+" = "+sign)
		}
		all = append(all, mark{x: s.timeAxis.x(e.At), code: code, black: e.Recovered != "by-itself"})
		if e.Recovered != "by-itself" {
			s.explain("Episodes", "black = needed help")
		}
	}
	s.marks("Episodes", top, all, either)
}

// alarms marks each, with what it was about where there is room.
func (s *strip) alarms() {
	top := s.lane("Alarms", "", 220)
	if len(s.Alarms) == 0 {
		s.fit(stripLeft+40, top+145, style{fill: dim, halo: true}, "none charted")
		return
	}
	var all []mark
	for _, a := range s.Alarms {
		x := s.timeAxis.x(a.At)
		all = append(all, mark{x: x, code: "!"})
		if a.SettledAt.After(a.At) && a.SettledAt.After(s.Since) {
			s.line(x, top+195, s.timeAxis.x(earlier(a.SettledAt, s.At)), top+195, 20, ink, "")
			s.explain("Alarms", "bar beneath = until settled")
		}
	}
	s.marks("Alarms", top, all, func(a, _ string) string { return a })
	for _, a := range s.Alarms {
		s.fit(s.timeAxis.x(a.At)+85, top+145, style{halo: true}, plain(a.About))
	}
}

func earlier(a, b time.Time) time.Time {
	if a.Before(b) {
		return a
	}
	return b
}
