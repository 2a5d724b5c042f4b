package handover

import (
	"strconv"
	"time"
)

// Where a fact comes from, as keys beside it in the JSON form. Facts differ in
// which they have under a key of their own, and in the order that programs know.
var (
	atMoment  = val("at", func(s *Source) time.Time { return s.At }).apart()
	chartedAt = val("charted", func(s *Source) time.Time { return s.Charted }).apart()
	byWhom    = val("by", func(s *Source) string { return s.By }).apart()
	fromEntry = val("entry", func(s *Source) string { return s.Entry }).apart()
	amended   = object("corrected", func(s *Source) *Amended { return s.Corrected },
		val("by", func(a *Amended) string { return a.By }),
		val("charted", func(a *Amended) time.Time { return a.Charted })).apart()

	happened   = origin(atMoment)
	entryOnly  = origin(fromEntry)
	source     = origin(atMoment, chartedAt, byWhom, fromEntry, amended)
	sourceTail = origin(chartedAt, byWhom, fromEntry, amended) // its moment has another key
	entryFirst = origin(fromEntry, chartedAt, byWhom, amended)
)

// traced is a value that is told with its own source, as an object; null where
// it was not charted.
func traced[T, V any](name string, get func(*T) *V, value func(*V) any) FactSpec {
	of := []FactSpec{val("value", value), source}
	return FactSpec{Name: name, Of: of, read: func(owner any, f *Fact) {
		v := get(owner.(*T))
		if v == nil {
			f.State = NotCharted
			return
		}
		f.tellTraced(value(v), any(v).(sourced), of)
	}}
}

// tracedIf is traced, but says nothing where it was not charted.
func tracedIf[T any, V WordFact | NumberFact](name string, get func(*T) *V) FactSpec {
	of := []FactSpec{val("value", func(v *V) any { return valueOf(v) }), source}
	return FactSpec{Name: name, Of: of, read: func(owner any, f *Fact) {
		if v := get(owner.(*T)); v != nil {
			f.tellTraced(valueOf(v), any(v).(sourced), of)
		}
	}}
}

// tellTraced sets a value, if it says anything, and its parts.
func (f *Fact) tellTraced(value any, owner sourced, of []FactSpec) {
	if f.tell(value); f.State == Charted {
		f.Source = owner.origin()
		f.Parts = partsOf(f, of, owner)
	}
}

func numberOfFact(f *NumberFact) any { return f.Value }

// valueOf is a charted number, a word, or true or false where the word is one of these.
func valueOf(v any) any {
	switch v := v.(type) {
	case *NumberFact:
		return v.Value
	case *WordFact:
		if flag, err := strconv.ParseBool(v.Value); err == nil {
			return flag
		}
		return v.Value
	}
	return nil
}

// origin is where a fact comes from, as parts beside its own.
func origin(of ...FactSpec) FactSpec {
	return FactSpec{Of: of, read: func(owner any, f *Fact) {
		s := owner.(sourced).origin()
		f.State, f.Parts = Charted, partsOf(f, of, &s)
	}}
}
