package handover

import (
	"math"
	"time"

	"cotline/handover/entry"
)

// HeadSeries is what a head chart draws: every reading of the record on the
// postnatal standard's centiles, the unit's bonnets, and when the head is
// expected to outgrow the one that is on.
type HeadSeries struct {
	Infant, Cot, MRN, Temporary string
	At                          time.Time
	Zone                        *time.Location
	Today, Born                 entry.Date
	Gestation                   int        // days at birth; 0: not known to the day
	Boy                         bool       // which curves
	From, To                    entry.Date // the days that the curves are drawn over
	Curves                      []CentileCurve
	NoCurves                    string // why there are none: sex, gestation, age
	Standard                    string
	Heads                       []HeadSeen
	Bonnets                     []BonnetSize // of the policy
	On                          *BonnetOn    // nil: none on, or of no known range
	Forecast                    *HeadForecast
}

// Weeks is the postmenstrual age of a civil day, in whole weeks and days over;
// false where gestation is not known to the day.
func (s HeadSeries) Weeks(on entry.Date) (weeks, days int, ok bool) {
	age := s.Gestation + on.Sub(s.Born)
	return age / 7, age % 7, s.Gestation > 0
}

// CentileCurve is one centile of the standard over days.
type CentileCurve struct {
	Centile int
	Points  []CurvePoint
}

// CurvePoint is a centile on a day.
type CurvePoint struct {
	On entry.Date
	Cm entry.Decimal
}

// HeadSeen is one reading. One of the day of birth has its place on another
// standard and is not compared with these curves.
type HeadSeen struct {
	On         entry.Date
	Cm         entry.Decimal
	Unreliable string
	AtBirth    bool
	Source
}

// BonnetOn is the bonnet that is on.
type BonnetOn struct {
	BonnetSize
	Since entry.Date
}

// HeadForecast is when the head reaches the upper end of the bonnet on: with a
// probability of 0.1, 0.5 and 0.9. A zero day is never, within the standard.
type HeadForecast struct {
	CheckFrom, Expected, Latest entry.Date
	ToCm                        entry.Decimal
	From                        entry.Date // the latest reading that it rests on
}

// Days that a head chart shows around what it has to show.
const aroundDays = 7

var curveCentiles = []int{3, 10, 50, 90, 97}

// HeadSeriesOf is the head chart of one infant of a compiled handover, read
// from the same entries; false for an infant who is not in it.
func HeadSeriesOf(w Ward, h *Handover, infant string) (HeadSeries, bool) {
	r, f, ok := readAgain(w, h, infant)
	if !ok {
		return HeadSeries{}, false
	}
	s := HeadSeries{Infant: infant, Cot: f.Cot, MRN: f.MRN, Temporary: f.Temporary, At: r.at, Zone: r.p.Zone, Today: r.today(),
		Born: r.born(), Bonnets: r.p.Bonnets}
	s.From, s.To = s.Today, s.Today
	for _, e := range r.heads() {
		cm, _ := e.Number("circumferenceCm")
		on := r.day(e.At.Time)
		s.Heads = append(s.Heads, HeadSeen{On: on, Cm: cm, Unreliable: e.Text("unreliable"), AtBirth: on == s.Born, Source: r.source(e)})
		if on.Before(s.From) {
			s.From = on
		}
	}
	r.headOutlook(&s)
	s.From, s.To = s.From.Add(-aroundDays), s.To.Add(aroundDays)
	r.curvesOf(&s)
	return s, true
}

// headOutlook is the bonnet on, and when the head is expected to outgrow it.
func (r *reading) headOutlook(s *HeadSeries) {
	b := r.readBonnet()
	size, ranged := r.p.Bonnet(b.size)
	if !b.in || !ranged {
		return
	}
	s.On = &BonnetOn{size, r.day(b.since.At.Time)}
	w, from, ok := r.forecastOf(size.ToCm)
	if !ok {
		return
	}
	s.Forecast = &HeadForecast{w.checkFrom, w.expected, w.latest, size.ToCm, r.day(from.At.Time)}
	for _, day := range []entry.Date{w.checkFrom, w.expected, w.latest} {
		if s.To.Before(day) {
			s.To = day
		}
	}
}

// curvesOf draws the standard over the days of the chart that lie within it.
func (r *reading) curvesOf(s *HeadSeries) {
	sex := r.identity("sex")
	gestation, exact, ok := r.gestation()
	if ok && exact {
		s.Gestation = gestation
	}
	first, last := s.Born.Add(postnatalFrom-gestation), s.Born.Add(postnatalTo-gestation)
	switch {
	case sex != "female" && sex != "male":
		s.NoCurves = "sex"
		return
	case !ok || !exact:
		s.NoCurves = "gestation"
		return
	case s.To.Before(first) || last.Before(s.From):
		s.NoCurves = "age"
		return
	}
	if first.Before(s.From) {
		first = s.From
	}
	if s.To.Before(last) {
		last = s.To
	}
	s.Boy, s.Standard = sex == "male", postnatalStandard
	for _, centile := range curveCentiles {
		z := math.Sqrt2 * math.Erfinv(float64(2*centile-100)/100)
		c := CentileCurve{Centile: centile}
		for day := first; ; day = day.Add(7) {
			if last.Before(day) {
				day = last
			}
			c.Points = append(c.Points, CurvePoint{day, s.cmAt(day, z)})
			if day == last {
				break
			}
		}
		s.Curves = append(s.Curves, c)
	}
}

// cmAt is where z lies on a day, to the hundredth of a centimetre.
func (s *HeadSeries) cmAt(on entry.Date, z float64) entry.Decimal {
	mu, sigma := headCurve(float64(s.Gestation+on.Sub(s.Born))/7, s.Boy)
	return entry.RoundedFloat(mu+float64(sigma*z), 2)
}
