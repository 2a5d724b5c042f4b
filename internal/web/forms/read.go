package forms

import (
	"net/url"
	"slices"
	"strconv"
	"strings"

	"cotline/handover/entry"
)

// Fault is what is wrong with what was posted for an input. Choose are the moments that
// a time may mean: then it is a question.
type Fault struct {
	Text   string
	Choose []Option
}

// Faults are by the name of the input, the empty name for what concerns all of a form.
type Faults map[string]*Fault

// Add keeps the first fault of an input.
func (f Faults) Add(name, text string) {
	if f[name] == nil {
		f[name] = &Fault{Text: text}
	}
}

// Read is what was posted for one entry.
type Read struct {
	Fields []entry.Field
	inputs map[string]string // names of inputs, by path in the entry
}

// Input is the name of the input that a path of an entry came from.
func (r *Read) Input(path string) (string, bool) {
	for {
		if name, ok := r.inputs[path]; ok {
			return name, true
		}
		cut := strings.LastIndexAny(path, ".[")
		if cut < 0 {
			return "", false
		}
		path = path[:cut]
	}
}

// Came says where the value of a path came from.
func (r *Read) Came(path, input string) {
	if r.inputs == nil {
		r.inputs = map[string]string{}
	}
	r.inputs[path] = input
}

// reading reads what was posted.
type reading struct {
	*Asked
	posted url.Values
	faults Faults
	Read
}

// Read reads the fields of a kind. What only a form can get wrong goes to faults.
func (a *Asked) Read(prefix string, specs []entry.Spec, posted url.Values, faults Faults) *Read {
	r := &reading{Asked: a, posted: posted, faults: faults, Read: Read{inputs: map[string]string{}}}
	r.Fields = r.fields(prefix, "", specs)
	return &r.Read
}

func (r *reading) fields(prefix, path string, specs []entry.Spec) (out []entry.Field) {
	for i := range specs {
		s := &specs[i]
		name, at := prefix+"."+s.Name, entry.JoinPath(path, s.Name)
		r.inputs[at] = name
		if v := r.value(name, at, s); v.Type != entry.Absent {
			out = append(out, entry.Field{Name: s.Name, Value: v})
		}
	}
	return out
}

// value is what was posted for a field, absent where that is nothing. What is not as the
// field wants it stays text, for the record's own rules to refuse.
func (r *reading) value(name, path string, s *entry.Spec) entry.Value {
	typed := strings.TrimSpace(r.posted.Get(name))
	switch s.Type {
	case entry.Instant, entry.Birth:
		return r.moment(name, s)
	case entry.Object:
		if fields := r.fields(name, path, s.Of); len(fields) > 0 {
			return entry.Value{Type: entry.ObjectValue, Fields: fields}
		}
		return entry.Value{}
	case entry.List:
		return r.list(name, path, s)
	case entry.PerInfant:
		return r.perInfant(name, s)
	}
	if typed == "" {
		return entry.Value{}
	}
	switch s.Type {
	case entry.Number, entry.Whole:
		return number(typed)
	case entry.Flag:
		if typed == "yes" || typed == "no" {
			return entry.NewFlag(typed == "yes")
		}
	}
	if s.Lines {
		typed = strings.ReplaceAll(strings.ReplaceAll(typed, "\r\n", "\n"), "\r", "\n")
	}
	return entry.NewText(typed)
}

// number reads a number: of a keypad that has no point, a comma stands for it, unless it
// may part thousands.
func number(typed string) entry.Value {
	if whole, decimals, ok := strings.Cut(typed, ","); ok && (len(decimals) == 1 || len(decimals) == 2) {
		typed = whole + "." + decimals
	}
	if strings.Trim(typed, "-.0123456789") != "" {
		return entry.NewText(typed)
	}
	return entry.NewNumber(typed)
}

func (r *reading) list(name, path string, s *entry.Spec) entry.Value {
	out := entry.Value{Type: entry.ListValue}
	switch {
	case s.Of == nil && s.Item == entry.Number:
		for _, typed := range strings.FieldsFunc(r.posted.Get(name), func(c rune) bool { return c == ' ' || c == ';' }) {
			out.List = append(out.List, number(strings.TrimSuffix(typed, ",")))
		}
	case s.Of == nil:
		for _, word := range r.posted[name] {
			if word != "" {
				out.List = append(out.List, entry.NewText(word))
			}
		}
	case s.Unique != "":
		for i, own := range r.posted[name] {
			row := name + "." + strconv.Itoa(i)
			at := path + "[" + strconv.Itoa(len(out.List)) + "]"
			if fields := r.fields(row, at, s.Of[1:]); len(fields) > 0 {
				r.inputs[at] = row
				first := entry.TextField(s.Of[0].Name, own)
				out.List = append(out.List, entry.Value{Type: entry.ObjectValue, Fields: append([]entry.Field{first}, fields...)})
			}
		}
	default:
		for i := range rowsPosted(name, r.posted) {
			row := name + "." + strconv.Itoa(i)
			at := path + "[" + strconv.Itoa(len(out.List)) + "]"
			if fields := r.fields(row, at, s.Of); len(fields) > 0 && !r.untouched(s, fields) {
				r.inputs[at] = row
				out.List = append(out.List, entry.Value{Type: entry.ObjectValue, Fields: fields})
			}
		}
	}
	if len(out.List) == 0 {
		return entry.Value{}
	}
	return out
}

// untouched says whether a row is as it was shown: a gas of the policy without a reading.
func (r *reading) untouched(s *entry.Spec, fields []entry.Field) bool {
	if s.Name != "points" || len(fields) != 1 || fields[0].Name != s.Of[0].Name {
		return false
	}
	gas, ok := entry.NumberOf(fields[0].Value)
	return ok && slices.ContainsFunc(r.Policy.SensorPoints, func(p entry.Decimal) bool { return p.Cmp(gas) == 0 })
}

func (r *reading) perInfant(name string, s *entry.Spec) entry.Value {
	out := entry.Value{Type: entry.ObjectValue}
	for _, one := range r.Choices["infants"] {
		words := r.list(name+"."+one.Value, s.Name+"."+one.Value, &entry.Spec{Item: entry.Word})
		if words.Type != entry.Absent {
			out.Fields = append(out.Fields, entry.Field{Name: one.Value, Value: words})
		}
	}
	if len(out.Fields) == 0 {
		return entry.Value{}
	}
	return out
}

// rowsPosted is one more than the greatest number of a row that something was posted for.
func rowsPosted(name string, posted url.Values) (n int) {
	for key := range posted {
		rest, ok := strings.CutPrefix(key, name+".")
		if !ok {
			continue
		}
		digits, _, _ := strings.Cut(rest, ".")
		if i, err := strconv.Atoi(digits); err == nil && i >= n && i < entry.MostItems {
			n = i + 1
		}
	}
	return n
}
