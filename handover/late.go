package handover

import (
	"slices"
	"strings"

	"cotline/handover/entry"
)

// lates are entries of the stay, as they stand, that happened before the window and that
// the handover from which it starts could not hold. They were written in time and arrived
// after that handover was cut, or they were written only after it. A window that starts
// from no handover has none.
func (r *reading) lates() []Late {
	if r.from == nil {
		return nil
	}
	signed := r.from.entry
	arrived := r.from.arrived()
	var out []Late
	for _, e := range r.all {
		if e.At.After(r.since) || !r.stay.Holds(e) {
			continue
		}
		how := ""
		switch {
		case arrived[e.ID]:
			how = "arrived"
		case e.Charted.After(signed.Charted.Add(r.p.ClockTolerance)):
			how = "written"
		}
		if how != "" {
			out = append(out, Late{Infant: r.record.Infant, Kind: e.Kind, Entry: e.ID, By: e.By, How: how,
				At: e.At.Time, Charted: e.Charted.Time, Text: r.said(e)})
		}
	}
	return out
}

// said is an entry as it stands in words, by the table of kinds. The name of an
// infant whose name is not shown is left out.
func (r *reading) said(e *entry.Standing) string {
	kind, ok := entry.KindOf(e.Kind)
	if !ok {
		return e.Kind
	}
	restricted := r.restricted()
	var parts []string
	for _, f := range e.Fields {
		spec, ok := kind.Spec(f.Name)
		if !ok || restricted && (f.Name == "family" || f.Name == "given") {
			continue
		}
		value := r.saidValue(spec, f.Value)
		if value != "" && spec.Label != kind.Label && !saysItself(spec) {
			value = entry.InSentence(spec.Label) + " " + value
		}
		if value != "" {
			parts = append(parts, value)
		}
	}
	if len(parts) == 0 {
		return kind.Label
	}
	return kind.Label + ": " + strings.Join(parts, ", ")
}

// saysItself says whether a field's word needs no label before it: it says what was done,
// of what type or in what state.
func saysItself(s *entry.Spec) bool {
	return s.Type == entry.Word && slices.Contains([]string{"what", "care", "state", "action", "type", "sample", "about"}, s.Name)
}

func (r *reading) saidValue(s *entry.Spec, v entry.Value) string {
	switch v.Type {
	case entry.BoolValue:
		if v.Bool {
			return "yes"
		}
		return "no"
	case entry.NumberValue:
		return strings.TrimSpace(v.Text + " " + s.Unit)
	case entry.TextValue:
		if s.Type == entry.Instant {
			if m, err := entry.ParseMoment(v.Text); err == nil {
				return r.clock(m.Time)
			}
		}
		switch s.Type {
		case entry.Word:
			return plainWords(v.Text)
		case entry.Reference: // an id says nothing; what it stands for may
			if of := find(r.all, strings.ToLower(v.Text)); of != nil && of.Has("text") {
				return "“" + oneLine(of.Text("text")) + "”"
			}
			return ""
		}
		return oneLine(v.Text)
	case entry.ListValue:
		item := *s
		if item.Type = s.Item; s.Of != nil {
			item.Type = entry.Object
		}
		parts := make([]string, len(v.List))
		for i, x := range v.List {
			parts[i] = r.saidValue(&item, x)
		}
		return strings.Join(parts, "; ")
	case entry.ObjectValue:
		var parts []string
		for _, f := range v.Fields {
			if spec, ok := entry.SpecOf(s.Of, f.Name); ok {
				parts = append(parts, r.saidPart(spec, f.Value))
			}
		}
		return strings.Join(parts, " ")
	}
	return ""
}

// saidPart is one value of an object: a word speaks for itself.
func (r *reading) saidPart(s *entry.Spec, v entry.Value) string {
	if v.Type == entry.TextValue || v.Type == entry.ListValue {
		return r.saidValue(s, v)
	}
	return strings.ToLower(s.Label) + " " + r.saidValue(s, v)
}
