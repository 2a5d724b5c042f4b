package page

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"cotline/handover"
	"cotline/handover/entry"
)

// Sides of a head chart: centimetres on the left; centiles and bonnets on the right.
const (
	headLeft = 560
	headSide = 1900 // from the right
	headTop  = 620
)

// headChart is a head chart being drawn.
type headChart struct {
	drawing
	right, bottom int // of the curves
	handover.HeadSeries
	clock
	low, high int // hundredths of a centimetre
}

// headChartOf draws one infant's head circumferences on the standard's centile
// curves as an SVG, with the ranges of the unit's bonnets and the days on which
// the head is expected to outgrow the one that is on. It describes; it is no
// verdict on growth.
func headChartOf(series handover.HeadSeries, in form) []byte {
	c := &headChart{HeadSeries: series, right: in.width - headSide, bottom: in.choose(3350, 2330)}
	c.form = in
	c.id = pictureID("head", series.Infant)
	c.clock = clock{at: series.At, zone: series.Zone}
	who := whose(series.Cot, series.MRN, series.Temporary)
	c.heading("head circumference", who)
	c.text(40, 300, style{bold: true}, c.bonnetSaid(!c.beside))
	c.text(40, 420, style{fill: dim}, c.curvesSaid())
	c.extent()
	c.shadeBonnet()
	c.gridCm()
	c.days()
	c.curves()
	c.forecast()
	c.readings()
	c.bonnets()
	y := c.bottom + 520
	for i, line := range c.legendLines() {
		y += 120 * btoi(i > 0)
		c.text(40, y, style{size: 95, fill: dim}, line)
	}
	c.caution(y + 130)
	c.height = y + 170
	return c.bytes("Head chart, "+who, strings.Join(c.told(), " "), "forecast")
}

func hundredths(d entry.Decimal) int { return int(math.Round(d.Float() * 100)) }

// extent takes in every reading, the curves and the bonnet that is on, in whole
// centimetres, at least five.
func (c *headChart) extent() {
	c.low, c.high = math.MaxInt, math.MinInt
	hold := func(v int) { c.low, c.high = min(c.low, v), max(c.high, v) }
	for _, x := range c.Heads {
		hold(hundredths(x.Cm))
	}
	for _, curve := range c.Curves {
		for _, p := range curve.Points {
			hold(hundredths(p.Cm))
		}
	}
	if c.On != nil {
		hold(hundredths(c.On.FromCm))
		hold(hundredths(c.On.ToCm))
	}
	if c.high < c.low {
		hold(2000)
	}
	c.low, c.high = (c.low-30)/100*100, (c.high+130)/100*100
	c.high = max(c.high, c.low+500)
}

func (c *headChart) y(v int) int {
	return c.bottom - (v-c.low)*(c.bottom-headTop)/(c.high-c.low)
}

// x is where the noon of a civil day lies.
func (c *headChart) x(on entry.Date) int {
	return headLeft + on.Sub(c.From)*(c.right-headLeft)/max(c.To.Sub(c.From), 1)
}

func (c *headChart) gridCm() {
	step := 100
	for (c.high-c.low)/step > 14 {
		step += 100
	}
	for v := c.low; v <= c.high; v += step {
		y := c.y(v)
		c.line(headLeft, y, c.right, y, 5, faint, "")
		c.fit(headLeft-30, y+35, style{fill: dim, at: end}, strconv.Itoa(v/100))
	}
	c.text(40, headTop-60, style{bold: true}, "cm")
}

