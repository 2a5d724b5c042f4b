package handover

import (
	"math"

	"cotline/handover/entry"
)

// The standards that are shipped, as they are named on every face.
const (
	postnatalStandard = "INTERGROWTH-21st preterm postnatal, 2015"
	birthStandard     = "INTERGROWTH-21st very preterm size at birth, 2016"
)

// Limits of the standards, in days.
const (
	postnatalFrom, postnatalTo = 27 * 7, 64 * 7   // postmenstrual age
	birthFrom, birthTo         = 24 * 7, 32*7 + 6 // gestation at birth
)

// Every product below is rounded on its own (float64 of it), so that no
// processor fuses it with a sum and all agree to the last bit.

// headCurve is the preterm postnatal standard for head circumference in cm at x
// weeks of postmenstrual age: Villar J et al., Lancet Glob Health 2015;3:e681-91.
func headCurve(x float64, boy bool) (mu, sigma float64) {
	mu = 55.53617 - 852.0059/x
	if boy {
		mu += 0.7957903
	}
	sigma = 3.0582292 + 3910.05/float64(x*x) - 180.5625/x
	return mu, sigma
}

// weightCurve is the same standard for the logarithm of weight in kg.
func weightCurve(x float64, boy bool) (mu, sigma float64) {
	mu = 2.591277 - float64(0.01155*math.Sqrt(x)) - 2201.705/float64(x*x)
	if boy {
		mu += 0.0911639
	}
	sigma = 0.1470258 + 505.92394/float64(x*x) - float64(140.0576*math.Log(x))/float64(x*x)
	return mu, sigma
}

// birthHeadCurve is the very preterm standard of size at birth, in cm, at x
// weeks of gestation: Villar J et al., Lancet 2016;387:844-5.
func birthHeadCurve(x float64, boy bool) (mu, sigma float64) {
	mu = 0.7866522 + float64(0.887638*x)
	if boy {
		mu += 0.2513385
	}
	return mu, math.Sqrt(2.433481)
}

// birthWeightCurve is the same standard for the logarithm of weight in kg.
func birthWeightCurve(x float64, boy bool) (mu, sigma float64) {
	mu = -7.00303 + float64(1.325911*math.Sqrt(x))
	if boy {
		mu += 0.0571937
	}
	return mu, math.Sqrt(0.0373218)
}

// phi is the standard normal distribution.
func phi(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }

// curve is a standard's mean and standard deviation at an age in weeks.
type curve func(weeks float64, boy bool) (mu, sigma float64)

// score places a measure on the standard of its civil day: size at birth on the
// day of birth, the postnatal standard after it. A measure is never compared
// across the two. The reasons for none are tried in order.
func (r *reading) score(on entry.Date, measure float64, unreliable bool, postnatal, birth curve) Score {
	sex := r.identity("sex")
	gestation, exact, ok := r.gestation()
	days := gestation + on.Sub(r.born())
	at, from, to, name := postnatal, postnatalFrom, postnatalTo, postnatalStandard
	if on == r.born() {
		at, from, to, name = birth, birthFrom, birthTo, birthStandard
	}
	switch {
	case unreliable:
		return Score{NoZ: "unreliable"}
	case sex != "female" && sex != "male":
		return Score{NoZ: "sex"}
	case !ok || !exact:
		return Score{NoZ: "gestation"}
	case days < from || days > to:
		return Score{NoZ: "age"}
	}
	mu, sigma := at(float64(days)/7, sex == "male")
	z := (measure - mu) / sigma
	shownZ, centile := entry.RoundedFloat(z, 2), entry.RoundedFloat(100*phi(z), 1)
	return Score{Z: &shownZ, Centile: &centile, Standard: name}
}

func (r *reading) weightScore(on entry.Date, weightG entry.Decimal) Score {
	return r.score(on, math.Log(weightG.Float()/1000), false, weightCurve, birthWeightCurve)
}

// weightFact is the latest weight of the record.
func (r *reading) weightFact() Maybe[Weight] {
	e := latest(r.kinds["weight"], always)
	if e == nil {
		return Maybe[Weight]{}
	}
	g, _ := e.Number("weightG")
	return known(Weight{WeightG: g, Score: r.weightScore(r.day(e.At.Time), g), Source: r.source(e)})
}

// birthWeightFact is the weight at birth, on the standard of size at birth.
func (r *reading) birthWeightFact() Maybe[Weight] {
	e := r.identified("birthWeightG")
	if e == nil {
		return Maybe[Weight]{}
	}
	g, _ := e.Number("birthWeightG")
	s := r.source(e)
	s.At = r.bornMoment()
	return known(Weight{WeightG: g, Score: r.weightScore(r.born(), g), Source: s})
}
