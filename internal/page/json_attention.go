package page

import (
	"slices"

	"cotline/handover"
)

// first puts what is looked at first, and what it rests on.
func (s *sheet) first(o *object, f *handover.Summary) {
	o.put("attention", each(f.Attention, func(a handover.Attention) any {
		o := object{{"what", a.What}, {"level", a.Level}, {"text", a.Text}, {"path", a.Path}}
		s.moment(&o, "at", a.At)
		o.text("entry", a.Entry)
		return o
	}))
	o.put("next", each(f.Next, func(n handover.Next) any {
		o := object{{"what", n.What}}
		o.text("care", n.Care)
		o.text("task", n.Task)
		o.text("text", n.Text)
		s.moment(&o, "dueAt", n.DueAt)
		s.moment(&o, "overdueAt", n.OverdueAt)
		o.date("on", n.On)
		return o
	}))
	o.put("old", each(f.Old, func(x handover.Old) any {
		o := object{{"path", x.Path}}
		s.moment(&o, "at", x.At)
		return o
	}))
	o.put("doubts", each(f.Doubts, func(d handover.Doubt) any {
		return object{{"code", d.Code}, {"path", d.Path}, {"text", d.Text}, {"entry", d.Entry}}
	}))
	if f.HandedOver != nil {
		o.put("handedOver", s.handedOver(*f.HandedOver))
	}
}

func (s *sheet) handedOver(f handover.HandedOver) any {
	o := object{{"entry", f.Entry}, {"by", f.By}, {"to", f.To}}
	s.moment(&o, "asOf", f.AsOf)
	s.moment(&o, "at", f.At)
	a := f.Accepted
	if a == nil {
		o.put("accepted", nil)
		return o
	}
	in := object{{"by", a.By}}
	s.moment(&in, "at", a.At)
	in.text("entry", a.Entry)
	in.put("confirmed", nil)
	if a.Confirmed != nil {
		in[len(in)-1].value = texts(a.Confirmed)
	}
	in.put("notConfirmed", texts(a.NotConfirmed))
	in.put("readBack", nil)
	if a.ReadBack != nil {
		in[len(in)-1].value = *a.ReadBack
	}
	in.put("asked", nil)
	if a.Asked != "" {
		in[len(in)-1].value = a.Asked
	}
	o.put("accepted", in)
	return o
}

// charted puts what is shown as it was charted: nothing is computed from it.
func (s *sheet) charted(o *object, f *handover.Summary) {
	if g := f.Gas; g != nil {
		gas := object{{"sample", g.Sample}}
		s.source(&gas, g.Source)
		for _, v := range g.Values {
			gas.put(v.Field, s.observed(v))
		}
		o.put("gas", gas)
	}
	if len(f.Limits) > 0 {
		var limits object
		for _, v := range f.Limits {
			limits.put(v.Field, s.observed(v))
		}
		o.put("limits", limits)
	}
	if c := f.Safety; c != nil {
		check := object{{"items", each(c.Items, func(i handover.SafetyItem) any { return object{{"item", i.Item}, {"ok", i.OK}} })}}
		s.source(&check, c.Source)
		o.put("safety", check)
	}
	o.put("told", each(f.Told, func(t handover.Told) any {
		o := object{{"whom", t.Whom}, {"about", t.About}}
		o.text("answer", t.Answer)
		s.source(&o, t.Source)
		return o
	}))
}

// nullGap puts null for what could have been charted and was not.
func nullGap(o *object, f *handover.Summary, key, path string) {
	if slices.Contains(f.Gaps, path) {
		o.put(key, nil)
	}
}

// worded is a charted word and where it comes from.
func (s *sheet) worded(o *object, key string, w *handover.WordFact) {
	if w == nil {
		return
	}
	word := object{{"value", w.Value}}
	if w.Value == "true" || w.Value == "false" {
		word[0].value = bare(w.Value)
	}
	s.source(&word, w.Source)
	o.put(key, word)
}

func notComputed(n handover.NotComputed) any { return object{{"path", n.Path}, {"why", n.Why}} }
