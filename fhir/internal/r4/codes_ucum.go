package r4

import "slices"

// Unit is a unit of measure: how it is printed, and its UCUM code.
type Unit struct{ Text, UCUM string }

// The units: no other UCUM code leaves. Scores, ratios and indices are 1, with
// the word in the printed unit.
var (
	Percent      = Unit{"%", "%"}
	PerMinute    = Unit{"/min", "/min"}
	Celsius      = Unit{"°C", "Cel"}
	Grams        = Unit{"g", "g"}
	Centimetres  = Unit{"cm", "cm"}
	CmH2O        = Unit{"cmH2O", "cm[H2O]"}
	LitresMinute = Unit{"L/min", "L/min"}
	Millilitres  = Unit{"mL", "mL"}
	Kilopascals  = Unit{"kPa", "kPa"}
	MmHg         = Unit{"mmHg", "mm[Hg]"}
	MillimolesL  = Unit{"mmol/L", "mmol/L"}
	Seconds      = Unit{"s", "s"}
	French       = Unit{"Fr", "[Ch]"}
	PH           = Unit{"pH", "[pH]"}
	Hours        = Unit{"h", "h"}
	CmWeek       = Unit{"cm/week", "cm/wk"}
	Days         = Unit{"days", "d"}
	Weeks        = Unit{"weeks", "wk"}
	Score        = Unit{"score", "1"}
	Ratio        = Unit{"ratio", "1"}
	Index        = Unit{"index", "1"}
	ZScore       = Unit{"z-score", "1"}
	Centile      = Unit{"centile", "1"}
)

var units = []Unit{Percent, PerMinute, Celsius, Grams, Centimetres, CmH2O, LitresMinute, Millilitres, Kilopascals, MmHg, MillimolesL,
	Seconds, French, PH, Hours, CmWeek, Days, Weeks, Score, Ratio, Index, ZScore, Centile}

// IsUnit says whether a UCUM code is of a unit that is sent.
func IsUnit(code string) bool {
	return slices.ContainsFunc(units, func(u Unit) bool { return u.UCUM == code })
}
