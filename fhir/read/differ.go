package read

import (
	"slices"
	"strings"

	"cotline/fhir/internal/r4"
	"cotline/handover/entry"
)

// What a resource says is compared, not its bytes: a server may write a moment in
// another zone, a number with other zeros, a display of another release, and give
// references ids of its own. So ids, narrative, extensions, references and displays are
// not compared, and of the codings that were sent none may be missing.

// difference is what a resource says otherwise than it was sent.
type difference struct {
	path    string
	was, is string   // as they are told: of others' words and codes, that they are other ones
	now     *r4.Part // what it says; nil: nothing
	beside  bool     // an addition: all that was sent is still said
}

// holds are statuses by which an Observation holds: whoever receives one may amend it.
var holds = map[string]bool{r4.Final: true, r4.Amended: true, r4.Corrected: true}

// goesOn are statuses of what is not over. What goes on in a resource and is over in the
// record is what was sent before it ended.
var goesOn = map[string]bool{r4.Active: true, r4.Ongoing: true, r4.Requested: true}

// isOff are statuses of what was withdrawn.
var isOff = map[string]bool{r4.InError: true, r4.Cancelled: true, r4.Inactive: true}

// statuses are those of R4 of the types that are compared: no name.
var statuses = strings.Fields("registered preliminary final amended corrected cancelled entered-in-error unknown active completed " +
	"intended stopped on-hold inactive draft requested received accepted rejected ready in-progress failed planned arrived triaged " +
	"onleave finished")

// periods are where resources of a type say from when to when.
var periods = map[string]string{"DeviceUseStatement": "timingPeriod", "Encounter": "period"}

// differences are what a resource says otherwise than what was sent.
func differences(kind string, o, was *r4.Part) (out []difference) {
	compare := func(path string, x, y *r4.Part) {
		if !same(x, y) {
			out = append(out, differing(path, x, y))
		}
	}
	before, now := was.Text("status"), o.Text("status")
	if kind != "Observation" {
		sent, here := was.At(periods[kind]), o.At(periods[kind])
		compare(periods[kind]+".start", sent.At("start"), here.At("start"))
		if !goesOn[now] || goesOn[before] {
			compare("status", was.At("status"), o.At("status"))
			compare(periods[kind]+".end", sent.At("end"), here.At("end"))
		}
		return out
	}
	if !holds[before] || !holds[now] {
		compare("status", was.At("status"), o.At("status"))
	}
	if now == r4.InError { // what is withdrawn may be blank
		return out
	}
	for _, path := range []string{"code", "effectiveDateTime", "effectivePeriod", "bodySite", "dataAbsentReason"} {
		compare(path, was.At(path), o.At(path))
	}
	path, x := valueOf(was)
	found, y := valueOf(o)
	if path == "" {
		path = found
	}
	compare(path, x, y)
	if x, y := components(was), components(o); !slices.Equal(x, y) {
		out = append(out, difference{path: "component", was: "those of the record", is: "other ones"})
	}
	return append(out, besides(o, was)...)
}

// valueOf is the value of an Observation, and its name.
func valueOf(n *r4.Part) (string, *r4.Part) {
	for name, m := range n.Members() {
		if strings.HasPrefix(name, "value") {
			return name, m
		}
	}
	return "", nil
}

// components are what an Observation's components say, in one order.
func components(n *r4.Part) (out []string) {
	for _, c := range n.List("component") {
		_, v := valueOf(c)
		key := keyOf(c.At("code")) + "=" + keyOf(v) + keyOf(c.At("dataAbsentReason"))
		out = append(out, key)
	}
	slices.Sort(out)
	return out
}

// serverly are elements that a server writes as it likes, or that are told apart.
var serverly = map[string]bool{"resourceType": true, "id": true, "meta": true, "text": true, "language": true, "contained": true,
	"extension": true, "identifier": true, "status": true, "issued": true, "note": true, "performer": true, "subject": true,
	"encounter": true, "category": true, "component": true}

