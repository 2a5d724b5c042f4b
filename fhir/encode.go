package fhir

import (
	"encoding/json"
	"errors"
	"fmt"
	"reflect"
	"strings"
	"sync"
	"unicode/utf8"

	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
)

// resource is a model with what the models cannot hold: a status that somebody
// gave (their zero value is a valid code, so a forgotten one would go out as
// registered or active) and an extension of a primitive.
type resource struct {
	kind      string // resource type
	id        string
	status    string // empty only where the type has none
	body      any    // pointer to a model of that type
	primitive primitive
}

// primitive is an extension of a primitive element of a resource: birthDate
// becomes _birthDate beside it.
type primitive struct {
	element   string
	extension []r4.Extension
}

// span is where the target of a literal reference stands in encoded bytes.
type span struct{ start, end int }

// encoder appends FHIR JSON: resourceType first, elements in the order of the
// specification, numbers as charted, no escapes that JSON does not ask for. What
// would not be FHIR is an error, never output: an unset status, an empty string,
// object or array, null, a control character, a number with an exponent.
type encoder struct {
	out  []byte
	refs []span
}

var errEmpty = errors.New("empty")

func (e *encoder) resource(r *resource) error {
	e.out = append(e.out, `{"resourceType":`...)
	e.out = handover.AppendString(e.out, r.kind)
	_, err := e.elements(reflect.ValueOf(r.body).Elem(), r, true)
	if err != nil {
		return fmt.Errorf("%s/%s: %w", r.kind, r.id, err)
	}
	e.out = append(e.out, '}')
	return nil
}

// elements appends the members of an object and says whether there were any.
func (e *encoder) elements(v reflect.Value, r *resource, more bool) (bool, error) {
	for _, f := range planOf(v.Type()) {
		if err := e.element(v.Field(f.index), f, r, &more); err != nil {
			return more, fmt.Errorf("%s: %w", f.name, err)
		}
	}
	return more, nil
}

func (e *encoder) element(v reflect.Value, f field, r *resource, more *bool) error {
	status := r != nil && f.name == "status"
	if f.optional && !status && (v.Kind() == reflect.Pointer || v.Kind() == reflect.Slice) && v.IsNil() {
		return nil
	}
	if *more {
		e.out = append(e.out, ',')
	}
	*more = true
	e.name(f.name)
	if status {
		return e.status(v.Type(), r.status)
	}
	if err := e.value(v, f.name == "reference"); err != nil {
		return err
	}
	if r == nil || r.primitive.element != f.name {
		return nil
	}
	e.out = append(e.out, ',')
	e.name("_" + f.name)
	e.out = append(e.out, `{"extension":`...)
	err := e.value(reflect.ValueOf(r.primitive.extension), false)
	e.out = append(e.out, '}')
	return err
}

func (e *encoder) name(s string) {
	e.out = append(e.out, '"')
	e.out = append(e.out, s...)
	e.out = append(e.out, '"', ':')
}

// status appends a status if it is a code of the type that the model binds.
func (e *encoder) status(t reflect.Type, code string) error {
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if code == "" {
		return errors.New("not set")
	}
	if !isCode(t, code) {
		return fmt.Errorf("%q is not a code of %s", code, t.Name())
	}
	e.out = handover.AppendString(e.out, code)
	return nil
}

// isCode says whether a code is one of a model's closed set.
func isCode(t reflect.Type, code string) bool {
	u, ok := reflect.New(t).Interface().(json.Unmarshaler)
	return ok && u.UnmarshalJSON(handover.AppendString(nil, code)) == nil
}

type coder interface{ Code() string }

func (e *encoder) value(v reflect.Value, reference bool) error {
	if v.Kind() == reflect.Pointer {
		if v.IsNil() {
			return errors.New("null")
		}
		v = v.Elem()
	}
	if c, ok := v.Interface().(coder); ok {
		if !isCode(v.Type(), c.Code()) {
			return errors.New("a code out of range")
		}
		e.out = handover.AppendString(e.out, c.Code())
		return nil
	}
	switch v.Kind() {
	case reflect.Struct:
		e.out = append(e.out, '{')
		some, err := e.elements(v, nil, false)
		if err == nil && !some {
			err = errEmpty
		}
		e.out = append(e.out, '}')
		return err
	case reflect.Slice:
		return e.array(v)
	case reflect.Bool:
		e.out = fmt.Appendf(e.out, "%t", v.Bool())
		return nil
	case reflect.Int:
		e.out = fmt.Appendf(e.out, "%d", v.Int())
		return nil
	}
	if v.Kind() != reflect.String {
		return fmt.Errorf("%s cannot be written", v.Type())
	}
	if v.Type() == reflect.TypeFor[json.Number]() {
		if !isDecimal(v.String()) {
			return errors.New("not a decimal number without exponent")
		}
		e.out = append(e.out, v.String()...)
		return nil
	}
	if err := sound(v.String()); err != nil {
		return err
	}
	start := len(e.out) + 1
	e.out = handover.AppendString(e.out, v.String())
	if reference {
		e.refs = append(e.refs, span{start, len(e.out) - 1})
	}
	return nil
}

func (e *encoder) array(v reflect.Value) error {
	if v.Len() == 0 {
		return errEmpty
	}
	e.out = append(e.out, '[')
	for i := range v.Len() {
		if i > 0 {
			e.out = append(e.out, ',')
		}
		if err := e.value(v.Index(i), false); err != nil {
			return fmt.Errorf("[%d]: %w", i, err)
		}
	}
	e.out = append(e.out, ']')
	return nil
}

// sound refuses what a FHIR string cannot be.
func sound(s string) error {
	switch {
	case strings.TrimSpace(s) == "":
		return errEmpty
	case !utf8.ValidString(s):
		return errors.New("not UTF-8")
	case strings.ContainsFunc(s, isControl):
		return errors.New("a control character")
	}
	return nil
}

// isControl is any control character but the tab and line ends that a FHIR
// string may hold; the two non-characters that XML refuses are among them.
func isControl(r rune) bool {
	return r < 0x20 && r != '\t' && r != '\n' && r != '\r' || r >= 0x7F && r < 0xA0 || r == 0xFFFE || r == 0xFFFF
}

// isDecimal is the decimal of FHIR R4 without exponent.
func isDecimal(s string) bool {
	whole, fraction, dotted := strings.Cut(strings.TrimPrefix(s, "-"), ".")
	if whole == "" || len(whole) > 1 && whole[0] == '0' || dotted && fraction == "" {
		return false
	}
	return strings.Trim(whole+fraction, "0123456789") == ""
}

// field is one element of a model: its name in JSON, its place in the struct,
// and whether it may be left out.
type field struct {
	name     string
	index    int
	optional bool
}

var plans sync.Map // reflect.Type to []field

func planOf(t reflect.Type) []field {
	if p, ok := plans.Load(t); ok {
		return p.([]field)
	}
	var plan []field
	for i := range t.NumField() {
		name, options, _ := strings.Cut(t.Field(i).Tag.Get("json"), ",")
		if name != "" && name != "-" {
			plan = append(plan, field{name, i, options == "omitempty"})
		}
	}
	plans.Store(t, plan)
	return plan
}
