package onetruth

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"
)

// A receiver of FHIR reads plain JSON: resources by type, code and identifier,
// numbers with the digits they have there.

type resource map[string]any

// receiver is what one bundle says of one infant.
type receiver struct {
	*faceReader
	who     string
	asked   facts               // of handover.json: which entries to look for
	patient string              // its reference
	began   string              // the stay
	later   map[string]bool     // bases whose version is not the first: issued is when it was charted
	all     map[string]resource // by reference
	by      map[string][]resource
}

// resourcesOf are a bundle's resources by full URL. A bundle is read once however
// often a face is held; nobody changes what comes of it.
func resourcesOf(t testing.TB, bundle []byte) map[string]resource {
	t.Helper()
	if known, ok := bundles[string(bundle)]; ok {
		return known
	}
	d := json.NewDecoder(bytes.NewReader(bundle))
	d.UseNumber()
	var b struct {
		Entry []struct {
			FullURL  string `json:"fullUrl"`
			Resource resource
		}
	}
	if err := d.Decode(&b); err != nil {
		t.Fatal(err)
	}
	out := map[string]resource{}
	for _, e := range b.Entry {
		out[e.FullURL] = e.Resource
	}
	bundles[string(bundle)] = out
	return out
}

var bundles = map[string]map[string]resource{}

// told is a member below an object, by steps; "" where there is none.
func told(v any, steps ...any) string {
	for _, s := range steps {
		switch s := s.(type) {
		case string:
			m, ok := v.(map[string]any)
			if r, is := v.(resource); is {
				m, ok = r, true
			}
			if !ok {
				return ""
			}
			v = m[s]
		case int:
			l, _ := v.([]any)
			if s >= len(l) {
				return ""
			}
			v = l[s]
		}
	}
	if v == nil {
		return ""
	}
	return fmt.Sprint(v)
}

func items0(v any) []any { l, _ := v.([]any); return l }

// said is the value of an Observation or a component: its number, its own code
// after the code's family, or its text.
func (r resource) said() string {
	for _, steps := range [][]any{{"valueQuantity", "value"}, {"valueInteger"}, {"valueBoolean"}, {"valueString"},
		{"valueCodeableConcept", "coding", 0, "code"}} {
		if s := told(r, steps...); s != "" {
			return s
		}
	}
	return ""
}

// part is the value of the component of a code.
func (r resource) part(code string) string {
	for _, c := range items0(r["component"]) {
		if told(c, "code", "coding", 0, "code") == code {
			return resource(c.(map[string]any)).said()
		}
	}
	return ""
}

func (r resource) code() string { return told(r, "code", "coding", 0, "code") }

// entry is the id of the entry that a business identifier starts with, and role
// what follows it.
func (r resource) entry() (id, role string) {
	id, role, _ = strings.Cut(told(r, "identifier", 0, "value"), ".")
	return id, role
}

func (r resource) when() string {
	if s := told(r, "effectiveDateTime"); s != "" {
		return s
	}
	return told(r, "effectivePeriod", "start")
}

// about puts a bundle's resources of one Patient by code.
func about(f faces, asked facts, who string, all map[string]resource) *receiver {
	number := asked[who+" mrn"]
	if number == "" {
		number = asked[who+" temporary"]
	}
	patient := patientOf(all, number)
	x := &receiver{faceReader: f.faceReader(), who: who, asked: asked, all: all, patient: patient, by: map[string][]resource{},
		later: map[string]bool{}}
	x.names, x.seen = namer{}, map[string]bool{}
	for _, r := range all {
		switch kind := told(r, "resourceType"); kind {
		case "Observation":
			if told(r, "subject", "reference") == patient && told(r, "status") != "entered-in-error" && x.ofThisStay(r) {
				x.by[r.code()] = append(x.by[r.code()], r)
			}
		case "Task", "Flag":
			if told(r, "for", "reference")+told(r, "subject", "reference") == patient {
				x.by[kind] = append(x.by[kind], r)
			}
		case "Encounter":
			if told(r, "status") == "in-progress" {
				x.by[kind] = append(x.by[kind], r)
			}
		default:
			x.by[kind] = append(x.by[kind], r)
		}
	}
	for _, list := range x.by {
		slices.SortFunc(list, func(a, b resource) int { return moment(a.when()).Compare(moment(b.when())) })
	}
	return x
}

