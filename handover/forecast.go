package handover

import (
	"math"

	"cotline/handover/entry"
)

// The one-state filter of head growth: where the head lies on the postnatal
// standard (z), pulled to the centre between readings, with honest doubt. Its
// settings were fitted on the life6mo extract that ships with the R package gigs
// (doi 10.1136/bmjopen-2022-067316); they are not from infants on support.
const (
	filterSpread = 1.3  // SD of z in the population
	filterPull   = 0.97 // what is left of z after a week
	filterError  = 0.40 // cm, of one reading
)

// forecast is the state of the filter after a reading.
type forecast struct {
	boy  bool
	days int // postmenstrual age of the latest reading, in days
	z, v float64
	any  bool
}

// later is the state so many days on, without a reading.
func (f forecast) later(days int) (z, v float64) {
	keep := math.Pow(filterPull, float64(days)/7)
	k2 := float64(keep * keep)
	return float64(keep * f.z), float64(k2*f.v) + float64((1-k2)*float64(filterSpread*filterSpread))
}

// read takes a reading in at a postmenstrual age in days.
func (f *forecast) read(days int, cm float64) {
	z, v := 0.0, float64(filterSpread*filterSpread)
	if f.any {
		z, v = f.later(days - f.days)
	}
	mu, sigma := headCurve(float64(days)/7, f.boy)
	observed := (cm - mu) / sigma
	e := filterError / sigma
	gain := v / (v + float64(e*e))
	f.z = z + float64(gain*(observed-z))
	f.v = float64((1 - gain) * v)
	f.days, f.any = days, true
}

// reaches is the probability that the head is at least so wide, days after the
// latest reading.
func (f forecast) reaches(cm float64, days int) float64 {
	z, v := f.later(days)
	mu, sigma := headCurve(float64(f.days+days)/7, f.boy)
	head := mu + float64(sigma*z)
	return phi((head - cm) / float64(sigma*math.Sqrt(v)))
}

// outgrowing is when the head is expected to outgrow a bonnet; a zero day is never.
type outgrowing struct{ checkFrom, expected, latest entry.Date }

// Limits of the forecast.
const (
	holdBackDays = 7  // heads may shrink in the first week of life
	staleDays    = 14 // the latest reading is too old to go on
)

// forecastOf says when the head reaches the upper end of a bonnet, and from
// which reading. It is not computed outside its limits.
func (r *reading) forecastOf(upTo entry.Decimal) (window outgrowing, from *entry.Standing, ok bool) {
	gestation, exact, has := r.gestation()
	sex := r.identity("sex")
	heads := r.heads()
	if !has || !exact || sex != "female" && sex != "male" || len(heads) == 0 || r.ageFact().DayOfLife < holdBackDays {
		return window, nil, false
	}
	age := func(on entry.Date) int { return gestation + on.Sub(r.born()) }
	last := heads[len(heads)-1]
	if last.Text("unreliable") == "ventricles" || age(r.day(last.At.Time)) < postnatalFrom {
		return window, nil, false
	}
	f := forecast{boy: sex == "male"}
	var on entry.Date
	for _, e := range heads {
		day := r.day(e.At.Time)
		if days := age(day); !e.Has("unreliable") && days >= postnatalFrom && days <= postnatalTo {
			cm, _ := e.Number("circumferenceCm")
			f.read(days, cm.Float())
			on, from = day, e
		}
	}
	if !f.any || r.today().Sub(on) > staleDays {
		return window, nil, false
	}
	for d := 1; f.days+d <= postnatalTo; d++ {
		day := on.Add(d)
		if day.Sub(r.born()) < holdBackDays {
			continue
		}
		p := f.reaches(upTo.Float(), d)
		for _, level := range []struct {
			p  float64
			to *entry.Date
		}{{0.1, &window.checkFrom}, {0.5, &window.expected}, {0.9, &window.latest}} {
			if p >= level.p && level.to.IsZero() {
				*level.to = day
			}
		}
		if !window.latest.IsZero() {
			break
		}
	}
	return window, from, true
}
