package fhir

import (
	"slices"
	"strconv"
	"strings"

	"cotline/fhir/internal/r4"
	"cotline/handover"
	"cotline/handover/entry"
)

// observations yields the signs, and from an SpO2 the indices as of its moment.
func (i *infant) observations(e *entry.Standing) {
	if text, ok := r4.NumberOf(e.Fields, "spo2Percent"); ok {
		i.spo2(e, text)
	}
	if text, ok := r4.NumberOf(e.Fields, "axillaryC"); ok {
		i.observe(e, fact{role: "axillaryC", category: r4.VitalSigns, code: i.codes.Concept(r4.Temperature),
			value: r4.Measured(text, r4.Celsius), site: i.codes.Concept(r4.SiteAxilla)})
	}
	i.numbers(e, observedFields)
	if yes, ok := r4.BooleanOf(e, "bubbling"); ok {
		i.observe(e, fact{role: "bubbling", category: r4.Therapy, code: i.codes.Concept(r4.Bubbling), value: r4.Truth(yes)})
	}
	for _, f := range e.Fields {
		if f.Name == "silverman" && len(f.Value.Fields) > 0 {
			i.silverman(e, f.Value)
		}
	}
}

var observedFields = []numeric{
	{"heartRateBpm", r4.HeartRate, r4.PerMinute, r4.VitalSigns},
	{"respRateBpm", r4.RespRate, r4.PerMinute, r4.VitalSigns},
	{"pressureCmH2O", r4.PressureRead, r4.CmH2O, r4.Therapy},
	{"fio2Percent", r4.FiO2Read, r4.Percent, r4.Therapy},
	{"airwayC", r4.AirwayTemp, r4.Celsius, r4.Therapy},
	{"incubatorC", r4.IncubatorTemp, r4.Celsius, r4.Therapy},
	{"abdomenCm", r4.Abdomen, r4.Centimetres, r4.Exam},
}

func (i *infant) spo2(e *entry.Standing, text string) {
	of := r4.SpO2
	f := fact{role: "spo2Percent", category: r4.VitalSigns, value: r4.Measured(text, r4.Percent)}
	if site := e.Text("spo2Site"); site != "" {
		f.site = i.codes.Concept(r4.ProbeSites[site])
		switch site {
		case "right-hand":
			of.Standard = append(of.Standard[:2:2], r4.Preductal)
		case "foot":
			of.Standard = append(of.Standard[:2:2], r4.Postductal)
		}
	}
	f.code = i.codes.Concept(of)
	i.observe(e, f)
	i.indices(e)
}

// silverman is a sum only when all five items were charted.
func (i *infant) silverman(e *entry.Standing, items entry.Value) {
	f := fact{role: "silverman", category: r4.Survey, code: i.codes.Concept(r4.Silverman)}
	sum, complete := 0, true
	for n, name := range handover.SilvermanItems {
		c := r4.ComponentOf(i.codes.Concept(r4.SilvermanItems[n]), r4.Missing(i.codes.Concept(r4.NotCharted)))
		if v := items.Field(name); v.Type == entry.NumberValue {
			c.Value = r4.Measured(v.Text, r4.Score)
			one, _ := strconv.Atoi(v.Text)
			sum += one
		} else {
			complete = false
		}
		f.components = append(f.components, c)
	}
	f.value = r4.Missing(i.codes.Concept(r4.NotCharted))
	if complete {
		f.value = r4.Measured(strconv.Itoa(sum), r4.Score)
	}
	i.observe(e, f)
}

// episode is coded sign by sign, and as a whole by which of them it showed; its text
// names them as they were charted.
func (i *infant) episode(e *entry.Standing) {
	var said []string
	f := fact{role: "episode", category: r4.Exam, code: i.codes.Concept(r4.Episode)}
	for _, s := range e.List("signs") {
		said = append(said, s.Text)
		f.components = append(f.components, r4.ComponentOf(i.codes.Concept(r4.EpisodeSign), r4.Coded(i.codes.Concept(r4.Signs[s.Text]))))
	}
	f.value = r4.Coded(i.codes.Said(signsOf(said), strings.Join(said, ", ")))
	if text, ok := r4.NumberOf(e.Fields, "seconds"); ok {
		f.components = append(f.components, r4.ComponentOf(i.codes.Concept(r4.EpisodeSeconds), r4.Measured(text, r4.Seconds)))
		f.until, _ = r4.Later(e.At, text)
	}
	if text, ok := r4.NumberOf(e.Fields, "lowestSpo2Percent"); ok {
		f.components = append(f.components, r4.ComponentOf(i.codes.Concept(r4.EpisodeSpO2), r4.Measured(text, r4.Percent)))
	}
	if text, ok := r4.NumberOf(e.Fields, "lowestHeartRateBpm"); ok {
		f.components = append(f.components, r4.ComponentOf(i.codes.Concept(r4.EpisodeHeart), r4.Measured(text, r4.PerMinute)))
	}
	f.components = i.worded(f.components, e, "during", r4.EpisodeDuring, r4.Durings)
	f.components = i.worded(f.components, e, "recovered", r4.EpisodeRecovered, r4.Recoveries)
	i.observe(e, f)
}

// signsOf is one sign, or several together.
func signsOf(charted []string) r4.Concept {
	var in []string
	for _, sign := range entry.Signs {
		if slices.Contains(charted, sign) {
			in = append(in, sign)
		}
	}
	if len(in) == 1 {
		return r4.Signs[in[0]]
	}
	return r4.SignsTogether[strings.Join(in, " ")]
}
