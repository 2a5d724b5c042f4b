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
	w.begin(false)
	h.TellFacts(&w)
	w.End(false)
	return append(w.b, '\n')
}

// anInfant is about as many bytes as one has, or the rest of a ward.
const anInfant = 16 << 10

// jsonWriter writes with two spaces a level. It is a handover.Listener.
type jsonWriter struct {
	zone *time.Location
	b    []byte
	open []level // the objects and lists that are not at their end, the outermost first
}

type level struct{ list, hasMembers bool }

func (w *jsonWriter) Begin(name string, list bool) {
	w.member(name)
	w.begin(list)
}

func (w *jsonWriter) Fact(f *handover.Fact) {
	w.member(f.Name)
	if f.State == handover.NotCharted {
		w.b = append(w.b, "null"...)
		return
	}
	w.value(f.Value)
}

func (w *jsonWriter) value(v any) {
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
		w.begin(true)
		for _, word := range v {
			w.member("")
			w.text(word)
		}
		w.End(true)
	}
}

func (w *jsonWriter) text(s string) { w.b = entry.AppendString(w.b, s) }

// begin begins an object or a list, which is opened by its first member.
func (w *jsonWriter) begin(list bool) { w.open = append(w.open, level{list: list}) }

// member begins a member of an object, or without a name of a list.
func (w *jsonWriter) member(name string) {
	in := &w.open[len(w.open)-1]
	switch {
	case in.hasMembers:
		w.b = append(w.b, ',')
	case in.list:
		w.b = append(w.b, '[')
	default:
		w.b = append(w.b, '{')
	}
	in.hasMembers = true
	w.line()
	if name != "" {
		w.text(name)
		w.b = append(w.b, ": "...)
	}
}

// End ends an object or a list.
func (w *jsonWriter) End(list bool) {
	n := len(w.open) - 1
	in := w.open[n]
	w.open = w.open[:n]
	ends := "{}"
	if list {
		ends = "[]"
	}
	if in.hasMembers {
		w.line()
		ends = ends[1:]
	}
	w.b = append(w.b, ends...)
}

func (w *jsonWriter) line() {
	w.b = append(w.b, '\n')
	for range w.open {
		w.b = append(w.b, "  "...)
	}
}
