package fhir

import (
	"regexp"
	"slices"
	"strings"

	"github.com/google/uuid"

	"cotline/handover/entry"
)

// What others observed becomes entries where it is exactly what a nurse would
// chart: one of a few vital signs by its LOINC code, of an infant who is known by
// hospital number, final, with a time of day, in a unit that needs no rounding.
// All else is left aside, with why; what is broken refuses the whole offer.

// observable is what is read, by code, and where it is charted.
type observable struct {
	codes       []standard
	kind, field string
	unit        unit
	site        *concept // where the code alone does not say it: the site that is asked for
}

// observables: a body temperature may be taken anywhere. It is read where it is
// coded as axillary, or where its site is coded as the axilla.
var observables = []observable{
	{heartRate.standard, "observations", "heartRateBpm", perMinute, nil},
	{respRate.standard, "observations", "respRateBpm", perMinute, nil},
	{spo2.standard, "observations", "spo2Percent", percent, nil},
	{temperature.standard[1:], "observations", "axillaryC", celsius, nil},
	{temperature.standard[:1], "observations", "axillaryC", celsius, &siteAxilla},
	{head.standard, "head", "circumferenceCm", cm, nil},
	{weight.standard, "weight", "weightG", grams, nil},
}

const kilograms = "kg" // UCUM

// annotation is what UCUM (section 6, curly braces) lets stand for the unity that is
// counted: {beats}/min is /min.
var annotation = regexp.MustCompile(`^\{[^{}]*\}`)

func (d *reader) foreign(o *offered) {
	switch {
	case o.kind == "Observation":
		d.observation(o)
	case o.kind == "Encounter":
		d.required(o, "status", "class")
		if !d.used[o] {
			d.aside(o, "the stay of a Patient: it is read with the Patient who is admitted or identified")
		}
	case o.kind == "Bundle":
		d.aside(o, "a bundle within: give it as a file of its own, .json")
	case isCode(resourceType, o.kind):
		d.aside(o, "resources of this type are not read")
	default:
		d.aside(o, "no resource type of R4")
	}
}

// required holds a resource to the elements that R4 demands, on what was offered:
// a model would fill them in.
func (d *reader) required(o *offered, names ...string) bool {
	whole := true
	for _, name := range names {
		switch n := o.at(name); {
		case n == nil || n.kind == null:
			d.issue(o.ordinal, name, entry.CodeMissing, "", "required on "+o.kind)
			whole = false
		case name == "status" && n.kind != text:
			d.issue(o.ordinal, name, entry.CodeResource, kindNames[n.kind], "a code")
			whole = false
		}
	}
	return whole
}

var takenStatuses = map[string]bool{final: true, "amended": true, corrected: true}

// observation makes an entry of one Observation, which is charted by observed.
func (d *reader) observation(o *offered) {
	if !d.required(o, "status", "code") {
		return
	}
	is, why := d.observableOf(o)
	if is == nil {
		d.aside(o, why)
		return
	}
	number, unknown := d.subject(o)
	infant := d.byNumber[number]
	switch status := o.text("status"); {
	case d.By == "":
		why = "name with --by under whose staff key it is charted"
	case o.at("modifierExtension") != nil || o.at("implicitRules") != nil:
		why = "a modifier extension or implicit rules, which may turn its meaning round"
	case d.rehearsed(o):
		why = rehearsal
	case status == inError:
		d.keep(o, &statement{o: o, infant: infant, status: status, id: d.identity(o, is.field, number)})
		return
	case !takenStatuses[status]:
		why = "status is not final, amended or corrected"
	case slices.ContainsFunc(o.list("category"), func(n *node) bool {
		return slices.Contains(codings(n), laboratory.system+"|"+laboratory.code)
	}):
		why = "of the laboratory: of a sample, not read at the infant"
	case o.at("focus") != nil:
		why = "it has a focus, which is not the Patient"
	case len(o.list("identifier")) == 0 && o.url == "" && o.text("id") == "":
		why = "neither identifier, fullUrl nor id: sent again it would be charted again"
	case o.at("component") != nil || o.at("dataAbsentReason") != nil || o.at("valueQuantity") == nil:
		why = "one valueQuantity, and no component, is read"
	case o.text("effectiveDateTime") == "" && o.text("effectiveInstant") == "":
		why = "no effectiveDateTime: a period or a schedule is not a moment"
	case unknown != "":
		why = unknown
	case infant == "":
		why = "not of one infant whom the record knows by hospital number"
	}
	if why != "" {
		d.aside(o, why)
		return
	}
	at, err := entry.ParseMoment(o.text("effectiveDateTime") + o.text("effectiveInstant"))
	if err != nil {
		d.aside(o, "no moment with seconds and offset: the day alone, or a time without them")
		return
	}
	if k := d.infants[infant]; k != nil && k.away(at.Time) {
		d.aside(o, "the infant was not admitted then")
		return
	}
	value, ok := d.quantity(o, is)
	if !ok {
		return
	}
	id := d.identity(o, is.field, number)
	fields := []entry.Field{worded("id", id), worded("infant", infant), worded("kind", is.kind), worded("at", at.Text)}
	if issued := o.text("issued"); issued != "" {
		fields = append(fields, worded("charted", issued))
	}
	fields = append(fields, worded("by", d.By), entry.Field{Name: is.field, Value: entry.Value{Type: entry.NumberValue, Text: value}})
	if e := d.entry(o, fields); e != nil {
		d.keep(o, &statement{o: o, infant: infant, status: o.text("status"), id: id, entry: e})
	}
}

