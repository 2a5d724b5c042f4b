package entry

import (
	"bytes"
	"errors"
	"io"
	"slices"
	"sync"
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
func ParseJSON(text []byte) (v Value, issues []Issue) {
	issues = WithJSON(text, func(read Value) {
		v = read
		v.Fields = slices.Clone(read.Fields)
	})
	return v, issues
}

// WithJSON calls with what ParseJSON gives, without faults; its fields stand no longer than
// the call.
func WithJSON(text []byte, do func(Value)) []Issue {
	if len(text) > MaxLine {
		return []Issue{{Code: CodeLineTooLong, Allowed: "at most 1 MiB a line"}}
	}
	if !utf8.Valid(text) {
		return []Issue{{Code: CodeUTF8, Allowed: "valid UTF-8"}}
	}
	r := readers.Get().(*jsonReader)
	defer readers.Put(r)
	r.reset(text)
	v, err := r.value(0)
	if err == nil {
		if _, after := r.d.ReadToken(); !errors.Is(after, io.EOF) {
			err = errors.New("one object a line")
		}
	}
	if err == nil && v.Type != ObjectValue {
		err = errors.New("one object a line")
	}
	if err != nil {
		return []Issue{jsonIssue(err, r.d)}
	}
	do(v)
	return nil
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

// jsonReader reads one text. Values are parts of one copy of it, and what an object
// or a list gathers stands on one stack, so that an entry costs few allocations.
type jsonReader struct {
	d      *jsontext.Decoder
	in     bytes.Buffer
	text   string
	fields []Field
	items  []Value
}

var readers = sync.Pool{New: func() any { return &jsonReader{d: jsontext.NewDecoder(new(bytes.Buffer))} }}

func (r *jsonReader) reset(text []byte) {
	r.in = *bytes.NewBuffer(text)
	r.d.Reset(&r.in)
	r.text, r.fields, r.items = string(text), r.fields[:0], r.items[:0]
}

// word is the text of the value that comes next, without quotes and escapes.
func (r *jsonReader) word() (string, error) {
	raw, err := r.d.ReadValue()
	if err != nil {
		return "", err
	}
	end := int(r.d.InputOffset())
	switch {
	case raw[0] != '"':
		return r.text[end-len(raw) : end], nil
	case bytes.IndexByte(raw, '\\') < 0:
		return r.text[end-len(raw)+1 : end-1], nil
	}
	plain, err := jsontext.AppendUnquote(nil, raw)
	return string(plain), err
}

func (r *jsonReader) value(depth int) (v Value, err error) {
	if depth > maxDepth {
		return v, errDeep
	}
	switch r.d.PeekKind() {
	case '"':
		v.Type = TextValue
		v.Text, err = r.word()
		return v, err
	case '0':
		v.Type = NumberValue
		v.Text, err = r.word()
		return v, err
	case '[':
		return r.list(depth)
	case '{':
		return r.object(depth)
	}
	t, err := r.d.ReadToken() // a stray end is an error of it
	switch t.Kind() {
	case 't', 'f':
		v.Type, v.Bool = BoolValue, t.Bool()
	default:
		v.Type = NullValue
	}
	return v, err
}

func (r *jsonReader) list(depth int) (Value, error) {
	v, from := Value{Type: ListValue}, len(r.items)
	if _, err := r.d.ReadToken(); err != nil {
		return v, err
	}
	for r.d.PeekKind() != ']' {
		x, err := r.value(depth + 1)
		if err != nil {
			return v, err
		}
		r.items = append(r.items, x)
	}
	v.List = slices.Clone(r.items[from:])
	r.items = r.items[:from]
	_, err := r.d.ReadToken()
	return v, err
}

func (r *jsonReader) object(depth int) (Value, error) {
	v, from := Value{Type: ObjectValue}, len(r.fields)
	if _, err := r.d.ReadToken(); err != nil {
		return v, err
	}
	for r.d.PeekKind() != '}' {
		name, err := r.word()
		if err != nil {
			return v, err
		}
		x, err := r.value(depth + 1)
		if err != nil {
			return v, err
		}
		r.fields = append(r.fields, Field{name, x})
	}
	if v.Fields = r.fields[from:]; depth > 0 {
		v.Fields = slices.Clone(v.Fields)
	}
	r.fields = r.fields[:from]
	_, err := r.d.ReadToken()
	return v, err
}
