package r4

import (
	"encoding/json"
	"reflect"
	"slices"
	"strings"
	"sync"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

// The models are read once for each type. What is written, and what is checked, goes by
// the plans that this makes, and no longer by names.

// field is one element of a model: its name in JSON, its place in the struct,
// and whether it may be left out.
type field struct {
	name     string
	mark     uint32 // of the name
	index    int
	optional bool
	nilable  bool
	choice   bool   // it is one of a choice of types, and no pointer
	status   bool   // it is the status of what holds it
	refers   bool   // it is the target of a reference
	head     string // a comma and the name, as they are written
	shape    *shape

	// What the checker asks of it.
	holds  format
	within within
	leads  bool     // it is, or holds, references
	to     []string // that lead to these types; nil: to any
}

// form is how a Go type is written.
type form byte

const (
	aText form = iota + 1
	anObject
	anArray
	aCode
	aDecimal
	aTruth
	aWhole
	aResource // encoded by itself
)

// shape is how a type of the models, or a pointer to it, is written.
type shape struct {
	form    form
	pointer bool
	name    string
	of      reflect.Type
	codes   []string // of a code, by the model's number
	items   *shape   // of an array
	fields  []field  // of an object, once it was wanted: types may hold themselves
	once    sync.Once

	// What the checker asks of an object.
	resource bool     // it is one
	required []string // elements that may not be left out
	choices  []string // elements of which one type may be given
	rule     func(*Checker, *Part)
}

var shapes sync.Map // reflect.Type to *shape

func shapeOf(t reflect.Type) *shape {
	if s, ok := shapes.Load(t); ok {
		return s.(*shape)
	}
	s := &shape{name: t.Name(), of: t}
	if t.Kind() == reflect.Pointer {
		s.pointer, s.of, s.name = true, t.Elem(), t.Elem().Name()
	}
	switch codes := codesOf(s.of); {
	case codes != nil:
		s.form, s.codes = aCode, codes
	case s.of == reflect.TypeFor[json.Number]():
		s.form = aDecimal
	case s.of == reflect.TypeFor[json.RawMessage]():
		s.form = aResource
	case s.of.Kind() == reflect.String:
		s.form = aText
	case s.of.Kind() == reflect.Struct:
		s.form = anObject
	case s.of.Kind() == reflect.Slice:
		s.form, s.items = anArray, shapeOf(s.of.Elem())
	case s.of.Kind() == reflect.Bool:
		s.form = aTruth
	case s.of.Kind() == reflect.Int:
		s.form = aWhole
	}
	kept, _ := shapes.LoadOrStore(t, s)
	return kept.(*shape)
}

func (s *shape) plan() []field {
	s.once.Do(func() {
		model, ok := modelled[s.name]
		s.resource = ok && model.of == s.of
		s.choices, s.rule = choices[s.name], rules[s.name]
		for i := range s.of.NumField() {
			f := s.of.Field(i)
			name, options, _ := strings.Cut(f.Tag.Get("json"), ",")
			if name == "" || name == "-" {
				continue
			}
			optional := options == "omitempty"
			choice := f.Type.Kind() == reflect.Struct && slices.ContainsFunc(s.choices,
				func(c string) bool { return strings.HasPrefix(name, c) })
			if !optional && !choice {
				s.required = append(s.required, name)
			}
			to, leads := targets[s.name][name]
			s.fields = append(s.fields, field{
				name: name, mark: markOf(name), index: i, optional: optional, choice: choice,
				nilable: f.Type.Kind() == reflect.Pointer || f.Type.Kind() == reflect.Slice,
				status:  name == "status", refers: name == "reference", head: `,"` + name + `":`, shape: shapeOf(f.Type),
				holds: formats[name], within: withinOf(name), leads: leads, to: to,
			})
		}
	})
	return s.fields
}

func withinOf(name string) within {
	switch {
	case strings.HasPrefix(name, "pattern"):
		return aPattern
	case name == "differential", name == "snapshot":
		return aProfile
	}
	return 0
}

func planOf(t reflect.Type) []field { return shapeOf(t).plan() }

type coder interface{ Code() string }

// codesOf are the codes of a model's closed set in the order of its numbers; nil
// where the type is no such set.
func codesOf(t reflect.Type) []string {
	if t.Kind() != reflect.Int || !t.Implements(reflect.TypeFor[coder]()) {
		return nil
	}
	var out []string
	for n := int64(0); ; n++ {
		v := reflect.New(t)
		v.Elem().SetInt(n)
		code := v.Elem().Interface().(coder).Code()
		u, ok := reflect.New(t).Interface().(json.Unmarshaler)
		if !ok || u.UnmarshalJSON([]byte(`"`+code+`"`)) != nil {
			return out
		}
		out = append(out, code)
	}
}

// ResourceTypes are those of R4.
func ResourceTypes() []string { return shapeOf(reflect.TypeFor[models.ResourceType]()).codes }

// BundleTypes are those of R4.
func BundleTypes() []string { return shapeOf(reflect.TypeFor[models.BundleType]()).codes }
