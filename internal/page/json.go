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
	w := jsonWriter{zone: h.Zone, b: make([]byte, 0, (1+len(h.Infants))*anInfant)}
	w.object(h.Facts(), 0)
	return append(w.b, '\n')
}

// anInfant is about as many bytes as one has, or the rest of a ward.
const anInfant = 20 << 10

// jsonWriter writes with two spaces a level; deep is the level that a value stands on.
type jsonWriter struct {
	zone *time.Location
	b    []byte
}

func (w *jsonWriter) object(facts []handover.Fact, deep int) {
	wrote := false
	for i := range facts {
		f := &facts[i]
		if f.State == handover.NotApplicable {
			continue
		}
		w.member(wrote, '{', deep)
		wrote = true
		w.text(f.Name)
		w.b = append(w.b, ": "...)
		w.fact(f, deep+1)
	}
	w.end(wrote, "{}", deep)
}

func (w *jsonWriter) fact(f *handover.Fact, deep int) {
	switch {
	case f.State == handover.NotCharted:
		w.b = append(w.b, "null"...)
	case f.Value != nil && f.Parts == nil:
		w.value(f.Value, deep)
	case f.List:
		wrote := false
		f.Each(func(i int, parts []handover.Fact) {
			wrote = true
			w.member(i > 0, '[', deep)
			w.object(parts, deep+1)
		})
		w.end(wrote, "[]", deep)
	default:
		w.object(f.Parts, deep)
	}
}

func (w *jsonWriter) value(v any, deep int) {
	switch v := v.(type) {
	case string:
		w.text(v)
	case handover.Digits:
		w.b = append(w.b, v...)
	case entry.Decimal:
		w.b = v.AppendText(w.b)
	case int:
		w.b = strconv.AppendInt(w.b, int64(v), 10)
	case bool:
		w.b = strconv.AppendBool(w.b, v)
	case time.Time:
		w.b = append(entry.AppendStamp(append(w.b, '"'), v, w.zone), '"')
	case entry.Date:
		w.text(v.String())
	case []string:
		for i, word := range v {
			w.member(i > 0, '[', deep)
			w.text(word)
		}
		w.end(len(v) > 0, "[]", deep)
	}
}

func (w *jsonWriter) text(s string) { w.b = entry.AppendString(w.b, s) }

// member begins a member of an object or a list: after another, or the first.
func (w *jsonWriter) member(another bool, opening byte, deep int) {
	if another {
		opening = ','
	}
	w.b = append(w.b, opening)
	w.line(deep + 1)
}

// end ends an object or a list that has members; both is one that has none.
func (w *jsonWriter) end(has bool, both string, deep int) {
	if has {
		w.line(deep)
		w.b = append(w.b, both[1])
		return
	}
	w.b = append(w.b, both...)
}

func (w *jsonWriter) line(deep int) {
	w.b = append(w.b, '\n')
	for range deep {
		w.b = append(w.b, "  "...)
	}
}