// besides are the elements and notes that a resource has beside what was sent.
func besides(o, was *r4.Part) (out []difference) {
	for name, m := range o.Members() {
		if !serverly[name] && was.At(name) == nil && !strings.HasPrefix(name, "value") && !strings.HasPrefix(name, "effective") &&
			name != "bodySite" && name != "dataAbsentReason" {
			out = append(out, difference{path: name, was: "none", is: "one", now: m, beside: true})
		}
	}
	for _, n := range o.List("note") {
		if !slices.ContainsFunc(was.List("note"), func(m *r4.Part) bool { return m.Text("text") == n.Text("text") }) {
			out = append(out, difference{path: "note", was: "none", is: "words", now: n, beside: true})
		}
	}
	return out
}

// same says whether two elements say the same.
func same(x, y *r4.Part) bool {
	if x != nil && y != nil && len(codings(x)) > 0 {
		said := codings(y)
		return !slices.ContainsFunc(codings(x), func(c string) bool { return !slices.Contains(said, c) })
	}
	return keyOf(x) == keyOf(y)
}

// keyOf is what an element says, in one form: moments in UTC, numbers without zeros at
// their end, kilograms as grams.
func keyOf(n *r4.Part) string {
	switch {
	case n == nil || n.Kind == r4.Null:
		return ""
	case n.Kind == r4.Text:
		if m, err := entry.ParseMoment(n.Value); err == nil {
			return m.UTC().String()
		}
		return n.Value
	case n.Kind == r4.Numeral:
		return plain(n.Value)
	case n.At("coding") != nil:
		all := codings(n)
		slices.Sort(all)
		return strings.Join(all, " ")
	case n.At("value") != nil:
		value, unit := inGrams(n)
		return plain(value) + " " + unit + " " + n.Text("comparator")
	case n.Kind == r4.Object:
		return n.Text("text") + keyOf(n.At("start")) + "/" + keyOf(n.At("end"))
	}
	return n.Value
}

// inGrams is a quantity's value and unit, kilograms as grams.
func inGrams(q *r4.Part) (value, unit string) {
	value, unit = q.At("value").Value, q.Text("code")
	if unit == kilograms && r4.IsDecimal(value) {
		return thousandfold(value), r4.Grams.UCUM
	}
	return value, unit
}

// plain is a number without zeros at its end.
func plain(s string) string {
	if strings.Contains(s, ".") && !strings.ContainsAny(s, "eE") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// differing tells two elements that say different things. Words are never told: they may
// be a name.
func differing(path string, x, y *r4.Part) difference {
	d := difference{path: path, was: told(x), is: told(y), now: y}
	if d.was == d.is {
		d.is = "other " + strings.TrimPrefix(d.is, "a ")
	}
	return d
}

func told(n *r4.Part) string {
	switch {
	case n == nil || n.Kind == r4.Null:
		return "none"
	case n.Kind == r4.Text:
		if s := shown(n.Value); !strings.HasPrefix(s, "text of ") {
			return strings.Trim(s, `"`)
		}
		if slices.Contains(statuses, n.Value) {
			return n.Value
		}
		return "words"
	case len(n.List("coding")) > 0:
		for _, c := range n.List("coding") {
			code := c.Text("code")
			if slices.ContainsFunc(r4.OwnConcepts, func(own r4.Concept) bool { return own.Code != "" && own.Code == code }) {
				return code
			}
		}
		return "a code"
	case n.At("value") != nil:
		value, unit := inGrams(n)
		if !r4.IsUnit(unit) {
			unit = "of another unit"
		}
		return entry.Short(value) + " " + unit
	case n.At("start") != nil:
		return told(n.At("start")) + " to " + told(n.At("end"))
	case n.Kind == r4.Object, n.Kind == r4.Array:
		return "words"
	}
	return entry.Short(n.Value)
}
