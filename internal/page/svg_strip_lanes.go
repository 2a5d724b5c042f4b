package page

import (
	"fmt"
	"math"
	"strconv"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// scale puts a value, in tenths, between the bottom and the top of a lane.
type scale struct{ low, high, step, top, bottom int }

func tenths(d entry.Decimal) int { return int(math.Round(d.Float() * 10)) }

// scaleOf goes at least from low to high, in whole steps.
func scaleOf(steps []handover.Step, low, high, step int) scale {
	sc := scale{low: low * 10, high: high * 10, step: step * 10}
	for _, x := range steps {
		if x.Value != nil {
			sc.hold(tenths(*x.Value))
		}
	}
	for (sc.high-sc.low)/sc.step > 4 {
		sc.step *= 2
	}
	return sc
}

// hold widens a scale by whole steps until a value lies on it.
func (sc *scale) hold(v int) {
	for v < sc.low {
		sc.low -= sc.step
	}
	for v > sc.high {
		sc.high += sc.step - (sc.high % sc.step)
	}
}

func (sc scale) y(v int) int {
	return sc.bottom - (v-sc.low)*(sc.bottom-sc.top)/(sc.high-sc.low)
}

// grid rules a lane at whole steps, and at its lowest value.
func (s *strip) grid(sc scale) {
	for v := sc.low; v <= sc.high; v += sc.step - (v % sc.step) {
		y := sc.y(v)
		s.line(stripLeft, y, s.x1, y, 6, faint, "")
		s.fit(stripLeft-30, y+35, style{size: 95, fill: dim, at: end}, strconv.Itoa(v/10))
	}
}

// stepLane draws a set value as steps. Where it applies and was not charted, the
// lane says so.
func (s *strip) stepLane(name, unit string, steps []handover.Step, sc scale) {
	if len(steps) == 0 {
		return
	}
	height := s.choose(620, 520)
	top := s.lane(name, unit, height)
	sc.top, sc.bottom = top+150, top+height-60
	s.grid(sc)
	path, at := "", time.Time{}
	for _, x := range steps {
		if x.Value == nil {
			s.missing(x, sc)
			continue
		}
		y := sc.y(tenths(*x.Value))
		if path == "" || !at.Equal(x.From) {
			path += fmt.Sprintf("M%d %d", s.timeAxis.x(x.From), y)
		} else {
			path += fmt.Sprintf("V%d", y)
		}
		path += fmt.Sprintf("H%d", s.timeAxis.x(x.To))
		at = x.To
	}
	if path != "" {
		s.shape(`<path d="%s" fill="none" stroke="%s" stroke-width="22"/>`, path, ink)
	}
	s.stepLabels(steps, sc)
	if last := steps[len(steps)-1]; last.To.Equal(s.At) {
		if last.Value == nil {
			s.fit(s.x1+60, (sc.top+sc.bottom)/2, style{bold: true}, "NOT")
			s.fit(s.x1+60, (sc.top+sc.bottom)/2+110, style{bold: true}, "CHARTED")
		} else {
			s.now(sc.y(tenths(*last.Value))+40, withUnit(last.Value.String(), unit))
		}
	}
}

// missing draws a stretch in which a value applies and was not charted.
func (s *strip) missing(x handover.Step, sc scale) {
	left, w := s.stretchOf(x.From, x.To)
	y := (sc.top + sc.bottom) / 2
	s.line(left, y, left+w, y, 14, ink, "20 40")
	if inkWidth("NOT CHARTED", 100, true)+40 <= w {
		s.fit(left+20, y-30, style{bold: true, halo: true}, "NOT CHARTED")
	}
}

// stepLabels writes values over their steps: the greatest first, then those that
// have room on their own step and differ from the one before.
func (s *strip) stepLabels(steps []handover.Step, sc scale) {
	greatest := -1
	for i, x := range steps {
		if x.Value != nil && (greatest < 0 || x.Value.Cmp(*steps[greatest].Value) > 0) {
			greatest = i
		}
	}
	label := func(i int) {
		x := steps[i]
		if x.Value == nil {
			return
		}
		y := sc.y(tenths(*x.Value))
		left, w := s.stretchOf(x.From, x.To)
		words := x.Value.String()
		room := inkWidth(words, 100, false) + 45
		again := i > 0 && steps[i-1].Value != nil && steps[i-1].Value.Cmp(*x.Value) == 0 && steps[i-1].To.Equal(x.From)
		if i != greatest && room > w || again || left+room > s.x1 {
			return
		}
		s.fit(left+30, y-35, style{halo: true}, words)
	}
	if greatest >= 0 {
		label(greatest)
	}
	for i := range steps {
		if i != greatest {
			label(i)
		}
	}
}

// saturation draws the readings of SpO2 over the target that was in force. A
// shape says where a reading lies; the lowest below the target has its value.
func (s *strip) saturation() {
	if len(s.SpO2) == 0 && len(s.Target) == 0 {
		return
	}
	sc := scale{low: 850, high: 1000, step: 50}
	for _, x := range s.SpO2 {
		sc.hold(tenths(x.Value))
	}
	for _, t := range s.Target {
		if t.Low != nil {
			sc.hold(tenths(*t.Low))
		}
	}
	for (sc.high-sc.low)/sc.step > 4 {
		sc.step *= 2
	}
	height := s.choose(900, 760)
	top := s.lane("SpO2, seen", "%", height)
	sc.top, sc.bottom = top+90, top+height-110
	for _, t := range s.Target {
		s.target(t, sc)
	}
	s.grid(sc)
	var lowest *handover.Saturation
	for i, x := range s.SpO2 {
		s.reading(x, sc)
		if x.Against == "below" && (lowest == nil || x.Value.Cmp(lowest.Value) < 0) {
			lowest = &s.SpO2[i]
		}
	}
	if lowest != nil {
		s.fit(min(s.timeAxis.x(lowest.At), s.x1-80), sc.y(tenths(lowest.Value))+125, style{at: middle, bold: true, halo: true},
			lowest.Value.String())
	}
	if n := len(s.SpO2); n > 0 {
		last := s.SpO2[n-1]
		s.now(top+330, "last "+withUnit(last.Value.String(), "%"))
		s.fit(s.x1+60, top+450, style{}, "at "+s.when(last.At))
	} else {
		s.fit(s.x1+60, top+330, style{bold: true}, "none charted")
	}
}

// target draws one stretch of the band; in air it has no upper end.
func (s *strip) target(t handover.Target, sc scale) {
	if !t.Whole() {
		return
	}
	x, w := s.stretchOf(t.From, t.To)
	high, words := sc.high, "from "+t.Low.String()+", in air"
	if !t.Air {
		high, words = tenths(*t.High), t.Low.String()+" to "+t.High.String()
	}
	y, low := sc.y(high), sc.y(tenths(*t.Low))
	s.rect(x, y, w, low-y, band, "none", 0)
	s.line(x, low, x+w, low, 12, dim, "")
	if !t.Air {
		s.line(x, y, x+w, y, 12, dim, "")
	}
	if inkWidth(words, 95, false)+40 <= w {
		s.fit(x+20, low+100, style{size: 95, fill: dim, halo: true}, words)
	}
	s.explain("SpO2", "grey band = target in force")
}

// reading draws one reading of SpO2.
func (s *strip) reading(v handover.Saturation, sc scale) {
	x, y := s.timeAxis.x(v.At), sc.y(tenths(v.Value))
	switch v.Against {
	case "in-target":
		s.shape(`<circle cx="%d" cy="%d" r="34"/>`, x, y)
		s.explain("SpO2", "dot = in target")
	case "below":
		s.shape(`<path d="M%d %dh100l-50 88z" fill="%s"/>`, x-50, y-34, alert)
		s.explain("SpO2", "triangle down = below")
	case "above":
		s.shape(`<path d="M%d %dh100l-50 -88z" fill="%s"/>`, x-50, y+34, alert)
		s.explain("SpO2", "triangle up = above")
	default:
		s.shape(`<circle cx="%d" cy="%d" r="32" fill="#fff" stroke="%s" stroke-width="12"/>`, x, y, ink)
		s.explain("SpO2", "ring = off support, or no target")
	}
}
