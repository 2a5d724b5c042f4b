package page

import (
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// object is a JSON object whose members stay in the order they were put; the
// same facts give the same bytes.
type object []member

type member struct {
	key   string
	value any // object, list, string, bare, bool or nil
}

type list []any

// bare is text that stands without quotes: a number as charted.
type bare string

func (o *object) put(key string, value any) { *o = append(*o, member{key, value}) }

// text leaves an empty string out.
func (o *object) text(key, s string) {
	if s != "" {
		o.put(key, s)
	}
}

func (o *object) digits(key, s string) {
	if s != "" {
		o.put(key, bare(s))
	}
}

func (o *object) number(key string, d entry.Decimal) { o.put(key, decimal(d)) }

func (o *object) date(key string, d entry.Date) {
	if !d.IsZero() {
		o.put(key, d.String())
	}
}

func decimal(d entry.Decimal) any { return bare(d.String()) }

func texts(words []string) list {
	out := make(list, len(words))
	for i, w := range words {
		out[i] = w
	}
	return out
}

func each[T any](items []T, value func(T) any) list {
	out := make(list, len(items))
	for i, item := range items {
		out[i] = value(item)
	}
	return out
}

// sheet carries what every part of the JSON needs: the zone that moments are
// told in, and the figures of one infant that could not be computed.
type sheet struct {
	zone *time.Location
	not  object // path to reason
}

func (s *sheet) moment(o *object, key string, t time.Time) {
	if !t.IsZero() {
		o.put(key, entry.Stamp(t, s.zone))
	}
}

func (s *sheet) stamp(t time.Time) any { return entry.Stamp(t, s.zone) }

// maybe puts a value, null for what is not charted, and nothing for what does
// not apply; a figure left out for a reason is told among those not computed.
func maybe[T any](s *sheet, o *object, within, key string, m handover.Maybe[T], value func(T) any) {
	switch {
	case m.Applies && m.Value != nil:
		o.put(key, value(*m.Value))
	case m.Applies:
		o.put(key, nil)
	case m.Why != "":
		s.not.put(within+key, m.Why)
	}
}

func plainly[T any](v T) any { return v }

// appendJSON writes v with two spaces a level.
func appendJSON(b []byte, v any, indent string) []byte {
	inner := indent + "  "
	switch v := v.(type) {
	case string:
		return entry.AppendString(b, v)
	case bare:
		return append(b, v...)
	case bool:
		if v {
			return append(b, "true"...)
		}
		return append(b, "false"...)
	case object:
		if len(v) == 0 {
			return append(b, "{}"...)
		}
		b = append(b, '{')
		for i, m := range v {
			b = next(b, i, inner)
			b = entry.AppendString(b, m.key)
			b = append(b, ": "...)
			b = appendJSON(b, m.value, inner)
		}
		return append(append(b, "\n"+indent...), '}')
	case list:
		if len(v) == 0 {
			return append(b, "[]"...)
		}
		b = append(b, '[')
		for i, item := range v {
			b = next(b, i, inner)
			b = appendJSON(b, item, inner)
		}
		return append(append(b, "\n"+indent...), ']')
	}
	return append(b, "null"...)
}

func next(b []byte, i int, indent string) []byte {
	if i > 0 {
		b = append(b, ',')
	}
	return append(append(b, '\n'), indent...)
}
