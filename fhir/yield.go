package fhir

import (
	"strconv"
	"strings"

	"cotline/handover/entry"
)

// yields says what each kind of entry yields as Observations. Kinds that are not
// here yield none: move, discharge (in the Encounter), plan, task, task-done,
// deferral (in Tasks: what is to be done, not what was seen), handover and
// acceptance (the document's), correction and retraction (in what they amend).
var yields = map[string]func(*infant, *entry.Standing){
	"admission":    (*infant).admission,
	"identity":     (*infant).gestation,
	"support":      (*infant).support,
	"settings":     (*infant).settings,
	"observations": (*infant).observations,
	"episode":      (*infant).episode,
	"interface":    (*infant).interfaceOn,
	"setup":        (*infant).setup,
	"calibration":  (*infant).calibration,
	"seal":         (*infant).seal,
	"humidifier":   (*infant).humidifier,
	"circuit":      (*infant).circuit,
	"alarm":        (*infant).alarm,
	"skin":         (*infant).skin,
	"tube":         (*infant).tube,
	"head":         (*infant).head,
	"weight":       (*infant).weight,
	"bonnet":       (*infant).bonnet,
	"care":         (*infant).careGiven,
	"note":         (*infant).note,
	"outlook":      (*infant).outlook,
}

func (i *infant) yield(e *entry.Standing) {
	if f := yields[e.Kind]; f != nil {
		f(i, e)
	}
}

// numeric is a field that is one number: one Observation.
type numeric struct {
	field    string
	code     concept
	unit     unit
	category concept
}

var settingFields = []numeric{
	{"pressureCmH2O", pressureSet, cmH2O, therapy},
	{"upperPressureCmH2O", upperSet, cmH2O, therapy},
	{"rateMin", rateSet, perMinute, therapy},
	{"inspiratoryS", inspiratorySet, secs, therapy},
	{"fio2Percent", fio2Set, percent, therapy},
	{"flowLMin", flowSet, litresMin, therapy},
	{"spo2LowPercent", targetLow, percent, therapy},
	{"spo2HighPercent", targetHigh, percent, therapy},
}

var observedFields = []numeric{
	{"heartRateBpm", heartRate, perMinute, vitalSigns},
	{"respRateBpm", respRate, perMinute, vitalSigns},
	{"pressureCmH2O", pressureRead, cmH2O, therapy},
	{"fio2Percent", fio2Read, percent, therapy},
}

func (i *infant) numbers(e *entry.Standing, fields []numeric) {
	for _, n := range fields {
		if text, ok := number(e.Fields, n.field); ok {
			i.observe(e, fact{role: n.field, category: n.category, code: i.codes.concept(n.code), value: measured(text, n.unit)})
		}
	}
}

func (i *infant) settings(e *entry.Standing) { i.numbers(e, settingFields) }

// admission yields what is known of the birth.
func (i *infant) admission(e *entry.Standing) {
	if text, ok := number(e.Fields, "birthWeightG"); ok {
		date, moment := i.born()
		if moment == "" {
			moment = date
		}
		i.observe(e, fact{role: "birthWeightG", category: exam, code: i.codes.concept(birthWeight), value: measured(text, grams), from: moment})
	}
	i.gestation(e)
	if n, ok := number(e.Fields, "multiples"); ok {
		if whole, err := strconv.Atoi(n); err == nil {
			i.observe(e, fact{role: "multiples", category: exam, code: i.codes.concept(plurality), value: value{whole: &whole}})
		}
	}
}

// gestation is in days, or in completed weeks where its days are not known.
func (i *infant) gestation(e *entry.Standing) {
	text := e.Text("gestation")
	if text == "" {
		return
	}
	f := fact{role: "gestation", category: exam, code: i.codes.concept(gestation)}
	week, day, exact := strings.Cut(text, "+")
	f.value = measured(week, weeks)
	if exact {
		w, _ := strconv.Atoi(week)
		d, _ := strconv.Atoi(day)
		f.value = measured(strconv.Itoa(7*w+d), days)
		f.note = text + " weeks"
	} else {
		f.note = "completed weeks; days not known"
	}
	i.observe(e, f)
}

