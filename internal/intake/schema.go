package intake

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"cotline/handover/entry"
)

// Schema is the JSON Schema (draft 2020-12) of one care entry, made from the
// table of kinds. It says what JSON Schema can say: what depends on other entries,
// on the unit's lists or on the digits of a number is judged when an entry is
// taken.
func Schema() []byte {
	var kinds []any
	defs := object{}
	for i := range entry.Kinds {
		k := &entry.Kinds[i]
		defs = defs.with(k.Name, kindSchema(k))
		kinds = append(kinds, object{}.with("$ref", "#/$defs/"+k.Name))
	}
	// Correcting entries name the kind's schema without what every entry has.
	for i := range entry.Kinds {
		k := &entry.Kinds[i]
		if k.Name != "correction" && k.Name != "retraction" {
			defs = defs.with("as-"+k.Name, correctedSchema(k))
		}
	}
	s := object{}.
		with("$schema", "https://json-schema.org/draft/2020-12/schema").
		with("title", "A care entry").
		with("description", "One line of a record. A field left out was not charted; null is never written.").
		with("type", "object").
		with("oneOf", kinds).
		with("$defs", defs)
	text, err := json.MarshalIndent(s, "", "  ")
	if err != nil {
		panic(err) // strings, numbers and lists of them only
	}
	return append(text, '\n')
}

// object is a JSON object that keeps the order in which it was made.
type object []member

type member struct {
	name  string
	value any
}

func (o object) with(name string, value any) object { return append(o, member{name, value}) }

// MarshalJSON writes the members in order.
func (o object) MarshalJSON() ([]byte, error) {
	b := []byte{'{'}
	for i, m := range o {
		if i > 0 {
			b = append(b, ',')
		}
		name, err := json.Marshal(m.name)
		if err != nil {
			return nil, err
		}
		value, err := json.Marshal(m.value)
		if err != nil {
			return nil, err
		}
		b = append(append(append(b, name...), ':'), value...)
	}
	return append(b, '}'), nil
}

func kindSchema(k *entry.Kind) object {
	var specs []entry.Spec
	for _, s := range entry.Common {
		switch {
		case s.Name == "infant" && k.Ward == entry.OfUnit:
			continue
		case s.Name == "infant" && k.Ward == entry.OfInfant:
			s.Required = true
		case s.Name == "kind":
			s.Words = []string{k.Name}
		}
		specs = append(specs, s)
	}
	return together(k, fieldsSchema(k.Label, k.Help, append(specs, k.Fields...)))
}

// correctedSchema is the entry within a correction: kind, at, its fields, and
// the infant again if one likes.
func correctedSchema(k *entry.Kind) object {
	specs := []entry.Spec{
		{Name: "kind", Label: "Kind", Type: entry.Word, Words: []string{k.Name}, Required: true},
		{Name: "at", Label: "Happened", Type: entry.Instant, Required: true},
		{Name: "infant", Label: "Infant", Type: entry.Key},
	}
	return together(k, fieldsSchema(k.Label, k.Help, append(specs, k.Fields...)))
}

// together adds what holds between fields of a kind.
func together(k *entry.Kind, s object) object {
	need := func(names []string) (out []any) {
		for _, n := range names {
			out = append(out, object{}.with("required", []string{n}))
		}
		return out
	}
	if len(k.OneOf) > 0 {
		s = s.with("oneOf", need(k.OneOf))
	}
	if len(k.AnyOf) > 0 {
		s = s.with("anyOf", need(k.AnyOf))
	}
	if k.NotBoth[0] != "" {
		s = s.with("not", object{}.with("required", k.NotBoth[:]))
	}
	var rules []any
	for _, f := range k.Fields {
		if f.When.Field == "" {
			continue
		}
		rules = append(rules, object{}.
			with(
				"if",
				object{}.with("properties", object{}.with(f.When.Field, object{}.with("enum", f.When.Is))).
					with("required", []string{f.When.Field}),
			).
			with("then", object{}.with("required", []string{f.Name})))
	}
	if len(rules) > 0 {
		s = s.with("allOf", rules)
	}
	return s
}

func fieldsSchema(label, help string, specs []entry.Spec) object {
	var required []string
	properties := object{}
	for _, f := range specs {
		properties = properties.with(f.Name, fieldSchema(f))
		if f.Required {
			required = append(required, f.Name)
		}
	}
	s := described(object{}, label, help).with("type", "object").with("properties", properties)
	if len(required) > 0 {
		s = s.with("required", required)
	}
	return s.with("additionalProperties", false)
}

