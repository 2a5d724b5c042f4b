package read

import (
	"regexp"
	"slices"

	"github.com/google/uuid"

	"cotline/fhir/internal/r4"
	"cotline/handover/entry"
)

// What others observed becomes an entry where it is exactly what a nurse would chart:
// one of a few vital signs, told by its LOINC code, of an infant who is known by
// hospital number; final, with a time of day, and in a unit that needs no rounding.
// Everything else is left aside, with the reason. What is broken refuses the whole
// offer.

func (d *reader) foreign(o *offered) {
	switch {
	case o.kind == "Observation":
		d.observation(o)
	case o.kind == "Encounter":
		d.required(o, "status", "class")
		if !d.used[o] {
			d.aside(o, ofAStay)
		}
	case o.kind == "Bundle":
		d.aside(o, "a bundle within: give it as a file of its own, .json")
	case slices.Contains(r4.ResourceTypes(), o.kind):
		d.aside(o, "resources of this type are not read")
	default:
		d.aside(o, "no resource type of R4")
	}
}

// required says which elements that R4 demands are missing. It looks at the resource as
// it was offered, because a model would fill them in.
func (d *reader) required(o *offered, names ...string) bool {
	whole := true
	for _, name := range names {
		switch n := o.At(name); {
		case n == nil || n.Kind == r4.Null:
			d.issue(o.ordinal, name, entry.CodeMissing, "", "required on "+o.kind)
			whole = false
		case name == "status" && n.Kind != r4.Text:
			d.issue(o.ordinal, name, entry.CodeResource, r4.KindNames[n.Kind], "a code")
			whole = false
		}
	}
	return whole
}

var takenStatuses = map[string]bool{r4.Final: true, "amended": true, r4.Corrected: true}

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
	if !d.onADay(o, "effectiveDateTime", "effectiveInstant", "issued") {
		return
	}
	if why = d.unfitObservation(o); why != "" {
		d.aside(o, why)
		return
	}
	number, unknown := d.subject(o)
	infant := d.byNumber[number]
	if o.Text("status") == r4.InError {
		d.keep(&statement{o: o, infant: infant, status: r4.InError, id: d.identity(o, is.field, number)})
		return
	}
	switch why = d.notTaken(o); {
	case why != "":
	case unknown != "":
		why = unknown
	case infant == "":
		why = ofNobody
	}
	if why != "" {
		d.aside(o, why)
		return
	}
	at, err := entry.ParseMoment(o.Text("effectiveDateTime") + o.Text("effectiveInstant"))
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
	fields := []entry.Field{entry.TextField("id", id), entry.TextField("infant", infant), entry.TextField("kind", is.kind),
		entry.TextField("at", at.Text)}
	if issued := o.Text("issued"); issued != "" {
		fields = append(fields, entry.TextField("charted", issued))
	}
	fields = append(fields, entry.TextField("by", d.By), entry.Field{Name: is.field, Value: entry.NewNumber(value)})
	if e := d.entry(o, fields); e != nil {
		d.keep(&statement{o: o, infant: infant, status: o.Text("status"), id: id, entry: e})
	}
}

// unfitObservation is why nothing that an Observation says is taken, its withdrawal neither.
func (d *reader) unfitObservation(o *offered) string {
	switch {
	case d.By == "":
		return unsigned
	case o.At("modifierExtension") != nil || o.At("implicitRules") != nil:
		return modified
	case d.rehearsed(o):
		return rehearsal
	}
	return ""
}

// modified is said of an element that modifies the meaning of others, as R4 has it.
const modified = "a modifier extension or implicit rules, which may turn its meaning round"

// notTaken is why the value of an Observation is not taken, whoever's it is.
func (d *reader) notTaken(o *offered) string {
	switch {
	case !takenStatuses[o.Text("status")]:
		return "status is not final, amended or corrected"
	case slices.ContainsFunc(o.List("category"), func(n *r4.Part) bool {
		return slices.Contains(codings(n), r4.LaboratoryCode.System+"|"+r4.LaboratoryCode.Code)
	}):
		return "of the laboratory: of a sample, not read at the infant"
	case o.At("focus") != nil:
		return "it has a focus, which is not the Patient"
	case len(o.List("identifier")) == 0 && o.url == "" && o.Text("id") == "":
		return "neither identifier, fullUrl nor id: sent again it would be charted again"
	case o.At("component") != nil || o.At("dataAbsentReason") != nil || o.At("valueQuantity") == nil:
		return "one valueQuantity, and no component, is read"
	case o.Text("effectiveDateTime") == "" && o.Text("effectiveInstant") == "":
		return "no effectiveDateTime: a period or a schedule is not a moment"
	}
	return ""
}

// dated is what begins with a whole date, as R4's date, dateTime and instant do.
var dated = regexp.MustCompile(`^\d{4}-\d\d-\d\d`)

// onADay refuses a day that there is not, such as 30 February: no shorter form of a date
// is meant by it, and no other day.
func (d *reader) onADay(o *offered, names ...string) bool {
	sound := true
	for _, name := range names {
		if s := o.Text(name); !d.there(o, name, s) {
			sound = false
		}
	}
	return sound
}

func (d *reader) there(o *offered, path, s string) bool {
	day := dated.FindString(s)
	if _, err := entry.ParseDate(day); day == "" || err == nil {
		return true
	}
	d.issue(o.ordinal, path, entry.CodeFormat, day, "a day that there is")
	return false
}

const rehearsal = "marked as test data, which the policy (fhir.test) does not take"

// rehearsed says whether a resource is marked as test data, while the record is a real
// one.
func (d *reader) rehearsed(o *offered) bool {
	return !d.Policy.FHIR.Test && slices.ContainsFunc(o.At("meta").List("security"), func(n *r4.Part) bool {
		return n.Text("system") == r4.TestData.System && n.Text("code") == r4.TestData.Code
	})
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
	"mrn": "identifier", "visit": "identifier", "family": "name", "given": "name", "sex": "gender", "born": "birthDate",
	"birthOrder": "multipleBirthInteger",
}

// identity is the id of the entry that a resource becomes. It follows from the
// resource's own identifier; without one, from its id at whoever holds that hospital
// number; else from its address. It also follows from what is charted, because some
// senders give one identifier to a whole set of vital signs. The same resource
// therefore is the same entry, however often it comes and in whatever file.
func (d *reader) identity(o *offered, field, number string) string {
	name := ""
	for _, id := range o.List("identifier") {
		if id.Text("system") != "" && id.Text("value") != "" {
			name = id.Text("system") + "|" + id.Text("value")
			break
		}
	}
	switch {
	case name != "":
	case o.Text("id") != "":
		name = d.Policy.FHIR.Identifiers["mrn"].System + "|" + number + "|" + o.Text("id")
	default:
		name = o.url
	}
	return r4.NamedID(uuid.NameSpaceURL, o.kind+"\n"+field+"\n"+name).String()
}
