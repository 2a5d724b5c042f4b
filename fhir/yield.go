package fhir

import (
	"strconv"
	"strings"

	"cotline/fhir/internal/r4"
	"cotline/handover/entry"
)

// yields says what Observations each kind of entry yields, and in which section of a
// document they stand. The kinds that are not here yield none: move and discharge stand
// in the Encounter; plan, task, task-done and deferral stand in Tasks, for they say what
// is to be done, not what was seen; handover and acceptance stand in documents;
// correction and retraction stand in what they amend.
var yields = map[string]struct {
	of      func(*infant, *entry.Standing)
	section r4.Concept
}{
	"admission":    {(*infant).admission, r4.SectionGrowth},
	"identity":     {(*infant).gestation, r4.SectionGrowth},
	"support":      {(*infant).support, r4.SectionSupport},
	"settings":     {(*infant).settings, r4.SectionSupport},
	"observations": {(*infant).observations, r4.SectionSigns},
	"gas":          {(*infant).gas, r4.SectionSigns},
	"limits":       {(*infant).limits, r4.SectionSupport},
	"episode":      {(*infant).episode, r4.SectionSigns},
	"interface":    {(*infant).interfaceOn, r4.SectionDevices},
	"setup":        {(*infant).setup, r4.SectionDevices},
	"calibration":  {(*infant).calibration, r4.SectionDevices},
	"safety":       {(*infant).safety, r4.SectionDevices},
	"seal":         {(*infant).seal, r4.SectionDevices},
	"humidifier":   {(*infant).humidifier, r4.SectionDevices},
	"circuit":      {(*infant).circuit, r4.SectionDevices},
	"alarm":        {(*infant).alarm, r4.SectionDevices},
	"skin":         {(*infant).skin, r4.SectionSkin},
	"tube":         {(*infant).tube, r4.SectionDevices},
	"head":         {(*infant).head, r4.SectionGrowth},
	"weight":       {(*infant).weight, r4.SectionGrowth},
	"bonnet":       {(*infant).bonnet, r4.SectionDevices},
	"care":         {(*infant).careGiven, r4.SectionWords},
	"note":         {(*infant).note, r4.SectionWords},
	"told":         {(*infant).wasTold, r4.SectionWords},
	"outlook":      {(*infant).outlook, r4.SectionWords},
}

func (i *infant) yield(e *entry.Standing) {
	if y, ok := yields[e.Kind]; ok {
		y.of(i, e)
	}
}

// numeric is a field that is one number: one Observation.
type numeric struct {
	field    string
	code     r4.Concept
	unit     r4.Unit
	category r4.Concept
}

var settingFields = []numeric{
	{"pressureCmH2O", r4.PressureSet, r4.CmH2O, r4.Therapy},
	{"upperPressureCmH2O", r4.UpperSet, r4.CmH2O, r4.Therapy},
	{"rateMin", r4.RateSet, r4.PerMinute, r4.Therapy},
	{"inspiratoryS", r4.InspiratorySet, r4.Seconds, r4.Therapy},
	{"fio2Percent", r4.FiO2Set, r4.Percent, r4.Therapy},
	{"flowLMin", r4.FlowSet, r4.LitresMinute, r4.Therapy},
	{"spo2LowPercent", r4.TargetLow, r4.Percent, r4.Therapy},
	{"spo2HighPercent", r4.TargetHigh, r4.Percent, r4.Therapy},
}

var limitFields = []numeric{
	{"spo2LowPercent", r4.LimitSpO2Low, r4.Percent, r4.Therapy},
	{"spo2HighPercent", r4.LimitSpO2High, r4.Percent, r4.Therapy},
	{"heartRateLowBpm", r4.LimitHeartLow, r4.PerMinute, r4.Therapy},
	{"heartRateHighBpm", r4.LimitHeartHigh, r4.PerMinute, r4.Therapy},
	{"oxygenLowPercent", r4.LimitOxygenLow, r4.Percent, r4.Therapy},
	{"oxygenHighPercent", r4.LimitOxygenHigh, r4.Percent, r4.Therapy},
	{"pressureLowCmH2O", r4.LimitPressureLow, r4.CmH2O, r4.Therapy},
	{"pressureHighCmH2O", r4.LimitPressureHigh, r4.CmH2O, r4.Therapy},
}

