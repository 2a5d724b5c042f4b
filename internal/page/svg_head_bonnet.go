package page

import (
	"fmt"

	"cotline/handover"
)

// shadeBonnet shades the range of the bonnet that is on, from the day since when
// it has been.
func (c *headChart) shadeBonnet() {
	if c.On == nil {
		return
	}
	x := min(max(c.x(c.On.Since), headLeft), c.right-20)
	top, bottom := c.y(hundredths(c.On.ToCm)), c.y(hundredths(c.On.FromCm))
	c.rect(x, top, c.right-x, bottom-top, band, "none", 0)
	c.line(x, top, c.right, top, 14, dim, "")
	c.line(x, bottom, c.right, bottom, 14, dim, "")
}

// forecast draws the days of the forecast on the upper end of the bonnet on.
func (c *headChart) forecast() {
	f := c.Forecast
	if f == nil || f.CheckFrom.IsZero() {
		return
	}
	y, left, right := c.y(hundredths(f.ToCm)), c.x(f.CheckFrom), c.right
	if !f.Latest.IsZero() {
		right = c.x(f.Latest)
	}
	c.rect(left, y-45, max(right-left, 20), 90, "#fff", "none", 0)
	c.rect(left, y-45, max(right-left, 20), 90, c.hatch("forecast"), ink, 10)
	if !f.Expected.IsZero() {
		x := c.x(f.Expected)
		c.line(x, y-110, x, y+110, 24, ink, "")
	}
}

// bonnets draws the ranges of the unit's sizes beside the scale, in columns so
// that those which overlap stand apart.
func (c *headChart) bonnets() {
	first, between := c.right+330, 470
	var ends [3]int // how high each column is taken
	for i := range ends {
		ends[i] = c.low
	}
	for _, b := range c.Bonnets {
		from, to := max(hundredths(b.FromCm), c.low), min(hundredths(b.ToCm), c.high)
		if from >= to {
			continue
		}
		for i := range ends {
			if from < ends[i] {
				continue
			}
			ends[i] = to
			c.bracket(first+i*between, between-90, b)
			break
		}
	}
	if len(c.Bonnets) > 0 {
		c.fit(first, headTop-30, style{bold: true}, "bonnets")
	}
}

// bracket draws one range; an end that lies outside the chart stays open.
func (c *headChart) bracket(x, room int, b handover.BonnetSize) {
	from, to := hundredths(b.FromCm), hundredths(b.ToCm)
	bottom, top := c.y(max(from, c.low))-8, c.y(min(to, c.high))+8
	on := c.On != nil && c.On.Name == b.Name
	width := 12
	if on {
		width = 36
	}
	c.line(x, bottom, x, top, width, ink, "")
	if from >= c.low {
		c.line(x, bottom, x+50, bottom, 12, ink, "")
	}
	if to <= c.high {
		c.line(x, top, x+50, top, 12, ink, "")
	}
	y := (bottom + top) / 2
	st := style{bold: on, size: 95}
	if bottom-top > 240 && c.fit(x+45, y, st, shortened(said(b.Name), room, 95, on)) {
		c.fit(x+45, y+110, style{size: 90, fill: dim}, shortened(b.FromCm.String()+"–"+b.ToCm.String(), room, 90, false))
	}
}

// bonnetSaid is the bonnet that is on and when the head is expected to outgrow it; the
// day that is likeliest is left out where there is no room for it: the chart shows it.
func (c *headChart) bonnetSaid(day bool) string {
	if c.On == nil {
		return "No bonnet of a known range is on."
	}
	s := "Bonnet " + shortened(said(c.On.Name), 1500, 100, true) + " (" + c.On.FromCm.String() + " to " + c.On.ToCm.String() +
		" cm), on since " + c.civil(c.On.Since) + ". "
	f := c.Forecast
	switch {
	case f == nil:
		return s + "No forecast."
	case f.CheckFrom.IsZero():
		return s + "Not expected to be outgrown within the standard."
	}
	v := view{clock: c.clock}
	s += "Outgrown by forecast between " + v.forecastDay(f.CheckFrom) + " and " + v.forecastDay(f.Latest)
	if day {
		s += ", expected " + v.forecastDay(f.Expected)
	}
	return s + "."
}

func (c *headChart) curvesSaid() string {
	if len(c.Curves) == 0 {
		return "No curves: " + noZ[c.NoCurves] + "."
	}
	sex := "girls"
	if c.Boy {
		sex = "boys"
	}
	return "Centiles 3, 10, 50, 90, 97: " + c.Standard + ", " + sex + ". A description, not a verdict."
}

// legendLines explain the marks that were drawn.
func (c *headChart) legendLines() []string {
	var dot, unreliable, birth, grey, days string
	for _, h := range c.Heads {
		switch {
		case h.Unreliable != "":
			unreliable = "cross = unreliable"
		case h.AtBirth:
			birth = "diamond = day of birth, another standard"
		default:
			dot = "dot = reading"
		}
	}
	if c.On != nil {
		grey = "grey = bonnet on"
	}
	if c.Forecast != nil && !c.Forecast.CheckFrom.IsZero() {
		days = "hatched = forecast, upright = expected"
	}
	marks := joined(", ", dot, unreliable, birth)
	if all := joined(", ", marks, grey, days); inkWidth(all, 95, false) <= c.width-80 {
		return []string{all}
	}
	return []string{marks, joined(", ", grey, days)}
}

// told is what the chart shows, in words.
func (c *headChart) told() []string {
	out := []string{c.bonnetSaid(true), c.curvesSaid()}
	if len(c.Heads) == 0 {
		out = append(out, "Head: none charted.")
	}
	for _, h := range c.Heads {
		age := ""
		if weeks, days, ok := c.Weeks(h.On); ok {
			age = fmt.Sprintf(", postmenstrual age %d+%d", weeks, days)
		}
		birth := ""
		if h.AtBirth {
			birth = ", day of birth"
		}
		out = append(out, c.civil(h.On)+": "+h.Cm.String()+" cm"+prefixed(", unreliable: ", h.Unreliable)+birth+age+".")
	}
	return out
}
