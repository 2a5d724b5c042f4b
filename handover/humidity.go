package handover

import (
	"math"
	"time"
)

// saturationPa is the saturation vapour pressure of water in Pa at °C: the
// six-term form of Wexler as kept by Hyland and Wexler (sources.go says where the
// coefficients were seen). It reproduces every row of a published table of
// saturated humidity from 20 to 40 °C to 0.1 mg/L, which the tests hold.
func saturationPa(c float64) float64 {
	t := c + 273.15
	return math.Exp(-5800.2206/t + 1.3914993 - float64(0.048640239*t) +
		float64(4.1764768e-5*float64(t*t)) - float64(1.4452093e-8*float64(t*float64(t*t))) + float64(6.5459673*math.Log(t)))
}

// absoluteHumidity is mg of water a litre of gas saturated at °C.
func absoluteHumidity(c float64) float64 {
	const molarMass, gasConstant = 18.01528, 8.314462618
	return float64(saturationPa(c)*molarMass) / float64(gasConstant*(c+273.15))
}

// pressurePa is the pressure of the standard atmosphere.
const pressurePa = 101325.0

// humidReading is what a sound sensor reads of a gas, in percent, once it is
// saturated at °C: vapour takes the place of some of it.
func humidReading(gasPercent, c float64) float64 {
	return float64(gasPercent * (1 - saturationPa(c)/pressurePa))
}

// waterMlPerLitre is what one litre of gas, metered dry at 21 °C and
// 101.325 kPa, takes from the chamber when it leaves saturated at °C.
func waterMlPerLitre(c float64) float64 {
	const meteredK = 294.15
	grown := float64((c + 273.15) / meteredK * (pressurePa / (pressurePa - saturationPa(c))))
	return float64(absoluteHumidity(c)*grown) / 1000
}

// step is a value in force from a moment on.
type step struct {
	from  time.Time
	value float64
}

// inForce is the value of a step function; before its first step, that one's.
func inForce(steps []step, t time.Time) float64 {
	v := steps[0].value
	for _, s := range steps {
		if s.from.After(t) {
			break
		}
		v = s.value
	}
	return v
}

// runsOut is when so many mL hung at a moment are used up, by flow (L/min) and
// chamber temperature (°C) as step functions; false when they never are.
func runsOut(from time.Time, ml float64, flow, chamber []step) (time.Time, bool) {
	for {
		next := time.Time{}
		for _, steps := range [][]step{flow, chamber} {
			for _, s := range steps {
				if s.from.After(from) && (next.IsZero() || s.from.Before(next)) {
					next = s.from
				}
			}
		}
		rate := float64(inForce(flow, from)*waterMlPerLitre(inForce(chamber, from))) / 60 // mL/s
		if rate > 0 {
			seconds := ml / rate
			if next.IsZero() || seconds <= next.Sub(from).Seconds() {
				if seconds > 366*24*3600 {
					return time.Time{}, false
				}
				return from.Add(time.Duration(seconds * float64(time.Second))), true
			}
		}
		if next.IsZero() {
			return time.Time{}, false
		}
		ml -= float64(rate * next.Sub(from).Seconds())
		from = next
	}
}

// halfHour rounds down to the half hour of a clock in zone.
func halfHour(t time.Time, zone *time.Location) time.Time {
	local := t.In(zone)
	past := time.Duration(local.Minute()%30)*time.Minute + time.Duration(local.Second())*time.Second + time.Duration(local.Nanosecond())
	return local.Add(-past)
}