var gasFields = []numeric{
	{"ph", r4.GasPH, r4.PH, r4.Laboratory},
	{"pco2KPa", r4.GasPCO2, r4.Kilopascals, r4.Laboratory},
	{"pco2MmHg", r4.GasPCO2, r4.MmHg, r4.Laboratory},
	{"baseExcessMmolL", r4.GasBaseExcess, r4.MillimolesL, r4.Laboratory},
	{"bicarbonateMmolL", r4.GasBicarb, r4.MillimolesL, r4.Laboratory},
	{"lactateMmolL", r4.GasLactate, r4.MillimolesL, r4.Laboratory},
}

func (i *infant) numbers(e *entry.Standing, fields []numeric) {
	for _, n := range fields {
		if text, ok := r4.NumberOf(e.Fields, n.field); ok {
			i.observe(e, fact{role: n.field, category: n.category, code: i.codes.Concept(n.code), value: r4.Measured(text, n.unit)})
		}
	}
}

func (i *infant) settings(e *entry.Standing) { i.numbers(e, settingFields) }

func (i *infant) limits(e *entry.Standing) { i.numbers(e, limitFields) }

// gas is one Observation for each value, with the sample that it was read in, below one
// for the whole gas.
func (i *infant) gas(e *entry.Standing) {
	word := e.Text("sample")
	sample := i.codes.Concept(r4.Samples[word])
	whole := fact{role: "gas", category: r4.Laboratory, code: i.codes.Concept(r4.BloodGas.In(word)), value: r4.Coded(sample)}
	var values []fact
	for _, n := range gasFields {
		if text, ok := r4.NumberOf(e.Fields, n.field); ok {
			whole.members = append(whole.members, n.field)
			values = append(values, fact{role: n.field, category: n.category, code: i.codes.Concept(n.code.In(word)),
				value:      r4.Measured(text, n.unit),
				components: []r4.Component{r4.ComponentOf(i.codes.Concept(r4.GasSample), r4.Coded(sample))}})
		}
	}
	i.observe(e, whole)
	for _, v := range values {
		i.observe(e, v)
	}
}

// admission yields what is known of the birth.
func (i *infant) admission(e *entry.Standing) {
	if text, ok := r4.NumberOf(e.Fields, "birthWeightG"); ok {
		date, moment := i.born()
		if moment == "" {
			moment = date
		}
		i.observe(e, fact{role: "birthWeightG", category: r4.Exam, code: i.codes.Concept(r4.BirthWeight),
			value: r4.Measured(text, r4.Grams), from: moment})
	}
	i.gestation(e)
	if n, ok := r4.NumberOf(e.Fields, "multiples"); ok {
		if whole, err := strconv.Atoi(n); err == nil {
			i.observe(e, fact{role: "multiples", category: r4.Exam, code: i.codes.Concept(r4.Plurality), value: r4.Value{Whole: &whole}})
		}
	}
}

// gestation is in days, or in completed weeks where its days are not known.
func (i *infant) gestation(e *entry.Standing) {
	text := e.Text("gestation")
	if text == "" {
		return
	}
	f := fact{role: "gestation", category: r4.Exam, code: i.codes.Concept(r4.Gestation)}
	week, day, exact := strings.Cut(text, "+")
	f.value = r4.Measured(week, r4.Weeks)
	if exact {
		w, _ := strconv.Atoi(week)
		d, _ := strconv.Atoi(day)
		f.value = r4.Measured(strconv.Itoa(7*w+d), r4.Days)
		f.note = text + " weeks"
	} else {
		f.note = "completed weeks; days not known"
	}
	i.observe(e, f)
}

// worded adds a component for a word field that was charted.
func (i *infant) worded(to []r4.Component, e *entry.Standing, name string, code r4.Concept, v r4.Vocabulary) []r4.Component {
	if w := e.Text(name); w != "" {
		to = append(to, r4.ComponentOf(i.codes.Concept(code), r4.Coded(i.codes.Concept(v[w]))))
	}
	return to
}

// flagged adds a component for a true-or-false field that was charted.
func (i *infant) flagged(to []r4.Component, e *entry.Standing, name string, code r4.Concept) []r4.Component {
	if yes, ok := r4.BooleanOf(e, name); ok {
		to = append(to, r4.ComponentOf(i.codes.Concept(code), r4.Truth(yes)))
	}
	return to
}

// noted adds a component for a text field that was charted.
func (i *infant) noted(to []r4.Component, e *entry.Standing, name string, code r4.Concept) []r4.Component {
	if t := e.Text(name); t != "" {
		to = append(to, r4.ComponentOf(i.codes.Concept(code), r4.Told(t)))
	}
	return to
}

// sizedText is a type with its size, for a reader who takes no devices.
func sizedText(said, size string) string {
	if size == "" {
		return said
	}
	return said + " " + size
}
