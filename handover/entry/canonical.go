package entry

import (
	"strings"
)

// AppendCanonical appends the entry's canonical JSON text: fields in the order
// of the table, numbers as written, text in NFC, ids in lower case, charted only
// if it was offered. It is what is stored, hashed and compared.
func (e *Entry) AppendCanonical(b []byte) []byte { return e.appendCanonical(b, e.Offered) }

func (e *Entry) appendCanonical(b []byte, charted bool) []byte {
	b = append(b, `{"id":`...)
	b = AppendString(b, e.ID)
	if e.Infant != "" {
		b = append(b, `,"infant":`...)
		b = AppendString(b, e.Infant)
	}
	b = append(b, `,"kind":`...)
	b = AppendString(b, e.Kind)
	b = append(b, `,"at":`...)
	b = AppendString(b, e.At.Text)
	if charted {
		b = append(b, `,"charted":`...)
		b = AppendString(b, e.Charted.Text)
	}
	b = append(b, `,"by":`...)
	b = AppendString(b, e.By)
	return e.AppendFields(b)
}

// appendInner is a correction's entry: kind, at and fields.
func (e *Entry) appendInner(b []byte) []byte {
	b = append(b, `{"kind":`...)
	b = AppendString(b, e.Kind)
	b = append(b, `,"at":`...)
	b = AppendString(b, e.At.Text)
	return e.AppendFields(b)
}

// AppendFields is the fields of the kind, and the end of the object.
func (e *Entry) AppendFields(b []byte) []byte {
	kind, _ := KindOf(e.Kind)
	for _, f := range e.Fields {
		b = append(b, ',')
		b = AppendString(b, f.Name)
		b = append(b, ':')
		switch spec, _ := kind.Spec(f.Name); spec.Type {
		case EntryType:
			b = e.Corrected.appendInner(b)
		case Reference:
			b = AppendString(b, strings.ToLower(f.Value.Text))
		default:
			b = f.Value.AppendJSON(b)
		}
	}
	return append(b, '}')
}

// AppendJSON appends the value as JSON: numbers as written, fields in their order.
func (v Value) AppendJSON(b []byte) []byte {
	switch v.Type {
	case TextValue:
		return AppendString(b, v.Text)
	case NumberValue:
		return append(b, v.Text...)
	case BoolValue:
		if v.Bool {
			return append(b, "true"...)
		}
		return append(b, "false"...)
	case ListValue:
		b = append(b, '[')
		for i, x := range v.List {
			if i > 0 {
				b = append(b, ',')
			}
			b = x.AppendJSON(b)
		}
		return append(b, ']')
	case ObjectValue:
		b = append(b, '{')
		for i, f := range v.Fields {
			if i > 0 {
				b = append(b, ',')
			}
			b = AppendString(b, f.Name)
			b = append(b, ':')
			b = f.Value.AppendJSON(b)
		}
		return append(b, '}')
	}
	return append(b, "null"...)
}

const hexDigits = "0123456789abcdef"

// AppendString appends s as a JSON string with the fewest escapes: the quote,
// the backslash and control characters only.
func AppendString(b []byte, s string) []byte {
	b = append(b, '"')
	from := 0
	for i := 0; i < len(s); i++ {
		c := s[i]
		if c >= 0x20 && c != '"' && c != '\\' {
			continue
		}
		b = append(b, s[from:i]...)
		switch c {
		case '"', '\\':
			b = append(b, '\\', c)
		case '\n':
			b = append(b, '\\', 'n')
		case '\t':
			b = append(b, '\\', 't')
		default:
			b = append(b, '\\', 'u', '0', '0', hexDigits[c>>4], hexDigits[c&15])
		}
		from = i + 1
	}
	b = append(b, s[from:]...)
	return append(b, '"')
}
