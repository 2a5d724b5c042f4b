package intake

import (
	"strings"

	"cotline/handover/entry"
)

// value makes a field's value of a cell, by the field's description. What is not as the field wants it is passed on as
// text, for the record's own rules to refuse; what only a table can get wrong is refused here.
func (t *table) value(s *entry.Spec, c cell) (entry.Value, *entry.Issue) {
	asText := entry.Value{Type: entry.TextValue, Text: c.text}
	refuse := func(code entry.Code, allowed string) (entry.Value, *entry.Issue) {
		i := &entry.Issue{Code: code, Allowed: allowed}
		if !s.Private {
			i.Found = asText.Shown()
		}
		return asText, i
	}
	if c.holds == holdsFault {
		return refuse(entry.CodeFormat, c.why)
	}
	switch s.Type {
	case entry.Number, entry.Whole:
		switch c.holds {
		case holdsNumber:
			return entry.Value{Type: entry.NumberValue, Text: c.text}, nil
		case holdsMoment, holdsDay:
			return refuse(entry.CodeType, "a number: the cell holds a date")
		case holdsText:
			return t.number(strings.TrimSpace(c.text), refuse)
		}
	case entry.Flag:
		if word := strings.ToLower(strings.TrimSpace(c.text)); word == "true" || word == "false" {
			return entry.Value{Type: entry.BoolValue, Bool: word == "true"}, nil
		}
	case entry.Instant, entry.Birth:
		return t.moment(s, c, refuse)
	case entry.List, entry.Object, entry.PerInfant, entry.EntryType:
		return nested(s, c, refuse)
	default:
		switch {
		case c.holds == holdsText && s.Lines:
			return entry.Value{Type: entry.TextValue, Text: strings.ReplaceAll(c.text, "\r\n", "\n")}, nil
		case c.holds == holdsText, c.holds == holdsNumber && s.Type == entry.Gestation:
			return entry.Value{Type: entry.TextValue, Text: strings.TrimSpace(c.text)}, nil
		}
		return refuse(entry.CodeType, "a text cell: the cell holds "+c.holds.String()+"; format it as text and write it again, zeros "+
			"before it too")
	}
	return asText, nil
}

func (h holds) String() string {
	return [...]string{"text", "a number", "a date", "a date", "true or false", "nothing usable"}[h]
}

// number reads a number from text, with the file's mark of decimals.
func (t *table) number(text string, refuse func(entry.Code, string) (entry.Value, *entry.Issue)) (entry.Value, *entry.Issue) {
	digits := text
	if t.decimal == "," {
		if strings.Contains(text, ".") {
			return refuse(entry.CodeNumber, "a comma before decimals, as the file has semicolons between cells")
		}
		digits = strings.Replace(text, ",", ".", 1)
	}
	if strings.Trim(digits, "-.0123456789") != "" {
		return entry.Value{Type: entry.TextValue, Text: text}, nil
	}
	return entry.Value{Type: entry.NumberValue, Text: digits}, nil
}

// nested reads a field's JSON text.
func nested(s *entry.Spec, c cell, refuse func(entry.Code, string) (entry.Value, *entry.Issue)) (entry.Value, *entry.Issue) {
	if c.holds != holdsText {
		return refuse(entry.CodeType, "JSON text: the cell holds "+c.holds.String())
	}
	// An object of the one field, so that faults are told by its name. More than one would be text that ends it early.
	v, issues := entry.ParseJSON([]byte(`{"` + s.Name + `":` + strings.TrimSpace(c.text) + `}`))
	if len(issues) > 0 || len(v.Fields) != 1 {
		return refuse(entry.CodeJSON, "its JSON text, as in "+s.Example())
	}
	return v.Fields[0].Value, nil
}
