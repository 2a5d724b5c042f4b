package intake

import (
	"slices"
	"strings"

	"cotline/handover/entry"
)

// value makes a field's value of a cell, by the field's description. What is not as the field wants it is passed on as
// text, for the record's own rules to refuse; what only a table can get wrong is refused here.
func (t *table) value(s *entry.Spec, c cell) (entry.Value, *entry.Issue) {
	asText := entry.NewText(c.text)
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
			return entry.NewNumber(c.text), nil
		case holdsMoment, holdsDay:
			return refuse(entry.CodeType, "a number: the cell holds a date")
		case holdsText:
			return t.number(strings.TrimSpace(c.text), refuse)
		}
	case entry.Flag:
		if flag, ok := yes(c.text); ok {
			return entry.NewFlag(flag), nil
		}
	case entry.Word:
		if i := slices.IndexFunc(s.Words, func(w string) bool { return strings.EqualFold(w, strings.TrimSpace(c.text)) }); i >= 0 {
			return entry.NewText(s.Words[i]), nil
		}
		if c.holds != holdsText {
			return refuse(entry.CodeType, "a word: the cell holds "+c.holds.String())
		}
		return entry.NewText(strings.TrimSpace(c.text)), nil
	case entry.Instant, entry.Birth:
		return t.moment(s, c, refuse)
	case entry.List, entry.Object, entry.PerInfant, entry.EntryType:
		return t.nested(s, c, refuse)
	default:
		switch {
		case c.holds == holdsText && s.Lines:
			return entry.NewText(strings.ReplaceAll(c.text, "\r\n", "\n")), nil
		case c.holds == holdsText, c.holds == holdsNumber && s.Type == entry.Gestation:
			return entry.NewText(strings.TrimSpace(c.text)), nil
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
	if whole, fraction, ok := strings.Cut(text, ","); ok && t.decimal == "." && !strings.ContainsAny(fraction, ",.") {
		switch len(fraction) {
		case 1, 2: // thousands would be three
			digits = whole + "." + fraction
		case 3:
			return refuse(entry.CodeNumber, "which of two: write "+whole+"."+fraction+", or "+whole+fraction)
		}
	}
	if strings.Trim(digits, "-.0123456789") != "" {
		return entry.NewText(text), nil
	}
	return entry.NewNumber(digits), nil
}

// nested reads a field's JSON text, or a list of words as words with commas between.
func (t *table) nested(s *entry.Spec, c cell, refuse func(entry.Code, string) (entry.Value, *entry.Issue)) (entry.Value, *entry.Issue) {
	if s.Type == entry.List && len(s.Of) == 0 && !strings.HasPrefix(strings.TrimSpace(c.text), "[") &&
		(c.holds == holdsText || c.holds == holdsNumber) {
		return plainList(s, c.text), nil
	}
	if c.holds == holdsText && !strings.HasPrefix(strings.TrimSpace(c.text), "{") {
		switch s.Type {
		case entry.PerInfant:
			return perInfant(s, c.text), nil
		case entry.EntryType:
			return t.wholeEntry(c.text), nil
		}
	}
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

// plainList is words, or numbers, with commas or semicolons between.
func plainList(s *entry.Spec, text string) entry.Value {
	out := entry.Value{Type: entry.ListValue}
	for _, one := range strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ';' || r == '\n' }) {
		item := entry.NewText(strings.TrimSpace(one))
		if s.Item == entry.Number {
			item.Type = entry.NumberValue
		}
		if i := slices.IndexFunc(s.Words, func(w string) bool { return strings.EqualFold(w, item.Text) }); i >= 0 {
			item.Text = s.Words[i]
		}
		if item.Text != "" {
			out.List = append(out.List, item)
		}
	}
	return out
}

// pairs are "name: value" texts with semicolons or line breaks between.
func pairs(text string) (out [][2]string) {
	for _, one := range strings.FieldsFunc(text, func(r rune) bool { return r == ';' || r == '\n' }) {
		name, value, _ := strings.Cut(one, ":")
		if name = strings.TrimSpace(name); name != "" {
			out = append(out, [2]string{name, strings.TrimSpace(value)})
		}
	}
	return out
}

// perInfant reads words by infant: "in-01: pressure, fio2; in-02: skin".
func perInfant(s *entry.Spec, text string) entry.Value {
	out := entry.Value{Type: entry.ObjectValue}
	for _, p := range pairs(text) {
		out.Fields = append(out.Fields, entry.Field{Name: p[0], Value: plainList(s, p[1])})
	}
	return out
}

// wholeEntry reads an entry within a cell: "kind: settings; at: 2026-03-09 07:30; pressureCmH2O: 5.0".
func (t *table) wholeEntry(text string) entry.Value {
	out := entry.Value{Type: entry.ObjectValue}
	var kind *entry.Kind
	for _, p := range pairs(text) {
		if p[0] == "kind" {
			kind, _ = entry.KindOf(p[1])
		}
	}
	for _, p := range pairs(text) {
		v, _ := t.value(specOf(kind, p[0]), cell{text: p[1]}) // what is wrong with it is told when the entry is read
		out.Fields = append(out.Fields, entry.Field{Name: p[0], Value: v})
	}
	return out
}