// observations yields the signs, and from an SpO2 the indices as of its moment.
func (i *infant) observations(e *entry.Standing) {
	if text, ok := number(e.Fields, "spo2Percent"); ok {
		i.spo2(e, text)
	}
	if text, ok := number(e.Fields, "axillaryC"); ok {
		i.observe(e, fact{role: "axillaryC", category: vitalSigns, code: i.codes.concept(temperature), value: measured(text, celsius), site: i.codes.concept(siteAxilla)})
	}
	i.numbers(e, observedFields)
	for _, f := range e.Fields {
		if f.Name == "silverman" && len(f.Value.Fields) > 0 {
			i.silverman(e, f.Value)
		}
	}
}

func (i *infant) spo2(e *entry.Standing, text string) {
	of := spo2
	f := fact{role: "spo2Percent", category: vitalSigns, value: measured(text, percent)}
	if site := e.Text("spo2Site"); site != "" {
		f.site = i.codes.concept(probeSites[site])
		switch site {
		case "right-hand":
			of.standard = append(of.standard[:2:2], preductal)
		case "foot":
			of.standard = append(of.standard[:2:2], postductal)
		}
	}
	f.code = i.codes.concept(of)
	i.observe(e, f)
	i.indices(e)
}

// silverman is a sum only when all five items were charted.
func (i *infant) silverman(e *entry.Standing, items entry.Value) {
	f := fact{role: "silverman", category: survey, code: i.codes.concept(silverman)}
	sum, complete := 0, true
	for n, name := range silvermanFields {
		c := component{code: i.codes.concept(silvermanItems[n]), value: missing(i.codes.concept(notCharted))}
		if v := items.Field(name); v.Type == entry.NumberValue {
			c.value = measured(v.Text, score)
			one, _ := strconv.Atoi(v.Text)
			sum += one
		} else {
			complete = false
		}
		f.components = append(f.components, c)
	}
	f.value = missing(i.codes.concept(notCharted))
	if complete {
		f.value = measured(strconv.Itoa(sum), score)
	}
	i.observe(e, f)
}

var silvermanFields = []string{"chest", "intercostal", "xiphoid", "nares", "grunt"}

// episode is coded sign by sign; its text names them together.
func (i *infant) episode(e *entry.Standing) {
	var said []string
	f := fact{role: "episode", category: exam, code: i.codes.concept(episode)}
	for _, s := range e.List("signs") {
		said = append(said, s.Text)
		f.components = append(f.components, component{i.codes.concept(episodeSign), coded(i.codes.concept(signs[s.Text]))})
	}
	f.value = coded(texted(strings.Join(said, ", ")))
	if text, ok := number(e.Fields, "seconds"); ok {
		f.components = append(f.components, component{i.codes.concept(episodeSeconds), measured(text, secs)})
		f.until, _ = later(e.At, text)
	}
	if text, ok := number(e.Fields, "lowestSpo2Percent"); ok {
		f.components = append(f.components, component{i.codes.concept(episodeSpO2), measured(text, percent)})
	}
	if text, ok := number(e.Fields, "lowestHeartRateBpm"); ok {
		f.components = append(f.components, component{i.codes.concept(episodeHeart), measured(text, perMinute)})
	}
	f.components = i.worded(f.components, e, "during", episodeDuring, durings)
	f.components = i.worded(f.components, e, "recovered", episodeRecovered, recoveries)
	i.observe(e, f)
}

// worded adds a component for a word field that was charted.
func (i *infant) worded(to []component, e *entry.Standing, name string, code concept, v vocabulary) []component {
	if w := e.Text(name); w != "" {
		to = append(to, component{i.codes.concept(code), coded(i.codes.concept(v[w]))})
	}
	return to
}

// flagged adds a component for a true-or-false field that was charted.
func (i *infant) flagged(to []component, e *entry.Standing, name string, code concept) []component {
	if yes, ok := boolean(e, name); ok {
		to = append(to, component{i.codes.concept(code), truth(yes)})
	}
	return to
}

// noted adds a component for a text field that was charted.
func (i *infant) noted(to []component, e *entry.Standing, name string, code concept) []component {
	if t := e.Text(name); t != "" {
		to = append(to, component{i.codes.concept(code), told(t)})
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
