package sheets

import "cotline/handover/entry"

// content tells what an entry charts, field by field, with labels and units from the table of kinds.
type content struct {
	hideNames bool
	b         []byte
}

// contentOf is an entry's content in words. Where a name must not be seen, the fields that hold one say so.
func contentOf(e *entry.Entry, hideNames bool) string {
	k, ok := entry.KindOf(e.Kind)
	if !ok {
		return ""
	}
	var room [512]byte
	c := content{hideNames, room[:0]}
	c.fields(e.Fields, k.Fields, e.Corrected)
	return string(c.b)
}

func (c *content) add(texts ...string) {
	for _, t := range texts {
		c.b = append(c.b, t...)
	}
}

// fields writes fields in the table's order, those left out left out.
func (c *content) fields(fields []entry.Field, specs []entry.Spec, corrected *entry.Entry) {
	first := true
	for i := range specs {
		s := &specs[i]
		v, ok := fieldOf(fields, s.Name)
		if s.Type == entry.EntryType {
			ok = corrected != nil
		}
		if !ok {
			continue
		}
		if !first {
			c.add("; ")
		}
		first = false
		c.add(s.Label, ": ")
		switch {
		case s.Type == entry.EntryType:
			c.corrected(corrected)
		case c.hideNames && holdsName(s.Name):
			c.add(notShown)
		default:
			c.value(v, s)
		}
	}
}

func fieldOf(fields []entry.Field, name string) (entry.Value, bool) {
	for i := range fields {
		if fields[i].Name == name {
			return fields[i].Value, fields[i].Value.Type != entry.Absent
		}
	}
	return entry.Value{}, false
}

// holdsName says whether a field is an infant's name; free text cannot be judged.
func holdsName(field string) bool { return field == "family" || field == "given" }

func (c *content) value(v entry.Value, s *entry.Spec) {
	switch v.Type {
	case entry.TextValue, entry.NumberValue:
		c.add(v.Text)
		if s.Unit != "" && s.Type != entry.Gestation {
			c.add(" ", s.Unit)
		}
	case entry.BoolValue:
		c.add(yesNo(v.Bool).text)
	case entry.ListValue:
		for i, item := range v.List {
			if i > 0 {
				c.add(", ")
			}
			c.item(item, s)
		}
	case entry.ObjectValue:
		c.item(v, s)
	}
}

// item writes an object in brackets, a plain value as it is.
func (c *content) item(v entry.Value, s *entry.Spec) {
	if v.Type != entry.ObjectValue {
		c.value(v, s)
		return
	}
	c.add("(")
	if s.Type == entry.PerInfant {
		for i, f := range v.Fields {
			if i > 0 {
				c.add("; ")
			}
			c.add(f.Name, ": ")
			c.value(f.Value, &entry.Spec{Type: entry.List})
		}
	} else {
		c.fields(v.Fields, s.Of, nil)
	}
	c.add(")")
}

// corrected writes the entry as it should have been.
func (c *content) corrected(e *entry.Entry) {
	k, ok := entry.KindOf(e.Kind)
	if !ok {
		return
	}
	c.add("(", k.Label, "; Happened: ", e.At.Text, "; ")
	c.fields(e.Fields, k.Fields, nil)
	c.add(")")
}
