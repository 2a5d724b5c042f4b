package intake

import (
	"strings"

	"cotline/handover"
)

// value makes a field's value of a cell, by the field's description. What is not as the field wants it is passed on as
// text, for the record's own rules to refuse; what only a table can get wrong is refused here.
func (t *table) value(s *handover.Spec, c cell) (handover.Value, *handover.Issue) {
	asText := handover.Value{Type: handover.TextValue, Text: c.text}
	refuse := func(code handover.Code, allowed string) (handover.Value, *handover.Issue) {
		i := &handover.Issue{Code: code, Allowed: allowed}
		if !s.Private {
			i.Found = asText.Shown()
		}
		return asText, i
	}
	if c.holds == holdsFault {
		return refuse(handover.CodeFormat, c.why)
	}
	switch s.Type {
	case handover.Number, handover.Whole:
		switch c.holds {
		case holdsNumber:
			return handover.Value{Type: handover.NumberValue, Text: c.text}, nil
		case holdsMoment, holdsDay:
			return refuse(handover.CodeType, "a number: the cell holds a date")
		case holdsText:
			return t.number(strings.TrimSpace(c.text), refuse)
		}
	case handover.Flag:
		if word := strings.ToLower(strings.TrimSpace(c.text)); word == "true" || word == "false" {
			return handover.Value{Type: handover.BoolValue, Bool: word == "true"}, nil
		}
	case handover.Instant, handover.Birth:
		return t.moment(s, c, refuse)
	case handover.List, handover.Object, handover.PerInfant, handover.EntryType:
		return nested(s, c, refuse)
	default:
		switch {
		case c.holds == holdsText && s.Lines:
			return handover.Value{Type: handover.TextValue, Text: strings.ReplaceAll(c.text, "\r\n", "\n")}, nil
		case c.holds == holdsText, c.holds == holdsNumber && s.Type == handover.Gestation:
			return handover.Value{Type: handover.TextValue, Text: strings.TrimSpace(c.text)}, nil
		}
		return refuse(handover.CodeType, "a text cell: the cell holds "+c.holds.String()+"; format it as text and write it again, zeros before it too")
	}
	return asText, nil
}

func (h holds) String() string {
	return [...]string{"text", "a number", "a date", "a date", "true or false", "nothing usable"}[h]
}

// number reads a number from text, with the file's mark of decimals.
func (t *table) number(text string, refuse func(handover.Code, string) (handover.Value, *handover.Issue)) (handover.Value, *handover.Issue) {
	digits := text
	if t.decimal == "," {
		if strings.Contains(text, ".") {
			return refuse(handover.CodeNumber, "a comma before decimals, as the file has semicolons between cells")
		}
		digits = strings.Replace(text, ",", ".", 1)
	}
	if strings.Trim(digits, "-.0123456789") != "" {
		return handover.Value{Type: handover.TextValue, Text: text}, nil
	}
	return handover.Value{Type: handover.NumberValue, Text: digits}, nil
}

// nested reads a field's JSON text.
func nested(s *handover.Spec, c cell, refuse func(handover.Code, string) (handover.Value, *handover.Issue)) (handover.Value, *handover.Issue) {
	if c.holds != holdsText {
		return refuse(handover.CodeType, "JSON text: the cell holds "+c.holds.String())
	}
	// An object of the one field, so that faults are told by its name. More than one would be text that ends it early.
	v, issues := handover.ParseJSON([]byte(`{"` + s.Name + `":` + strings.TrimSpace(c.text) + `}`))
	if len(issues) > 0 || len(v.Fields) != 1 {
		return refuse(handover.CodeJSON, "its JSON text, as in "+s.Example())
	}
	return v.Fields[0].Value, nil
}
