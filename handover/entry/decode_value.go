package entry

import (
	"fmt"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"
)

const mostDecimals = 4

// MostItems bounds a list; the longest sensible one, of an import of a whole
// ward's infants handed over, is far inside it.
const MostItems = 500

// value checks one field's value against its description.
func (d *decoder) value(path string, v Value, s *Spec) (Value, bool) {
	before := len(d.issues)
	v.Line = 0
	bad := func(code Code, allowed string) {
		found := v.Shown()
		if s.Private {
			found = ""
		}
		d.add(path, code, found, allowed)
	}
	switch s.Type {
	case Number, Whole:
		d.number(v, s, bad)
	case Flag:
		if v.Type != BoolValue {
			bad(CodeType, "true or false")
		}
	case List:
		v = d.list(path, v, s, bad)
	case Object:
		if v.Type != ObjectValue {
			bad(CodeType, "an object")
		} else {
			v.Fields = d.fields(path, v.Fields, nil, s.Of, nil)
		}
	case PerInfant:
		v = d.perInfant(path, v, s, bad)
	case EntryType:
		if v.Type != ObjectValue {
			bad(CodeType, "an object with kind, at and the fields of the kind")
		}
	default:
		if v.Type != TextValue {
			bad(CodeType, "text")
			break
		}
		v.Text = NFC(v.Text)
		d.text(v, s, bad)
	}
	return v, len(d.issues) == before
}

func (d *decoder) number(v Value, s *Spec, bad func(Code, string)) {
	if v.Type != NumberValue {
		bad(CodeType, "a number"+inRange(s))
		return
	}
	n, err := ParseDecimal(v.Text)
	switch {
	case err != nil:
		bad(CodeNumber, err.Error()+inRange(s))
	case s.Type == Whole && n.Decimals() > 0:
		bad(CodeNumber, "a whole number"+inRange(s))
	case n.Decimals() > mostDecimals:
		bad(CodeNumber, fmt.Sprintf("at most %d decimals", mostDecimals))
	case s.Min != "" && n.Cmp(MustDecimal(s.Min)) < 0, s.Max != "" && n.Cmp(MustDecimal(s.Max)) > 0:
		bad(CodeRange, strings.TrimPrefix(inRange(s), ", "))
	}
}

func inRange(s *Spec) string {
	if s.Min == "" {
		return ""
	}
	return strings.TrimRight(", "+s.Min+" to "+s.Max+" "+s.Unit, " ")
}

func (d *decoder) text(v Value, s *Spec, bad func(Code, string)) {
	t := v.Text
	switch s.Type {
	case Text:
		checkText(t, s, bad)
	case Word:
		if s.List != "" { // the unit's own list: judged when it is taken
			checkText(t, s, bad)
			return
		}
		if len(s.Words) > 0 && !slices.Contains(s.Words, t) {
			bad(CodeWord, "one of "+strings.Join(s.Words, ", "))
		}
	case Key:
		if !IsKey(t) {
			bad(CodeFormat, "1 to 64 of A-Z a-z 0-9 . _ -")
		}
	case Reference:
		if !isUUID(t) {
			bad(CodeFormat, "a UUID")
		}
	case Instant:
		m, err := ParseMoment(t)
		if err != nil {
			bad(CodeFormat, err.Error())
		}
		d.moment = m
	case Birth:
		if _, err := ParseDate(t); err == nil {
			return
		}
		if _, err := ParseMoment(t); err != nil {
			bad(CodeFormat, "a date, or a moment with an offset")
		}
	case Gestation:
		if !isGestation(t) {
			bad(CodeFormat, `completed weeks and days 0 to 6 ("26+3"), or weeks ("26")`)
		}
	case Interval:
		if t == "policy" {
			return
		}
		if _, err := ParseEvery(t); err != nil {
			bad(CodeFormat, err.Error()+", none, or policy")
		}
	}
}

func checkText(t string, s *Spec, bad func(Code, string)) {
	switch n := utf8.RuneCountInString(t); {
	case strings.TrimSpace(t) == "":
		bad(CodeText, "not empty: leave the field out")
	case n > s.Longest:
		bad(CodeText, fmt.Sprintf("at most %d characters (it has %d)", s.Longest, n))
	}
	for _, r := range t {
		if unicode.IsControl(r) && !(s.Lines && (r == '\n' || r == '\t')) || r == 0xFFFE || r == 0xFFFF {
			bad(CodeText, fmt.Sprintf("no control character (U+%04X)", r))
			return
		}
	}
}

func (d *decoder) list(path string, v Value, s *Spec, bad func(Code, string)) Value {
	if v.Type != ListValue {
		bad(CodeType, "a list")
		return v
	}
	if s.Required && len(v.List) == 0 {
		bad(CodeMissing, "at least one item")
		return v
	}
	if len(v.List) > MostItems {
		bad(CodeRange, fmt.Sprintf("at most %d items", MostItems))
		return v
	}
	item := Spec{Name: s.Name, Type: s.Item, Words: s.Words, Unit: s.Unit, Min: s.Min, Max: s.Max, Private: s.Private}
	if s.Of != nil {
		item = Spec{Name: s.Name, Type: Object, Of: s.Of}
	}
	out := make([]Value, 0, len(v.List))
	seen := make([]string, 0, len(v.List))
	for i, x := range v.List {
		p := d.item(path, i)
		got, ok := d.value(p, x, &item)
		if !ok {
			continue
		}
		key, found := got.Text, got.Text
		if s.Unique != "" {
			key = got.Field(s.Unique).Text
			found = key
			if of, _ := SpecOf(s.Of, s.Unique); of.Type == Text {
				found = got.Field(s.Unique).Shown()
			}
		}
		if (s.Unique != "" || item.Type == Word || item.Type == Key) && slices.Contains(seen, key) {
			d.add(p, CodeRepeated, found, "each at most once")
		}
		seen = append(seen, key)
		out = append(out, got)
	}
	v.List = out
	return v
}

// item is the path of a list's item.
func (d *decoder) item(path string, i int) string {
	if !d.paths {
		return ""
	}
	return fmt.Sprintf("%s[%d]", path, i)
}

func (d *decoder) perInfant(path string, v Value, s *Spec, bad func(Code, string)) Value {
	if v.Type != ObjectValue {
		bad(CodeType, "an object: the infant's key to a list of "+strings.Join(s.Words, ", "))
		return v
	}
	words := Spec{Name: s.Name, Type: List, Item: Word, Words: s.Words}
	out := make([]Field, 0, len(v.Fields))
	for _, f := range v.Fields {
		if !IsKey(f.Name) {
			d.add(path, CodeFormat, NewText(f.Name).Shown(), "an infant's key")
			continue
		}
		if got, ok := d.value(d.join(path, f.Name), f.Value, &words); ok {
			out = append(out, Field{f.Name, got})
		}
	}
	v.Fields = out
	return v
}
