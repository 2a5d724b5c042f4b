package page

import (
	"strconv"

	"cotline/handover"
)

// JSON is the handover for programs: the keys of the interchange form in their
// order, moments as RFC 3339 in the unit's zone with a numeric offset, days as
// civil dates, numbers with the digits they have. Null is what applies and was
// not charted; what does not apply has no key.
func JSON(h *handover.Handover) []byte {
	s := &sheet{zone: h.Zone}
	var o object
	o.text("unit", h.Unit)
	s.moment(&o, "at", h.At)
	s.moment(&o, "known", h.Known)
	o.text("policy", h.Policy)
	if h.Position > 0 {
		o.put("position", bare(strconv.FormatInt(h.Position, 10)))
	}
	o.text("chain", h.Chain)
	o.put("late", each(h.Late, func(l handover.Late) any {
		o := object{{"infant", l.Infant}, {"entry", l.Entry}, {"how", l.How}, {"kind", l.Kind}}
		s.moment(&o, "at", l.At)
		s.moment(&o, "charted", l.Charted)
		o.text("by", l.By)
		o.text("text", l.Text)
		return o
	}))
	o.put("left", each(h.Left, s.left))
	o.put("notes", each(h.Notes, s.note))
	o.put("tasks", each(h.Tasks, s.task))
	o.put("infants", each(h.Infants, s.infant))
	return append(appendJSON(nil, o, ""), '\n')
}

func (s *sheet) left(l handover.Left) any {
	var o object
	o.text("infant", l.Infant)
	o.text("cot", l.Cot)
	o.text("mrn", l.MRN)
	o.text("temporary", l.Temporary)
	if l.Restricted {
		o.put("restricted", true)
	} else {
		o.text("family", l.Family)
		o.text("given", l.Given)
	}
	s.moment(&o, "at", l.At)
	o.text("to", l.To)
	o.text("place", l.Place)
	s.tail(&o, l.Source)
	return o
}

// source puts when a fact happened and where it comes from.
func (s *sheet) source(o *object, from handover.Source) {
	s.moment(o, "at", from.At)
	s.tail(o, from)
}

// origin is a source as an object of its own, for the second fact of another.
func (s *sheet) origin(from handover.Source) object {
	var o object
	s.source(&o, from)
	return o
}

// traced is a source without its moment, its entry first.
func (s *sheet) traced(o *object, from handover.Source) {
	o.text("entry", from.Entry)
	from.Entry = ""
	s.tail(o, from)
}

// tail is a source without its moment, for facts that have it under another key.
func (s *sheet) tail(o *object, from handover.Source) {
	s.moment(o, "charted", from.Charted)
	o.text("by", from.By)
	o.text("entry", from.Entry)
	if from.Corrected != nil {
		var c object
		c.text("by", from.Corrected.By)
		s.moment(&c, "charted", from.Corrected.Charted)
		o.put("corrected", c)
	}
}

func (s *sheet) note(n handover.Note) any {
	var o object
	o.text("text", n.Text)
	if n.ReadOut {
		o.put("readOut", true)
	}
	s.source(&o, n.Source)
	return o
}

func (s *sheet) task(t handover.Task) any {
	var o object
	o.text("task", t.ID)
	o.text("text", t.Text)
	s.moment(&o, "dueAt", t.DueAt)
	s.source(&o, t.Source)
	return o
}
