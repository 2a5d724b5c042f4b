package page

import (
	"strings"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// timeAxis puts moments of a window between two sides.
type timeAxis struct {
	clock
	from   time.Time
	x0, x1 int
}

// x is where a moment lies; one outside the window lies at its side.
func (a timeAxis) x(t time.Time) int {
	whole := a.at.Sub(a.from).Milliseconds()
	part := min(max(t.Sub(a.from).Milliseconds(), 0), whole)
	if whole == 0 {
		return a.x1
	}
	return a.x0 + int(part*int64(a.x1-a.x0)/whole)
}

// Steps between ticks: hours of the clock, then whole days.
var (
	hourSteps = []int{1, 2, 3, 4, 6, 12}
	daySteps  = []int{1, 2, 7, 14, 28, 91, 364}
)

// hourTick is the room that a label of an hour wants.
const hourTick = 400

// draw writes ticks by the unit's clock: an hour that comes twice stands twice,
// told apart as first and second; one that a change skips does not stand at all.
func (a timeAxis) draw(d *drawing, top, y int, changes []handover.ClockChange) {
	d.line(a.x0, y, a.x1, y, 12, ink, "")
	hours := int(a.at.Sub(a.from)/time.Hour) + 1
	room := max((a.x1-a.x0)/hourTick, 1)
	step, days := 0, 0
	for _, s := range hourSteps {
		if hours <= s*room {
			step = s
			break
		}
	}
	if step == 0 {
		for _, days = range daySteps {
			if hours <= 24*days*room {
				break
			}
		}
	}
	// Every offset is a multiple of a quarter of an hour, and so are full hours.
	const quarter = 15 * time.Minute
	for t := a.from.Truncate(quarter); !t.After(a.at); t = t.Add(quarter) {
		local := t.In(a.zone)
		if t.Before(a.from) || local.Minute() != 0 || step > 0 && local.Hour()%step != 0 {
			continue
		}
		if step == 0 && (local.Hour() != 0 || entry.DateOf(t, a.zone).Sub(entry.Date{})%days != 0) {
			continue
		}
		a.tick(d, top, y, local, step)
	}
	a.ends(d, y)
	for _, c := range changes {
		x := a.x(c.At)
		d.line(x, top, x, y, 14, ink, "50 35")
	}
}

// tick is one full hour, or a day where step is 0.
func (a timeAxis) tick(d *drawing, top, y int, local time.Time, step int) {
	x := a.x(local)
	colour := faint
	if local.Hour() == 0 {
		colour = dim
	}
	d.line(x, top, x, y, 6, colour, "")
	d.line(x, y, x, y+40, 10, ink, "")
	label := local.Format(hourMinute)
	if step == 0 {
		label = local.Format(dayMonth)
	}
	if !d.fit(x, y+140, style{at: middle}, label) {
		return
	}
	switch {
	case step > 0 && entry.WhichOfTwo(local) != "":
		d.fit(x, y+250, style{size: 90, at: middle, bold: true}, strings.Trim(entry.WhichOfTwo(local), " ()"))
	case step > 0 && local.Hour() == 0:
		d.fit(x, y+250, style{at: middle, bold: true}, local.Format(dayMonth))
	}
}

// ends names the day at the beginning of the axis, where there is room.
func (a timeAxis) ends(d *drawing, y int) {
	first := a.from.In(a.zone)
	if !d.fit(a.x0, y+250, style{bold: true, at: middle}, first.Format(dayMonth)) {
		d.fit(a.x0, y+250, style{bold: true, at: end}, first.Format(dayMonth))
	}
}

// hour is a clock time without its day, which is seen on the axis, but for a
// window longer than a day.
func (a timeAxis) hour(t time.Time) string {
	if a.at.Sub(a.from) > 24*time.Hour {
		return a.when(t)
	}
	local := t.In(a.zone)
	return local.Format(hourMinute) + entry.WhichOfTwo(local)
}

// changeSaid is a change of the clock in words.
func changeSaid(c handover.ClockChange) string {
	if d := c.After - c.Before; d > 0 {
		return "clock forward " + elapsed(d)
	}
	return "clock back " + elapsed(c.Before-c.After)
}

// windowSaid is from when to when, and how long that is as it passes.
func (a timeAxis) windowSaid(changes []handover.ClockChange) string {
	minutes := int(a.at.Sub(a.from) / time.Minute)
	long := []string{count(minutes/60, "hour", "hours"), count(minutes%60, "minute", "minutes")}
	switch {
	case minutes < 60:
		long = long[1:]
	case minutes%60 == 0:
		long = long[:1]
	case minutes >= 48*60:
		long = []string{count(minutes/60/24, "day", "days"), count(minutes/60%24, "hour", "hours")}
	}
	s := []string{a.when(a.from) + " to " + a.when(a.at), strings.Join(long, " ")}
	for _, c := range changes {
		s = append(s, changeSaid(c)+" at "+c.At.UTC().Add(c.Before).Format(hourMinute))
	}
	return strings.Join(s, ", ")
}