// ofThisStay says whether an Observation is filed to the stay that the infant is in, to
// none, or is of growth, which is measured over stays.
func (x *receiver) ofThisStay(r resource) bool {
	switch stay := told(r, "encounter", "reference"); {
	case r.code() == "29463-7", r.code() == "9843-4":
		return true
	case stay != "":
		return told(x.all[stay], "status") == "in-progress"
	}
	number := told(r, "encounter", "identifier", "value")
	return number == "" || number == x.asked[x.who+" visit"]
}

func moment(s string) time.Time { t, _ := time.Parse(time.RFC3339, s); return t }

// put adds a fact, a moment in the unit's zone: FHIR keeps the offset it was charted
// with. One without an offset stays as it is, and differs.
func (x *receiver) put(path, value string) {
	if value = x.stamp(value); value != "" {
		x.facts.put(x.who+" "+path, value)
	}
}

func (x *receiver) stamp(s string) string {
	if t, err := time.Parse(time.RFC3339, s); err == nil {
		return t.In(x.zone).Format(stampForm)
	}
	return s
}

// of is the Observation of a code that an entry yielded; which narrows it down.
func (x *receiver) of(code, entry string, which func(resource) bool) resource {
	for _, r := range x.by[code] {
		if id, _ := r.entry(); id == entry && (which == nil || which(r)) {
			return r
		}
	}
	return nil
}

// source adds where a fact comes from: the moment under its own name.
func (x *receiver) source(base, key string, r resource) {
	at, issued := r.when(), told(r, "issued")
	if key != "-" && key != "birth" { // neither has a moment of its own
		x.put(base+"."+key, at)
	}
	id, _ := r.entry()
	x.put(base+".entry", id)
	x.put(base+".by", told(r, "performer", 0, "identifier", "value"))
	// the policy's tolerance between two clocks
	if told(r, "status") != "corrected" && key != "birth" && moment(issued).Sub(moment(at)).Abs() > 2*time.Minute {
		x.put(base+".charted", issued)
	}
	if told(r, "status") != "corrected" {
		return
	}
	x.later[base] = true
	for _, n := range items0(r["note"]) { // the one that stands; another says that one was withdrawn
		if strings.HasPrefix(told(n, "text"), "Corrected: ") {
			x.put(base+".corrected.by", told(n, "authorReference", "identifier", "value"))
			x.put(base+".corrected.charted", told(n, "time"))
		}
	}
}

// patientOf is the Patient that a hospital number names, or the unit's label.
func patientOf(all map[string]resource, number string) string {
	found := ""
	for url, r := range all {
		if told(r, "resourceType") == "Patient" {
			for _, id := range items0(r["identifier"]) {
				if told(id, "value") == number && told(id, "use") != "secondary" {
					found = url
				}
			}
		}
	}
	return found
}

// identity reads the Patient and the stay.
func (x *receiver) identity() {
	defer x.readAt("Encounter")
	p := x.all[x.patient]
	for _, id := range items0(p["identifier"]) {
		switch told(id, "use") {
		case "official":
			x.put("mrn", told(id, "value"))
		case "temp":
			x.put("temporary", told(id, "value"))
		}
	}
	x.put("family", told(p, "name", 0, "family"))
	x.put("given", told(p, "name", 0, "given", 0))
	x.put("sex", told(p, "gender"))
	x.put("birthOrder", told(p, "multipleBirthInteger"))
	x.readAt("Patient")
	for _, r := range x.by["birth-plurality"] {
		x.put("multiples", r.said())
	}
	x.readAt("Observation")
	for _, e := range x.by["Encounter"] {
		for _, id := range items0(e["identifier"]) {
			if strings.HasSuffix(told(id, "system"), "/id/stay") {
				x.put("visit", told(id, "value"))
			}
		}
		for _, l := range items0(e["location"]) {
			if told(l, "status") == "active" {
				x.put("cot", told(l, "location", "display"))
			}
		}
	}
}

// factsOfDocument reads all that a document says of its infant.
func factsOfDocument(t testing.TB, f faces, asked facts, who string) *receiver {
	t.Helper()
	x := about(f, asked, who, resourcesOf(t, f.documents[who]))
	x.identity()
	x.entries()
	x.figures()
	x.readAt("figure")
	x.due()
	x.readAt("Task")
	x.sections(t)
	return x
}

// factsOfTransaction reads what a transaction says of one of its infants.
func factsOfTransaction(f faces, asked facts, who string, sent map[string]resource) *receiver {
	x := about(f, asked, who, sent)
	x.identity()
	x.entries()
	return x
}

// admitted is when the stay of the bundle began, as its Encounter says. A transaction
// without an Encounter is held to that of the document.
func (x *receiver) admitted() string {
	for _, e := range x.by["Encounter"] {
		x.began = told(e, "period", "start")
	}
	return x.began
}
