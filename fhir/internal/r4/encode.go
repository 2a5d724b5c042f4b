package r4

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover/entry"
)

// Model is a model, and what the models cannot hold. One is a status that somebody
// gave: the zero value of a status is a valid code, so that one that was forgotten
// would leave as registered or active. The other is an extension of a primitive
// element.
type Model struct {
	Kind      string // resource type
	ID        string
	Status    string // empty only where the type has none
	Body      any    // pointer to a model of that type
	Primitive Primitive
}

// Primitive is an extension of a primitive element of a resource: birthDate
// becomes _birthDate beside it.
type Primitive struct {
	Element   string
	Extension []models.Extension
}

// Span is where the target of a literal reference stands in encoded bytes.
type Span struct{ Start, End int }

// encoder appends FHIR JSON: resourceType first, elements in the order of the
// specification, numbers as charted, and no escapes that JSON does not ask for. What
// would not be FHIR is an error and is never written: an unset status, an empty string,
// object or array, null, a control character, a number with an exponent.
type encoder struct {
	out  []byte
	refs []Span
}

func (e *encoder) resource(r *Model) error {
	e.out = append(e.out, `{"resourceType":`...)
	e.out = entry.AppendString(e.out, r.Kind)
	body := reflect.ValueOf(r.Body).Elem()
	_, err := e.elements(body, planOf(body.Type()), r, true)
	if err != nil {
		return fmt.Errorf("%s/%s: %w", r.Kind, r.ID, err)
	}
	e.out = append(e.out, '}')
	return nil
}

// elements appends the members of an object and says whether there were any.
func (e *encoder) elements(v reflect.Value, plan []field, r *Model, more bool) (bool, error) {
	for i := range plan {
		f := &plan[i]
		x := v.Field(f.index)
		status := f.status && r != nil
		if f.optional && f.nilable && !status && x.IsNil() || f.choice && x.IsZero() {
			continue
		}
		if more {
			e.out = append(e.out, f.head...)
		} else {
			e.out = append(e.out, f.head[1:]...)
		}
		more = true
		err := error(nil)
		if status {
			err = e.status(f.shape, r.Status)
		} else {
			err = e.value(x, f.shape, f.refers)
		}
		if err == nil && r != nil && r.Primitive.Element != "" && r.Primitive.Element == f.name {
			err = e.extended(f.name, r.Primitive.Extension)
		}
		if err != nil {
			return more, fmt.Errorf("%s: %w", f.name, err)
		}
	}
	return more, nil
}

// extended appends the extension that belongs to the primitive element before it.
func (e *encoder) extended(name string, extension []models.Extension) error {
	e.out = append(append(append(e.out, `,"_`...), name...), `":{"extension":`...)
	v := reflect.ValueOf(extension)
	err := e.value(v, shapeOf(v.Type()), false)
	e.out = append(e.out, '}')
	return err
}

// status appends a status if it is a code of the type that the model binds.
func (e *encoder) status(s *shape, code string) error {
	if code == "" {
		return errors.New("not set")
	}
	if !slices.Contains(s.codes, code) {
		return fmt.Errorf("%q is not a code of %s", code, s.name)
	}
	e.out = entry.AppendString(e.out, code)
	return nil
}

func (e *encoder) value(v reflect.Value, s *shape, reference bool) error {
	if s.pointer {
		if v.IsNil() {
			return errors.New("null")
		}
		v = v.Elem()
	}
	switch s.form {
	case aText:
		return e.text(v.String(), reference)
	case anObject:
		e.out = append(e.out, '{')
		some, err := e.elements(v, s.plan(), nil, false)
		if err == nil && !some {
			err = errEmpty
		}
		e.out = append(e.out, '}')
		return err
	case anArray:
		return e.array(v, s.items)
	case aCode:
		n := v.Int()
		if n < 0 || n >= int64(len(s.codes)) {
			return errors.New("a code out of range")
		}
		e.out = append(append(append(e.out, '"'), s.codes[n]...), '"')
		return nil
	case aDecimal:
		n := v.String()
		if !IsDecimal(n) {
			return errors.New("not a decimal number without exponent")
		}
		e.out = append(e.out, n...)
		return nil
	case aTruth:
		e.out = strconv.AppendBool(e.out, v.Bool())
		return nil
	case aWhole:
		e.out = strconv.AppendInt(e.out, v.Int(), 10)
		return nil
	}
	return fmt.Errorf("%s cannot be written", s.name)
}

func (e *encoder) array(v reflect.Value, items *shape) error {
	if v.Len() == 0 {
		return errEmpty
	}
	e.out = append(e.out, '[')
	for i := range v.Len() {
		if i > 0 {
			e.out = append(e.out, ',')
		}
		if err := e.value(v.Index(i), items, false); err != nil {
			return fmt.Errorf("[%d]: %w", i, err)
		}
	}
	e.out = append(e.out, ']')
	return nil
}

// text appends a string. Most strings are printable ASCII without escapes, and are
// copied; others are looked at byte by byte, or rune by rune.
func (e *encoder) text(s string, reference bool) error {
	start := len(e.out)
	if s == "" || s[0] == ' ' && strings.TrimSpace(s) == "" {
		return errEmpty
	}
	e.out = append(append(e.out, '"'), s...)
	if ordinaryTo(e.out, start+1) == len(e.out) {
		e.out = append(e.out, '"')
	} else if err := e.escaped(start, s); err != nil {
		return err
	}
	if reference {
		e.refs = append(e.refs, Span{start + 1, len(e.out) - 1})
	}
	return nil
}

// escaped writes a string from start on.
func (e *encoder) escaped(start int, s string) error {
	e.out = append(e.out[:start], '"')
	from := 0
	for i := range len(s) {
		c := s[i]
		if ordinary[c] {
			continue
		}
		if c != '"' && c != '\\' {
			if err := Sound(s); err != nil {
				return err
			}
			e.out = entry.AppendString(e.out[:start], s)
			return nil
		}
		e.out = append(append(e.out, s[from:i]...), '\\')
		from = i
	}
	e.out = append(append(e.out, s[from:]...), '"')
	return nil
}
