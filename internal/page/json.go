package page

import (
	"strconv"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// JSON is the handover for programs: the table of facts in its order, each under
// its name; moments as RFC 3339 in the unit's zone with a numeric offset, days as
// civil dates, numbers with the digits they have. Null is what applies and was
// not charted; what does not apply has no key. The same facts give the same bytes.
func JSON(h *handover.Handover) []byte {
	w := jsonWriter{zone: h.Zone}
	w.object(h.Facts(), "\n")
	return append(w.b, '\n')
}

// jsonWriter writes with two spaces a level; within is the break and indent of the
// line that a value stands on.
type jsonWriter struct {
	zone *time.Location
	b    []byte
}

func (w *jsonWriter) object(facts []handover.Fact, within string) {
	wrote := false
	for i := range facts {
		f := &facts[i]
		if f.State == handover.NotApplicable {
			continue
		}
		w.member(wrote, '{', within)
		wrote = true
		w.text(f.Name)
		w.b = append(w.b, ": "...)
		w.fact(f, within+"  ")
	}
	w.end(wrote, "{}", within)
}

func (w *jsonWriter) fact(f *handover.Fact, within string) {
	switch {
	case f.State == handover.NotCharted:
		w.b = append(w.b, "null"...)
	case f.Value != nil && f.Parts == nil:
		w.value(f.Value, within)
	case f.List:
		for i := range f.Items {
			w.member(i > 0, '[', within)
			w.object(f.Items[i].Parts, within+"  ")
		}
		w.end(len(f.Items) > 0, "[]", within)
	default:
		w.object(f.Parts, within)
	}
}

func (w *jsonWriter) value(v any, within string) {
	switch v := v.(type) {
	case string:
		w.text(v)
	case handover.Digits:
		w.b = append(w.b, v...)
	case entry.Decimal:
		w.b = append(w.b, v.String()...)
	case int:
		w.b = strconv.AppendInt(w.b, int64(v), 10)
	case bool:
		w.b = strconv.AppendBool(w.b, v)
	case time.Time:
		w.text(entry.Stamp(v, w.zone))
	case entry.Date:
		w.text(v.String())
	case []string:
		for i, word := range v {
			w.member(i > 0, '[', within)
			w.text(word)
		}
		w.end(len(v) > 0, "[]", within)
	}
}

func (w *jsonWriter) text(s string) { w.b = entry.AppendString(w.b, s) }

// member begins a member of an object or a list: after another, or the first.
func (w *jsonWriter) member(another bool, opening byte, within string) {
	if another {
		opening = ','
	}
	w.b = append(append(w.b, opening), within+"  "...)
}

// end ends an object or a list that has members; both is one that has none.
func (w *jsonWriter) end(has bool, both, within string) {
	if has {
		w.b = append(append(w.b, within...), both[1])
		return
	}
	w.b = append(w.b, both...)
}
