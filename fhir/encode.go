package fhir

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover/entry"
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
	e.out = entry.AppendString(e.out, r.kind)
	body := reflect.ValueOf(r.body).Elem()
	_, err := e.elements(body, planOf(body.Type()), r, true)
	if err != nil {
		return fmt.Errorf("%s/%s: %w", r.kind, r.id, err)
	}
	e.out = append(e.out, '}')
	return nil
}

// elements appends the members of an object and says whether there were any.
func (e *encoder) elements(v reflect.Value, plan []field, r *resource, more bool) (bool, error) {
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
			err = e.status(f.shape, r.status)
		} else {
			err = e.value(x, f.shape, f.refers)
		}
		if err == nil && r != nil && r.primitive.element != "" && r.primitive.element == f.name {
			err = e.extended(f.name, r.primitive.extension)
		}
		if err != nil {
			return more, fmt.Errorf("%s: %w", f.name, err)
		}
	}
	return more, nil
}

// extended appends the extension of the primitive element before it.
func (e *encoder) extended(name string, extension []r4.Extension) error {
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
		if !isDecimal(n) {
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

// text appends a string. Most hold nothing but printable ASCII without escapes, and
// are as they are written; others are looked at byte by byte, or rune by rune.
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
		e.refs = append(e.refs, span{start + 1, len(e.out) - 1})
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
			if err := sound(s); err != nil {
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

// ordinary are the bytes that a JSON string holds as they are.
var ordinary = func() (is [256]bool) {
	for c := 0x20; c < 0x7F; c++ {
		is[c] = c != '"' && c != '\\'
	}
	return is
}()

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