// days rules weeks: of postmenstrual age where gestation is known to the day,
// else of life.
func (c *headChart) days() {
	c.line(headLeft, c.bottom, c.right, c.bottom, 12, ink, "")
	name := "weeks, postmenstrual age"
	if c.Gestation == 0 {
		name = "weeks of life"
	}
	every := 1
	for c.To.Sub(c.From)/(7*every) > 13 {
		every++
	}
	for day := c.From; !c.To.Before(day); day = day.Add(1) {
		weeks, odd, known := c.Weeks(day)
		if !known {
			weeks, odd = day.Sub(c.Born)/7, day.Sub(c.Born)%7
		}
		if odd != 0 || weeks%every != 0 || day.Before(c.Born) {
			continue
		}
		x := c.x(day)
		c.line(x, headTop, x, c.bottom, 5, faint, "")
		c.line(x, c.bottom, x, c.bottom+40, 10, ink, "")
		if c.fit(x, c.bottom+140, style{at: middle, bold: true}, strconv.Itoa(weeks)) {
			c.fit(x, c.bottom+255, style{at: middle, size: 95}, c.civil(day))
		}
	}
	c.text(headLeft, c.bottom+375, style{}, name+", with the day on which each begins")
	x := c.x(c.Today)
	c.line(x, headTop, x, c.bottom, 14, ink, "50 35")
	c.fit(x, headTop-30, style{at: middle, bold: true}, "today")
}

// curves draws the centiles, told apart by their dashes and numbers.
func (c *headChart) curves() {
	dashes := map[int]string{3: "14 26", 10: "60 30", 90: "60 30", 97: "14 26"}
	for _, curve := range c.Curves {
		path := ""
		for i, p := range curve.Points {
			path += fmt.Sprintf("%c%d %d", "LM"[btoi(i == 0)], c.x(p.On), c.y(hundredths(p.Cm)))
		}
		last := curve.Points[len(curve.Points)-1]
		c.shape(`<path d="%s" fill="none" stroke="%s" stroke-width="%d" stroke-dasharray="%s"/>`, path, dim,
			10+4*btoi(curve.Centile == 50), dashes[curve.Centile])
		c.fit(c.x(last.On)+30, c.y(hundredths(last.Cm))+35, style{fill: dim, size: 95, halo: true}, strconv.Itoa(curve.Centile))
	}
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

// readings draws every head: joined where they can be compared.
func (c *headChart) readings() {
	path, comparable := "", 0
	for _, x := range c.Heads {
		if x.Unreliable == "" && !x.AtBirth {
			path += fmt.Sprintf("%c%d %d", "LM"[btoi(comparable == 0)], c.x(x.On), c.y(hundredths(x.Cm)))
			comparable++
		}
	}
	if comparable > 1 {
		c.shape(`<path d="%s" fill="none" stroke="%s" stroke-width="14"/>`, path, ink)
	}
	for _, h := range c.Heads {
		x, y := c.x(h.On), c.y(hundredths(h.Cm))
		switch {
		case h.Unreliable != "":
			c.shape(`<path d="M%d %dl76 76m0 -76l-76 76" fill="none" stroke="%s" stroke-width="18"/>`, x-38, y-38, ink)
		case h.AtBirth:
			c.shape(`<path d="M%d %dl50 50l-50 50l-50 -50z" fill="#fff" stroke="%s" stroke-width="14"/>`, x, y-50, ink)
		default:
			c.shape(`<circle cx="%d" cy="%d" r="40"/>`, x, y)
		}
	}
	if len(c.Heads) == 0 {
		c.fit(headLeft+60, headTop+160, style{bold: true, halo: true}, "NOT CHARTED")
	}
	if n := len(c.Heads); n > 0 {
		c.valueLabel(c.Heads[n-1], true)
		for _, h := range c.Heads[:n-1] {
			c.valueLabel(h, false)
		}
	}
}

// valueLabel writes a reading beside its mark, where there is room.
func (c *headChart) valueLabel(h handover.HeadSeen, latest bool) {
	x, y := c.x(h.On), c.y(hundredths(h.Cm))
	st := style{at: middle, halo: true, bold: latest}
	words := h.Cm.String()
	if latest {
		words += " cm"
	}
	_ = c.fit(x, y+140, st, words) || c.fit(x, y-70, st, words)
}
