package handover

import "cotline/handover/entry"

// gasFact is the latest blood gas of the stay.
func (r *reading) gasFact() *Gas {
	e := latest(r.own["gas"], always)
	if e == nil {
		return nil
	}
	f := &Gas{Sample: e.Text("sample"), Source: r.source(e)}
	kind, _ := entry.KindOf("gas")
	for _, spec := range kind.Fields {
		if spec.Type == entry.Number && e.Has(spec.Name) {
			f.Values = append(f.Values, Observed{Field: spec.Name, Value: e.Text(spec.Name), Source: r.source(e)})
		}
	}
	return f
}

// limitsFact are the alarm limits, the latest of each field in the stay.
func (r *reading) limitsFact() []Observed {
	var out []Observed
	kind, _ := entry.KindOf("limits")
	for _, spec := range kind.Fields {
		if e := latest(r.own["limits"], having(spec.Name)); e != nil {
			out = append(out, Observed{Field: spec.Name, Value: e.Text(spec.Name), Source: r.source(e)})
		}
	}
	return out
}

// safetyFact is the latest safety check at the cot.
func (r *reading) safetyFact() *SafetyCheck {
	e := latest(r.own["safety"], always)
	if e == nil {
		return nil
	}
	f := &SafetyCheck{Source: r.source(e)}
	for _, x := range e.List("items") {
		f.Items = append(f.Items, SafetyItem{x.Field("item").Text, x.Field("ok").Bool})
	}
	return f
}

// toldFact is who was told what in the window.
func (r *reading) toldFact() []Told {
	var out []Told
	for _, e := range r.own["told"] {
		if r.inWindow(e.At.Time) {
			out = append(out, Told{Whom: e.Text("whom"), About: e.Text("about"), Answer: e.Text("answer"), Source: r.source(e)})
		}
	}
	return out
}
