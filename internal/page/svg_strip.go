package page

import (
	"slices"
	"strings"
	"time"

	"cotline/handover"
)

// A strip has names and scales of the lanes on its left, what holds at the moment of
// the handover on its right.
const (
	stripLeft = 950
	stripNow  = 800
)

// strip is a shift strip being drawn from top to bottom.
type strip struct {
	drawing
	timeAxis
	handover.Series
	y      int        // where the next lane begins
	legend [][]string // what the marks that were used mean, by lane
}

// shiftStrip draws one infant's window on a clock axis as an SVG: support, set
// FiO2 and set pressure as steps, readings of SpO2 with the target then in force,
// what was on the face, rotations, skin checks, episodes and alarms. It is for
// looking back over a shift, not for watching an infant.
func shiftStrip(series handover.Series, in form) []byte {
	s := &strip{Series: series}
	s.form = in
	s.id = pictureID("strip", series.Infant)
	s.timeAxis = timeAxis{clock{at: series.At, zone: series.Zone}, series.Since, stripLeft, in.width - stripNow}
	who := whose(series.Cot, series.MRN, series.Temporary)
	s.heading("what was charted", who)
	s.text(40, 300, style{}, s.windowSaid(series.Clocks))
	s.y = 360
	if len(series.Clocks) > 0 {
		s.y += 110
		for _, c := range series.Clocks {
			s.fit(s.timeAxis.x(c.At), s.y-30, style{at: middle, bold: true}, changeSaid(c))
		}
	}
	s.text(s.x1+60, 300, style{bold: true}, s.when(series.At))
	top, ground := s.y, s.body.Len()
	s.support()
	s.stepLane("FiO2, set", "%", s.FiO2, scaleOf(s.FiO2, 21, 30, 10))
	s.stepLane("Pressure, set", "cmH2O", s.Pressure, scaleOf(s.Pressure, 4, 8, 2))
	s.saturation()
	s.face()
	s.skin()
	s.episodes()
	s.alarms()
	bottom := s.y
	s.beneath(ground, func() {
		s.off(top, bottom)
		s.timeAxis.draw(&s.drawing, top, bottom, s.Clocks)
	})
	s.y += 420
	s.writeLegend()
	s.height = s.y + 40
	return s.bytes("Shift strip, "+who, strings.Join(s.told(), " "), "mask", "prongs", "break")
}

// stretchOf is where a stretch of the window lies, at least so wide that it is seen.
func (s *strip) stretchOf(from, to time.Time) (x, w int) {
	x = s.timeAxis.x(from)
	w = max(s.timeAxis.x(to)-x, 12)
	return min(x, s.x1-w), w
}

// lane names a lane, rules it off and goes on to the next; it returns its top.
func (s *strip) lane(name, unit string, height int) int {
	top := s.y
	s.text(40, top+120, style{bold: true}, name)
	s.text(40, top+235, style{fill: dim, size: 95}, unit)
	s.y += height
	s.line(40, s.y, s.width-40, s.y, 5, faint, "")
	return top
}

// now writes on the right what holds at the moment of the handover.
func (s *strip) now(y int, words string) {
	s.fit(s.x1+60, y, style{size: 120, bold: true}, shortened(words, stripNow-100, 120, true))
}

// explain adds to a lane's part of the legend, once.
func (s *strip) explain(lane, words string) {
	i := slices.IndexFunc(s.legend, func(l []string) bool { return l[0] == lane })
	if i < 0 {
		s.legend = append(s.legend, []string{lane, words})
	} else if !slices.Contains(s.legend[i][1:], words) {
		s.legend[i] = append(s.legend[i], words)
	}
}

// writeLegend says what the marks mean, a lane after the other, and the caution.
func (s *strip) writeLegend() {
	st := style{size: 95}
	line := ""
	put := func(next string) {
		if line != "" {
			s.text(40, s.y, st, line)
			s.y += 125
		}
		line = next
	}
	for _, lane := range s.legend {
		for i, words := range lane[1:] {
			between, lead := ", ", words
			if i == 0 {
				between, lead = ". ", lane[0]+": "+words
			}
			if longer := joined(between, line, lead); inkWidth(longer+".", st.size, false) <= s.width-80 {
				line = longer
			} else {
				put(lead)
			}
		}
	}
	put("")
	s.caution(s.y)
}

// off hatches the time off support, through every lane.
func (s *strip) off(top, bottom int) {
	for _, b := range s.Support {
		if b.What == "break" || b.What == "off" {
			x, w := s.stretchOf(b.From, b.To)
			s.rect(x, top, w, bottom-top, s.hatch("break"), "none", 0)
		}
	}
}

// support is the lane of modes, breaks and time off.
func (s *strip) support() {
	top := s.lane("Support", "", 230)
	if len(s.Support) == 0 {
		s.fit(stripLeft+40, top+150, style{fill: dim}, "none in this window")
	}
	for i, b := range s.Support {
		x, w := s.stretchOf(b.From, b.To)
		what := modeSaid(b.What)
		off := what == "break" || what == "off"
		if !off {
			s.rect(x, top+50, w, 140, "#fff", ink, 10)
		}
		if st := (style{bold: true}); inkWidth(what, 100, true)+30 <= w {
			s.fit(x+20, top+155, st, what)
		}
		if i == len(s.Support)-1 && b.To.Equal(s.At) {
			s.now(top+160, what)
		}
	}
}
