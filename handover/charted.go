package handover

import "cotline/handover/entry"

// AsCharted are the facts of a Summary that are shown as they were charted: nothing is
// computed from them.
type AsCharted struct {
	Gas    *Gas         // nil: none in the stay
	Limits []Observed   // alarm limits, the latest of each
	Safety *SafetyCheck // nil: none in the stay
	Told   []Told       // of the window
}

// Gas is the latest blood gas of the stay, as read.
type Gas struct {
	Sample string
	Values []Observed
	Source
}

// SafetyCheck is the latest at the cot.
type SafetyCheck struct {
	Items []SafetyItem // in the order charted
	Source
}

// SafetyItem is one of the unit's own list.
type SafetyItem struct {
	Item string
	OK   bool
}

// Told is who was told what.
type Told struct {
	Whom, About, Answer string
	Source
}

func (r *reading) asCharted() AsCharted {
	return AsCharted{Gas: r.gasFact(), Limits: r.limitsFact(), Safety: r.safetyFact(), Told: r.toldFact()}
}

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
