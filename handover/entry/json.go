package entry

import (
	"bytes"
	"errors"
	"io"
	"unicode/utf8"

	"github.com/go-json-experiment/json/jsontext"
)

// Limits on one offered line.
const (
	MaxLine  = 1 << 20 // bytes
	maxDepth = 8       // the deepest entry, a correction of a skin check, needs 5
)

// ParseJSON reads one JSON object. Names that stand twice, invalid UTF-8 and
// deep nesting are refused, with the path of the fault.
func ParseJSON(text []byte) (Value, []Issue) {
	if len(text) > MaxLine {
		return Value{}, []Issue{{Code: CodeLineTooLong, Allowed: "at most 1 MiB a line"}}
	}
	if !utf8.Valid(text) {
		return Value{}, []Issue{{Code: CodeUTF8, Allowed: "valid UTF-8"}}
	}
	d := jsontext.NewDecoder(bytes.NewReader(text))
	v, err := readValue(d, 0)
	if err == nil {
		if _, after := d.ReadToken(); !errors.Is(after, io.EOF) {
			err = errors.New("one object a line")
		}
	}
	if err == nil && v.Type != ObjectValue {
		err = errors.New("one object a line")
	}
	if err != nil {
		return Value{}, []Issue{jsonIssue(err, d)}
	}
	return v, nil
}

func jsonIssue(err error, d *jsontext.Decoder) Issue {
	i := Issue{Code: CodeJSON, Allowed: "one whole JSON object a line"}
	for name := range d.StackPointer().Tokens() {
		i.Path = JoinPath(i.Path, ShownName(name))
	}
	switch {
	case errors.Is(err, jsontext.ErrDuplicateName):
		i.Code, i.Allowed = CodeDuplicateField, "each name once in an object"
	case errors.Is(err, errDeep):
		i.Allowed = errDeep.Error()
	}
	return i
}

var errDeep = errors.New("nested at most 8 deep")

func readValue(d *jsontext.Decoder, depth int) (Value, error) {
	if depth > maxDepth {
		return Value{}, errDeep
	}
	t, err := d.ReadToken()
	if err != nil {
		return Value{}, err
	}
	switch t.Kind() {
	case '"':
		return Value{Type: TextValue, Text: t.String()}, nil
	case '0':
		return Value{Type: NumberValue, Text: t.String()}, nil
	case 't', 'f':
		return Value{Type: BoolValue, Bool: t.Bool()}, nil
	case 'n':
		return Value{Type: NullValue}, nil
	case '[':
		v := Value{Type: ListValue}
		for d.PeekKind() != ']' {
			x, err := readValue(d, depth+1)
			if err != nil {
				return v, err
			}
			v.List = append(v.List, x)
		}
		_, err := d.ReadToken()
		return v, err
	}
	v := Value{Type: ObjectValue} // '{': a stray end is an error of ReadToken
	for d.PeekKind() != '}' {
		name, err := d.ReadToken()
		if err != nil {
			return v, err
		}
		key := name.String() // the token is void after the next read
		x, err := readValue(d, depth+1)
		if err != nil {
			return v, err
		}
		v.Fields = append(v.Fields, Field{key, x})
	}
	_, err = d.ReadToken()
	return v, err
}