func described(s object, label, help string) object {
	if label != "" {
		s = s.with("title", label)
	}
	if help != "" {
		s = s.with("description", help)
	}
	return s
}

// Patterns of the forms that JSON Schema has no word for. A moment's has the
// offset that format date-time asks for, for validators that do not assert it.
const (
	momentPattern    = `^[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}(\.[0-9]{1,9})?(Z|[+-][0-9]{2}:[0-9]{2})$`
	birthPattern     = `^[0-9]{4}-[0-9]{2}-[0-9]{2}(T[0-9]{2}:[0-9]{2}:[0-9]{2}(\.[0-9]{1,9})?(Z|[+-][0-9]{2}:[0-9]{2}))?$`
	uuidPattern      = `^[0-9a-fA-F]{8}-[0-9a-fA-F]{4}-[0-9a-fA-F]{4}-[0-9a-fA-F]{4}-[0-9a-fA-F]{12}$`
	keyPattern       = `^[A-Za-z0-9._-]{1,64}$`
	gestationPattern = `^[1-4][0-9](\+[0-6])?$`
	intervalPattern  = `^(none|policy|[0-9]{1,4}d([0-9]{1,5}h)?([0-9]{1,6}m)?|[0-9]{1,5}h([0-9]{1,6}m)?|[0-9]{1,6}m)$`
)

func fieldSchema(f entry.Spec) object {
	help := strings.TrimSpace(f.Help)
	if f.Unit != "" {
		help = strings.TrimSuffix(strings.TrimSpace("in "+f.Unit+"; "+help), ";")
	}
	s := described(object{}, f.Label, help)
	pattern := func(p string) object { return s.with("type", "string").with("pattern", p) }
	switch f.Type {
	case entry.Text:
		return s.with("type", "string").with("minLength", 1).with("maxLength", f.Longest)
	case entry.Word:
		if f.List != "" { // the unit's own words may be others
			return s.with("type", "string").with("minLength", 1).with("maxLength", f.Longest).with("examples", f.Words)
		}
		return s.with("enum", f.Words)
	case entry.Number, entry.Whole:
		word := "number"
		if f.Type == entry.Whole {
			word = "integer"
		}
		s = s.with("type", word)
		if f.Min != "" {
			s = s.with("minimum", json.Number(f.Min)).with("maximum", json.Number(f.Max))
		}
		return s
	case entry.Flag:
		return s.with("type", "boolean")
	case entry.Instant:
		return s.with("type", "string").with("format", "date-time").with("pattern", momentPattern)
	case entry.Birth:
		return pattern(birthPattern)
	case entry.Key:
		return pattern(keyPattern)
	case entry.Reference:
		return pattern(uuidPattern)
	case entry.Gestation:
		return pattern(gestationPattern)
	case entry.Interval:
		return pattern(intervalPattern)
	case entry.Object:
		return fieldsSchema(f.Label, help, f.Of)
	case entry.List:
		return listSchema(f, s)
	case entry.PerInfant:
		words := entry.Spec{Name: f.Name, Type: entry.List, Item: entry.Word, Words: f.Words}
		return s.with("type", "object").
			with("propertyNames", object{}.with("pattern", keyPattern)).
			with("additionalProperties", fieldSchema(words))
	case entry.EntryType:
		var as []any
		for i := range entry.Kinds {
			if n := entry.Kinds[i].Name; n != "correction" && n != "retraction" {
				as = append(as, object{}.with("$ref", "#/$defs/as-"+n))
			}
		}
		return s.with("type", "object").with("oneOf", as)
	}
	panic(fmt.Sprintf("intake: no schema for the type of field %s", f.Name))
}

func listSchema(f entry.Spec, s object) object {
	item := f
	item.Type, item.Label, item.Help, item.Unit = f.Item, "", "", ""
	if f.Of != nil {
		item.Type = entry.Object
	}
	s = s.with("type", "array").with("items", fieldSchema(item))
	if f.Required {
		s = s.with("minItems", 1)
	}
	if slices.Contains([]entry.Type{entry.Word, entry.Key}, item.Type) {
		s = s.with("uniqueItems", true)
	}
	return s.with("maxItems", entry.MostItems)
}
