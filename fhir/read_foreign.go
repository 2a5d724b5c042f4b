package fhir

import (
	"strings"
	"time"

	"github.com/google/uuid"

	"cotline/handover"
)

// What others observed becomes entries where it is exactly what a nurse would
// chart: one of a few vital signs by its LOINC code, of an infant who is known by
// hospital number, final, with a time of day, in a unit that needs no rounding.
// All else is left aside, with why; what is broken refuses the whole file.

// observable is what is read, by code, and where it is charted.
type observable struct {
	codes       []standard
	kind, field string
	unit        unit
}

// observables: of an axillary temperature the axillary code is asked for, since a
// body temperature may be taken anywhere.
var observables = []observable{
	{heartRate.standard, "observations", "heartRateBpm", perMinute},
	{respRate.standard, "observations", "respRateBpm", perMinute},
	{spo2.standard, "observations", "spo2Percent", percent},
	{temperature.standard[1:], "observations", "axillaryC", celsius},
	{head.standard, "head", "circumferenceCm", cm},
	{weight.standard, "weight", "weightG", grams},
}

const kilograms = "kg" // UCUM

func (r *reader) foreign(o *offered) {
	switch o.kind {
	case "Observation":
		r.observation(o)
	case "Patient":
		r.patient(o)
	case "Encounter":
		r.required(o, "status", "class")
		if r.Admit == "" {
			r.aside(o, "the stay of a Patient: it is read with the admission that is asked for")
		}
	default:
		r.aside(o, "resources of this type are not read")
	}
}

// required holds a resource to the elements that R4 demands, on what was offered:
// a model would fill them in.
func (r *reader) required(o *offered, names ...string) bool {
	whole := true
	for _, name := range names {
		if o.at(name) == nil {
			r.issue(o.ordinal, name, handover.CodeMissing, "", "required on "+o.kind)
			whole = false
		}
	}
	return whole
}

var takenStatuses = map[string]bool{final: true, "amended": true, corrected: true}

func (r *reader) observation(o *offered) {
	if !r.required(o, "status", "code") {
		return
	}
	is := observableOf(o.at("code"))
	if is == nil {
		r.aside(o, "no code of those that are read, or a temperature that is not said to be axillary")
		return
	}
	why, infant := "", ""
	switch {
	case r.By == "":
		why = "name with --by under whose staff key it is charted"
	case !takenStatuses[o.text("status")]:
		why = "status is not final, amended or corrected"
	case o.at("modifierExtension") != nil:
		why = "a modifier extension, which may turn its meaning round"
	case o.at("component") != nil || o.at("dataAbsentReason") != nil || o.at("valueQuantity") == nil:
		why = "one valueQuantity, and no component, is read"
	case o.text("effectiveDateTime") == "" && o.text("effectiveInstant") == "":
		why = "no effectiveDateTime: a period or a schedule is not a moment"
	}
	number, known := r.subject(o)
	if why == "" {
		if infant = r.Known[number]; !known || infant == "" {
			why = "not of one infant whom the record knows by hospital number"
		}
	}
	if why != "" {
		r.aside(o, why)
		return
	}
	value, ok := r.quantity(o, is)
	if !ok {
		return
	}
	at := o.text("effectiveDateTime") + o.text("effectiveInstant")
	if _, err := handover.ParseMoment(at); err != nil {
		r.aside(o, "the day alone is known, or the time has no offset")
		return
	}
	fields := []handover.Field{worded("id", r.identity(o, number)), worded("infant", infant), worded("kind", is.kind), worded("at", at)}
	if issued := o.text("issued"); issued != "" {
		fields = append(fields, worded("charted", issued))
	}
	fields = append(fields, worded("by", r.By), handover.Field{Name: is.field, Value: handover.Value{Type: handover.NumberValue, Text: value}})
	r.chart(o, fields)
}

func worded(name, s string) handover.Field {
	return handover.Field{Name: name, Value: handover.Value{Type: handover.TextValue, Text: s}}
}

// chart makes an entry by the rules that hold for every entry.
func (r *reader) chart(o *offered, fields []handover.Field) {
	e, issues := handover.Decode(handover.Value{Type: handover.ObjectValue, Fields: fields, Line: o.ordinal})
	for _, i := range issues {
		i.Line = o.ordinal
		r.Issues = append(r.Issues, i)
	}
	if len(issues) == 0 {
		r.Entries = append(r.Entries, &e)
	}
}

func observableOf(code *node) *observable {
	for _, c := range codings(code) {
		for i := range observables {
			for _, s := range observables[i].codes {
				if c == s.system+"|"+s.code {
					return &observables[i]
				}
			}
		}
	}
	return nil
}

// quantity is the value as it is charted. Nothing is rounded: of other units, only
// kilograms are converted, by moving the point.
func (r *reader) quantity(o *offered, is *observable) (string, bool) {
	q := o.at("valueQuantity")
	value, code := q.at("value"), q.text("code")
	refuse := func(path, found, allowed string) (string, bool) {
		r.issue(o.ordinal, "valueQuantity"+path, handover.CodeResource, found, allowed)
		return "", false
	}
	switch {
	case value == nil || value.kind != numeral:
		return refuse(".value", "", "a number")
	case q.at("comparator") != nil:
		return refuse(".comparator", q.text("comparator"), "an exact value")
	case q.text("system") != ucumSystem:
		return refuse(".system", q.text("system"), ucumSystem)
	case code == is.unit.ucum:
		return value.value, true
	case code == kilograms && is.unit == grams && isDecimal(value.value):
		return thousandfold(value.value), true
	}
	return refuse(".code", code, is.unit.ucum)
}

