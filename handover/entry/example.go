package entry

import "strings"

// Example is a nested field's JSON text, for a person to follow; of a field
// with one value it is that.
func (s *Spec) Example() string {
	switch {
	case s.Type == EntryType:
		return `{"kind":"weight","at":"2026-03-09T07:30:00+01:00","weightG":1210}`
	case s.Type == PerInfant:
		return `{"in-1":["` + strings.Join(s.Words, `","`) + `"]}`
	case s.Type == Object:
		return "{" + exampleFields(s.Of) + "}"
	case s.Type == List && s.Of != nil:
		return "[{" + exampleFields(s.Of) + "}]"
	case s.Type == List:
		item := *s
		item.Type = s.Item
		return "[" + item.Example() + "]"
	case s.Type == Flag:
		return "true"
	case s.Type == Number || s.Type == Whole:
		return s.Max
	case s.Type == Key:
		return `"in-1"`
	case len(s.Words) > 0:
		return `"` + s.Words[0] + `"`
	}
	return `"…"`
}

// exampleFields are those of an object; lists within it are left out.
func exampleFields(specs []Spec) string {
	var out []string
	for i := range specs {
		if specs[i].Type != List {
			out = append(out, `"`+specs[i].Name+`":`+specs[i].Example())
		}
	}
	return strings.Join(out, ",")
}
