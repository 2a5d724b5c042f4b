package sheets

import (
	"fmt"
	"iter"
	"math"
	"slices"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// Pictures stand on a sheet of their own, and so do the points that they are drawn from: no table, so that nobody sorts or
// filters another infant under a picture. A set value holds until the next one and is drawn as a step: two points a value.
const (
	chartSpan   = 7 * 24 * time.Hour // before the moment; heads of the whole record
	mostCharted = 32                 // infants: beyond, nobody would look through the pictures
	chartTall   = 119.0              // points: four infants a page
)

// point is a row of the sheet of points.
type point struct {
	*handover.Summary
	line  string
	when  cell
	value entry.Decimal
}

// drawn gathers points and pictures.
type drawn struct {
	clock
	points []point
	charts []chart
	said   map[string]string // what stands under a picture, by infant and column
}

// chartColumns are the pictures of an infant, in their order.
var chartColumns = []string{"Set pressure", "Set FiO2", "SpO2 and target", "Head"}

// chartSheets are the sheet of pictures and that of their points; none on a ward on which nobody would look through them.
func chartSheets(h *handover.Handover, entries []*entry.Entry, policy *handover.Policy) []sheet {
	if len(h.Infants) > mostCharted {
		return nil
	}
	d := &drawn{clock: clock{h.Zone}, said: map[string]string{}}
	ward := handover.Ward{Entries: entries, Policy: policy}
	for i, s := range h.Infants {
		d.infant(ward, h, s, i+1)
	}
	infant := infantColumns(func(s *handover.Summary) *handover.Summary { return s })
	infant[2].wrap = 14
	for _, name := range chartColumns {
		infant = append(infant, column[*handover.Summary]{name, chartDigits, func(s *handover.Summary) cell {
			return text(d.said[s.Infant+name], "fewer than two points to draw")
		}})
	}
	pictures := table(chartsName, "No infant was admitted.", slices.Values(h.Infants), infantRow, infant...)
	pictures.full, pictures.plain, pictures.tall, pictures.charts = true, true, chartTall, d.charts
	pictures.printed = len(infant)
	return []sheet{pictures, d.sheet()}
}

// sheet is the points. Moments stand as the clock shows them, as everywhere.
func (d *drawn) sheet() sheet {
	columns := infantColumns(func(p point) *handover.Summary { return p.Summary })
	columns = append(columns, column[point]{"Line", 30, func(p point) cell { return word(p.line) }},
		column[point]{"Moment or day (" + d.zone.String() + ")", 12, func(p point) cell { return p.when }},
		column[point]{"Value", 8, func(p point) cell { return number(p.value) }},
		keyColumn(func(p point) string { return p.Infant }))
	s := table(chartDataName, "No picture is drawn.", slices.Values(d.points), infantPoint, columns...)
	s.full, s.plain = true, true
	return s
}

func infantPoint(p point) string { return "infant " + p.Infant }

func (d *drawn) infant(ward handover.Ward, h *handover.Handover, s *handover.Summary, row int) {
	longer := *s
	longer.Since = h.At.Add(-chartSpan)
	week := *h
	week.Infants = []*handover.Summary{&longer}
	if x, ok := handover.SeriesOf(ward, &week, s.Infant); ok {
		d.draw(s, row, 0, "cmH2O", d.steps(s, "Set pressure", setPoints(x.Pressure)))
		d.draw(s, row, 1, "%", d.steps(s, "Set FiO2", setPoints(x.FiO2)))
		var seen []dot
		for _, v := range x.SpO2 {
			seen = append(seen, dot{v.At, v.At, &v.Value})
		}
		lines := d.steps(s, "SpO2", slices.Values(seen))
		low, high := targetPoints(x.Target)
		d.draw(s, row, 2, "%", lines, dashed(d.steps(s, "target, low", low)), dashed(d.steps(s, "target, high", high)))
	}
	if x, ok := handover.HeadSeriesOf(ward, h, s.Infant); ok {
		d.head(s, row, x)
	}
}

// dot is a value from one moment to another.
type dot struct {
	from, to time.Time
	value    *entry.Decimal
}

func (x dot) instant() bool { return x.from.Equal(x.to) }

func setPoints(steps []handover.Step) iter.Seq[dot] {
	return func(yield func(dot) bool) {
		for _, x := range steps {
			if !yield(dot{x.From, x.To, x.Value}) {
				return
			}
		}
	}
}

func targetPoints(all []handover.Target) (low, high iter.Seq[dot]) {
	of := func(value func(handover.Target) *entry.Decimal) iter.Seq[dot] {
		return func(yield func(dot) bool) {
			for _, x := range all {
				if !yield(dot{x.From, x.To, value(x)}) {
					return
				}
			}
		}
	}
	return of(func(x handover.Target) *entry.Decimal { return x.Low }), of(func(x handover.Target) *entry.Decimal { return x.High })
}

// steps adds the points of a line; where nothing was in force it ends, and another begins.
func (d *drawn) steps(s *handover.Summary, name string, dots iter.Seq[dot]) []chartLine {
	var out []chartLine
	var last time.Time
	open := false
	for x := range dots {
		if x.value == nil {
			open = false
			continue
		}
		if !open || !x.instant() && !last.Equal(x.from) {
			out = append(out, chartLine{name: name, from: len(d.points) + 1, steps: !x.instant()})
			open = true
		}
		d.points = append(d.points, point{s, name, d.moment(x.from, none), *x.value})
		if !x.instant() {
			d.points = append(d.points, point{s, name, d.moment(x.to, none), *x.value})
		}
		out[len(out)-1].to, last = len(d.points), x.to
	}
	return out
}

func dashed(lines []chartLine) []chartLine {
	for i := range lines {
		lines[i].dashed = true
	}
	return lines
}

// head draws readings on the standard's centiles.
func (d *drawn) head(s *handover.Summary, row int, x handover.HeadSeries) {
	var lines []chartLine
	for _, curve := range x.Curves {
		l := chartLine{name: fmt.Sprintf("centile %d", curve.Centile), from: len(d.points) + 1, steps: true, grey: true}
		for _, p := range curve.Points {
			d.points = append(d.points, point{s, l.name, day(p.On, none), p.Cm})
		}
		l.to = len(d.points)
		lines = append(lines, l)
	}
	seen := chartLine{name: "Head circumference", from: len(d.points) + 1}
	for _, r := range x.Heads {
		d.points = append(d.points, point{s, seen.name, day(r.On, none), r.Cm})
	}
	if seen.to = len(d.points); seen.to < seen.from {
		return
	}
	d.draw(s, row, 3, "cm", []chartLine{seen}, lines)
}

// draw adds a picture, unless there is nothing to see in it. The first lines are what it is of.
func (d *drawn) draw(s *handover.Summary, row, column int, unit string, lines ...[]chartLine) {
	if len(lines[0]) == 0 || lines[0][0].from == lines[0][len(lines[0])-1].to && len(lines) == 1 {
		return
	}
	name := chartColumns[column]
	c := chart{
		title:  s.Cot + ", " + numberOrLabel(s.MRN, s.Temporary) + ": " + name + " (" + unit + ")",
		column: firstPicture + column,
		row:    row,
		lines:  slices.Concat(lines...),
	}
	first, last := c.lines[0].from, 0
	for _, l := range c.lines {
		first, last = min(first, l.from), max(last, l.to)
	}
	d.said[s.Infant+name] = fmt.Sprintf("%s; %s, rows %d to %d", unit, chartDataName, headerRow+first, headerRow+last)
	c.x, c.y = d.bounds(first, last)
	d.charts = append(d.charts, c)
}

// bounds are whole days, and whole units around the values.
func (d *drawn) bounds(first, last int) (x, y bounds) {
	for i, p := range d.points[first-1 : last] {
		_, offset := p.when.when.Zone()
		at, v := float64(p.when.when.Unix()+int64(offset))/86400+days1900, p.value.Float()
		if i == 0 {
			x, y = bounds{from: at, to: at}, bounds{from: v, to: v}
		}
		x.from, x.to, y.from, y.to = min(x.from, at), max(x.to, at), min(y.from, v), max(y.to, v)
	}
	x.from, x.to = math.Floor(x.from), math.Ceil(x.to)
	y.from, y.to = math.Floor(y.from)-1, math.Ceil(y.to)+1
	x.step, y.step = math.Ceil((x.to-x.from)/4), math.Ceil((y.to-y.from)/5)
	x.to, y.to = x.from+max(x.step, 1)*math.Ceil((x.to-x.from)/max(x.step, 1)), y.from+y.step*math.Ceil((y.to-y.from)/y.step)
	return x, y
}

const days1900 = 25569 // from the first day of the format's calendar to 1970-01-01