const rehearsal = "marked as test data, which the policy (fhir.test) does not take"

// rehearsed says whether a resource is marked as test data in a record that is none.
func (d *reader) rehearsed(o *offered) bool {
	return !d.Policy.FHIR.Test && slices.ContainsFunc(o.at("meta").list("security"), func(n *node) bool {
		return n.text("system") == testData.system && n.text("code") == testData.code
	})
}

func worded(name, s string) entry.Field {
	return entry.Field{Name: name, Value: entry.Value{Type: entry.TextValue, Text: s}}
}

// entry makes an entry by the rules that hold for every entry.
func (d *reader) entry(o *offered, fields []entry.Field) *entry.Entry {
	e, issues := entry.Decode(entry.Value{Type: entry.ObjectValue, Fields: fields, Line: o.ordinal})
	for _, i := range issues {
		i.Line = o.ordinal
		if element, ok := elements[i.Path]; ok {
			i.Path = element
		}
		d.read.Issues = append(d.read.Issues, i)
	}
	if len(issues) > 0 {
		return nil
	}
	return &e
}

const valueElement = "valueQuantity.value"

// elements are those that a field of an entry is read from.
var elements = map[string]string{
	"at": "effectiveDateTime", "charted": "issued", "heartRateBpm": valueElement, "respRateBpm": valueElement, "spo2Percent": valueElement,
	"axillaryC": valueElement, "circumferenceCm": valueElement, "weightG": valueElement,
	"mrn": "identifier", "visit": "identifier", "family": "name", "given": "name", "sex": "gender", "born": "birthDate", "birthOrder": "multipleBirthInteger",
}

// observableOf is what an Observation is of, or why it is not read: codes of two
// things contradict one another.
func (d *reader) observableOf(o *offered) (is *observable, why string) {
	why = "no code of those that are read"
	for _, c := range codings(o.at("code")) {
		for i := range observables {
			x := &observables[i]
			if !slices.ContainsFunc(x.codes, func(s standard) bool { return c == s.system+"|"+s.code }) {
				continue
			}
			switch {
			case x.site != nil && !d.at(o.at("bodySite"), *x.site) && o.text("status") != inError: // what is withdrawn may be blank
				why = "a temperature that is not coded as axillary"
			case is != nil && is.field != x.field:
				return nil, "codes of two things that are read"
			default:
				is = x
			}
		}
	}
	if is == nil {
		return nil, why
	}
	return is, ""
}

// at says whether a body site is the one asked for: by our own code of it, or by a
// coding that the site adds to that.
func (d *reader) at(n *node, site concept) bool {
	said := codings(n)
	for _, c := range d.Site[site.code] {
		if slices.Contains(said, of(c.System)+"|"+of(c.Code)) {
			return true
		}
	}
	return slices.Contains(said, d.Policy.FHIR.Base+ownSystemPath+"|"+site.code)
}

// quantity is the value as it is charted. Nothing is rounded: of other units, only
// kilograms are converted, by moving the point.
func (d *reader) quantity(o *offered, is *observable) (string, bool) {
	q := o.at("valueQuantity")
	value, code := q.at("value"), q.text("code")
	if is.unit == perMinute {
		code = annotation.ReplaceAllString(code, "")
	}
	refuse := func(path, found, allowed string) (string, bool) {
		if found != "" {
			found = shown(found)
		}
		d.issue(o.ordinal, "valueQuantity"+path, entry.CodeResource, found, allowed)
		return "", false
	}
	switch {
	case value == nil || value.kind != numeral:
		return refuse(".value", "", "a number")
	case q.at("comparator") != nil:
		d.aside(o, "a bound, not a value")
		return "", false
	case q.text("system") != ucumSystem:
		return refuse(".system", q.text("system"), ucumSystem)
	case code == "":
		return refuse(".code", "", is.unit.ucum)
	case code == is.unit.ucum:
		return value.value, true
	case code == kilograms && is.unit == grams && isDecimal(value.value):
		return thousandfold(value.value), true
	case code == kilograms && is.unit == grams:
		return refuse(".value", value.value, "a decimal without an exponent")
	}
	d.aside(o, "in another unit than "+is.unit.ucum+": nothing is converted but kg")
	return "", false
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

// identity is the id of the entry that a resource becomes: of its own identifier,
// else of its id at whoever holds that hospital number, else of its address; and of
// what is charted of it, for some senders give one identifier to a whole set of vital
// signs. The same resource is the same entry, however often it comes, and in whatever
// file.
func (d *reader) identity(o *offered, field, number string) string {
	name := ""
	for _, id := range o.list("identifier") {
		if id.text("system") != "" && id.text("value") != "" {
			name = id.text("system") + "|" + id.text("value")
			break
		}
	}
	switch {
	case name != "":
	case o.text("id") != "":
		name = d.Policy.FHIR.Identifiers["mrn"].System + "|" + number + "|" + o.text("id")
	default:
		name = o.url
	}
	return named(uuid.NameSpaceURL, o.kind+"\n"+field+"\n"+name).String()
}