// thousandfold moves the point of a decimal three places on.
func thousandfold(s string) string {
	whole, fraction, _ := strings.Cut(s, ".")
	for len(fraction) < 3 {
		fraction += "0"
	}
	whole = strings.TrimLeft(whole+fraction[:3], "0")
	if fraction = fraction[3:]; fraction != "" {
		fraction = "." + fraction
	}
	if whole == "" {
		whole = "0"
	}
	return whole + fraction
}

// subject is the hospital number of the Patient that a resource is of: named by
// identifier, or another resource of the file.
func (r *reader) subject(o *offered) (number string, found bool) {
	s := o.at("subject")
	if s == nil {
		s = o.at("patient")
	}
	if n := r.number([]*node{s.at("identifier")}); n != "" {
		return n, true
	}
	to := s.text("reference")
	for _, p := range r.all {
		if p.kind == "Patient" && to != "" && (p.url == to || to == "Patient/"+p.text("id") || strings.HasSuffix(p.url, "/"+to)) {
			n := r.number(p.list("identifier"))
			return n, n != ""
		}
	}
	return "", false
}

// number is the hospital number among identifiers, by the policy's system of it.
func (r *reader) number(ids []*node) string {
	system := r.Policy.FHIR.Identifiers["mrn"].System
	for _, id := range ids {
		if system != "" && id.text("system") == system && id.text("use") != "old" {
			return id.text("value")
		}
	}
	return ""
}

// identity is the id of the entry that a resource becomes: of its own identifier,
// else of its address, else of its id at whoever holds that hospital number. The
// same resource is the same entry, however often it comes.
func (r *reader) identity(o *offered, number string) string {
	name := ""
	for _, id := range o.list("identifier") {
		if id.text("system") != "" && id.text("value") != "" {
			name = id.text("system") + "|" + id.text("value")
			break
		}
	}
	switch {
	case name != "":
	case strings.HasPrefix(o.url, "http"):
		name = o.url
	default:
		name = r.Policy.FHIR.Identifiers["mrn"].System + "|" + number + "|" + o.text("id") + o.url
	}
	return named(uuid.NameSpaceURL, o.kind+"\n"+name).String()
}

// patient proposes an admission. It is charted only where somebody named key and
// cot of the one infant who is not known, for a Patient does not say where it lies,
// nor that it is on this unit.
func (r *reader) patient(o *offered) {
	number := r.number(o.list("identifier"))
	switch {
	case number == "":
		r.aside(o, "no hospital number by the policy's system of it")
	case r.Known[number] != "":
		r.aside(o, "known to the record: a name or number that changed is charted as identity, by a person")
	case r.Admit == "":
		r.aside(o, "not known to the record: with --admit KEY=COT it is admitted")
	case r.unknown() != 1:
		r.issue(o.ordinal, "", handover.CodeResource, "", "one Patient who is not known, to be admitted")
	default:
		r.admission(o, number)
	}
}

func (r *reader) unknown() (n int) {
	for _, o := range r.all {
		if o.kind == "Patient" && !r.ours(o) {
			if number := r.number(o.list("identifier")); number != "" && r.Known[number] == "" {
				n++
			}
		}
	}
	return n
}

// admission is at the start of the stay that the file says: the one that goes on.
func (r *reader) admission(o *offered, number string) {
	if r.By == "" {
		r.issue(o.ordinal, "", handover.CodeMissing, "", "name with --by under whose staff key it is charted")
		return
	}
	var stay *offered
	for _, e := range r.all {
		if n, ok := r.subject(e); e.kind == "Encounter" && ok && n == number && e.text("status") == ongoing {
			if stay != nil {
				r.issue(e.ordinal, "", handover.CodeResource, "", "one Encounter in progress of the infant to be admitted")
				return
			}
			stay = e
		}
	}
	if stay == nil {
		r.issue(o.ordinal, "", handover.CodeResource, "", "beside the Patient its Encounter in progress, whose period says since when")
		return
	}
	at := stay.at("period").text("start")
	fields := []handover.Field{worded("id", named(uuid.NameSpaceURL, "admission\n"+r.identity(stay, number)+"\n"+number).String()),
		worded("infant", r.Admit), worded("kind", "admission"), worded("at", at), worded("by", r.By)}
	born := o.text("birthDate")
	for _, x := range o.at("_birthDate").list("extension") {
		if x.text("url") == birthTimeURL && x.text("valueDateTime") != "" {
			born = x.text("valueDateTime")
		}
	}
	visit := ""
	for _, id := range stay.list("identifier") {
		if id.text("system") == r.Policy.FHIR.Identifiers["visit"].System {
			visit = id.text("value")
		}
	}
	family, given := nameOf(o)
	for _, f := range [][2]string{{"born", born}, {"cot", r.Cot}, {"mrn", number}, {"family", family}, {"given", given}, {"sex", o.text("gender")}, {"visit", visit}} {
		if f[1] != "" {
			fields = append(fields, worded(f[0], f[1]))
		}
	}
	r.chart(o, fields)
}

// nameOf is the name that holds: the official one, else the first that is not old.
func nameOf(o *offered) (family, given string) {
	var found *node
	for _, n := range o.list("name") {
		switch use := n.text("use"); {
		case use == "old" || use == "temp", n.at("period").text("end") != "" && before(n.at("period").text("end")):
		case use == "official":
			found = n
		case found == nil:
			found = n
		}
	}
	for _, g := range found.list("given") {
		given = strings.TrimSpace(given + " " + g.value)
	}
	return found.text("family"), given
}

// before says whether a name's period has ended at all: a moment is not compared
// with a clock, and a name with an end is not one to admit by.
func before(end string) bool {
	_, err := time.Parse(time.RFC3339, end)
	return err == nil || dayForm.MatchString(end)
}
