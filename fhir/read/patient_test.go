package read_test

import (
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/handover"
)

const numberSystem = `"system":"https://moonwort.example/id/hospital-number","value":`

// person is a hospital's Patient of a number, with an Encounter in progress.
func person(number, rest string) string {
	return `{"resource":{"resourceType":"Patient","id":"P` + number + `","identifier":[{` + numberSystem + `"` + number +
		`"}]` + rest + `}},` +
		`{"resource":{"resourceType":"Encounter","id":"E` + number + `","status":"in-progress","class":{"code":"IMP"},` +
		`"subject":{"reference":"Patient/P` + number + `"},` +
		`"identifier":[{"system":"https://moonwort.example/id/stay","value":"V-` + number +
		`"}],"period":{"start":"2026-03-01T07:00:00+01:00"}}}`
}

func sent(people ...string) string {
	return `{"resourceType":"Bundle","type":"collection","entry":[` + strings.Join(people, ",") + `]}`
}

// A temporary infant has no number yet; its twin is like it but for the order.
const (
	temporary = `"infant":"in-t","temporary":"ML-7"`
	first     = `"infant":"in-t","temporary":"ML-7","sex":"female","birthOrder":1`
	second    = `"infant":"in-u","temporary":"ML-8","sex":"female","birthOrder":2`
	born      = `,"birthDate":"2026-02-19"`
	reed      = born + `,"gender":"female","name":[{"use":"official","family":"Reed","given":["Linnet","Rush"]}]`
)

// What a Patient is charted as, told of, or refused for.
func TestForeignPatients(t *testing.T) {
	for name, c := range map[string]struct {
		record []string // admissions beside in-a (0042, Sedge, female), in-b and in-c (0043)
		sent   string
		admit  string
		called []string // to be identified
		entry  string   // its fields; "" for none
		aside  string
		issue  string
	}{
		"known, nothing new": {nil, person("0042", born+`,"name":[{"family":"Sedge"}]`), "", nil, "", "visit of in-a differ", ""},
		"renamed": {nil, person("0042", reed), "", nil, "",
			"family, given, visit of in-a differ: with --identify in-a they are charted", ""},
		"renamed, and confirmed": {nil, person("0042", reed), "", []string{"in-a"},
			`"family":"Reed","given":"Linnet Rush","visit":"V-0042"}`, "", ""},
		"another sex": {nil, person("0042", `,"gender":"male"`), "", []string{"in-a"}, `"sex":"male","visit":"V-0042"}`,
			"", ""},
		"no sex": {nil, person("0042", `,"gender":"unknown"`), "", []string{"in-a"},
			`"identity","at":"2026-03-01T12:00:00+01:00","by":"rn-dune","visit":"V-0042"}`, "", ""},
		"no such sex": {nil, person("0042", `,"gender":"femal"`), "", []string{"in-a"}, "", "", "gender"},
		"a name that was": {nil, person("0042", `,"name":[{"use":"old","family":"Reed"},{"use":"nickname","family":"Bee"},`+
			`{"family":"Sedge"}]`), "", nil, "", "visit of in-a differ", ""},
		"a name that ends": {nil, person("0042", `,"name":[{"family":"Reed","period":{"end":"2026"}}]`), "", nil, "",
			"visit of in-a differ", ""},
		"born otherwise":            {nil, person("0042", `,"birthDate":"2026-02-18"`), "", nil, "", "born on another day", ""},
		"born otherwise, confirmed": {nil, person("0042", `,"birthDate":"2026-02-18"`), "", []string{"in-a"}, "", "", "birthDate"},
		"number of two":             {nil, person("0043", reed), "", nil, "", "either of two", ""},
		"number of two, confirmed":  {nil, person("0043", reed), "", []string{"in-b"}, "", "either of two", "--identify"},
		"number of another":         {nil, person("0042", reed), "", []string{"in-b"}, "", "in-a differ", "--identify"},
		"renumbered":                {nil, person("0099", `,"identifier2":0`), "", nil, "", "not known", ""},
		"unknown":                   {nil, person("0099", reed), "", nil, "", "not known to the record: with --admit KEY=COT", ""},
		"no number":                 {nil, `{"resource":{"resourceType":"Patient"}}`, "", nil, "", "no hospital number", ""},
		"two numbers": {nil, `{"resource":{"resourceType":"Patient","identifier":[{` + numberSystem + `"1"},{` +
			numberSystem + `"2"}]}}`, "", nil, "", "two hospital numbers", ""},
		"linked": {nil, person("0042", reed+`,"link":[{"type":"replaced-by"}]`), "", []string{"in-a"}, "", "linked",
			"--identify"},
		"it replaces another": {nil, person("0042", reed+`,"link":[{"type":"replaces"}]`), "", nil, "", "with --identify in-a", ""},
		"deceased": {nil, person("0042", reed+`,"deceasedDateTime":"2026-03-01"`), "", []string{"in-a"}, "", "deceased",
			"--identify"},
		"not deceased": {nil, person("0042", reed+`,"deceasedBoolean":false,"active":true`), "", []string{"in-a"},
			`"family":"Reed"`, "", ""},
		"gets its number": {[]string{temporary}, person("0099", reed), "", []string{"in-t"},
			`"mrn":"0099","family":"Reed","given":"Linnet Rush","sex":"female","visit":"V-0099"}`, "", ""},
		"no birth date": {[]string{temporary}, person("0099", ``), "", []string{"in-t"}, "", "not known", "--identify"},
		"born another day": {[]string{temporary}, person("0099", `,"birthDate":"2026-02-20"`), "", []string{"in-t"}, "",
			"not known", "--identify"},
		"the first twin": {[]string{first, second}, person("0099", reed+`,"multipleBirthInteger":1`), "", []string{"in-t"},
			`"infant":"in-t"`, "", ""},
		"which twin": {[]string{first, second}, person("0099", reed), "", []string{"in-t"}, "", "not known", "--identify"},
		"the twin of another order": {[]string{first, second}, person("0099", reed+`,"multipleBirthInteger":2`), "", []string{"in-t"}, "",
			"not known", "--identify"},
		"the twin of another sex": {[]string{first}, person("0099", strings.Replace(reed, "female", "male", 1)), "", []string{"in-t"},
			"", "not known", "--identify"},
		"two who could be": {[]string{first}, person("0099", reed) + "," + person("0098", reed), "", []string{"in-t"}, "",
			"not known", "--identify"},
		"two, and one could be": {[]string{first}, person("0099", reed) + "," + person("0098", `,"birthDate":"2026-02-11"`), "",
			[]string{"in-t"}, `"mrn":"0099"`, "0098", ""},
		"twice in the file": {nil, person("0042", reed) + "," + person("0042", strings.Replace(reed, "Reed", "Rush", 1)), "",
			[]string{"in-a"}, "", "", "one Patient"},
		"no such infant": {nil, person("0042", reed), "", []string{"in-x"}, "", "in-a differ", "--identify"},
		"admitted": {nil, person("0099", reed+`,"multipleBirthInteger":2`), "in-n", nil,
			`"born":"2026-02-19","cot":"9","mrn":"0099","family":"Reed","given":"Linnet Rush","sex":"female","birthOrder":2,` +
				`"visit":"V-0099"}`, "", ""},
		"admitted, born at a moment": {nil, person("0099",
			born+`,"_birthDate":{"extension":[{"url":"http://hl7.org/fhir/StructureDefinition/patient-birthTime",`+
				`"valueDateTime":"2026-02-19T23:40:00+01:00"}]}`), "in-n", nil, `"born":"2026-02-19T23:40:00+01:00"`, "", ""},
		"to be admitted, inactive": {nil, person("0099", `,"active":false`), "in-n", nil, "", "not an active record", "--admit"},
		"to be admitted, nobody":   {nil, person("0042", reed), "in-n", nil, "", "in-a differ", "--admit"},
		"of a number that was": {[]string{`"infant":"in-t","mrn":"0091"`}, person("0091", born), "", nil, "",
			"visit of in-t differ", ""},
		// The two dates are those of HL7's example of a newborn Patient (hl7.fhir.r4.examples
		// 4.0.1, Patient-newborn), which contradict one another.
		"born twice": {nil, person("0099",
			`,"birthDate":"2017-09-05","_birthDate":{"extension":[{"url":"http://hl7.org/fhir/StructureDefinition/patient-birthTime",`+
				`"valueDateTime":"2017-05-09T17:11:00+01:00"}]}`), "in-n", nil, "", "on another day", "--admit"},
		"admitted under another's": {nil, person("0099", reed), "in-a", nil, "", "", "a key that no infant"},
		"admitted, two could be": {nil, person("0099", reed) + "," + person("0098", reed), "in-n", nil, "", "",
			"one Patient who is not known"},
		"one admitted, one numbered": {[]string{temporary}, person("0099", `,"birthDate":"2026-03-01"`) + "," + person("0098", reed),
			"in-n", []string{"in-t"}, `"mrn":"0098"`, "", ""},
		"one numbered, one admitted": {[]string{temporary}, person("0098", reed) + "," + person("0099", `,"birthDate":"2026-03-01"`),
			"in-n", []string{"in-t"}, `"mrn":"0099"`, "", ""},
		"admitted, no stay": {nil, strings.Replace(person("0099", reed), "in-progress", "planned", 1), "in-n", nil, "",
			"the stay", "beside the Patient"},
		"admitted, two stays": {nil, person("0099", reed) + "," + strings.Replace(person("0099", reed), "V-0099", "V-1", 1),
			"in-n", nil, "", "", "one Encounter in progress"},
		"admitted, the day alone": {nil, strings.Replace(person("0099", reed), "T07:00:00+01:00", "", 1), "in-n", nil, "",
			"", "period.start"},
		"admitted, period of R5": {nil, strings.Replace(person("0099", reed), `"period"`, `"actualPeriod"`, 1), "in-n", nil, "",
			"", "period.start"},
		"a stay without a class": {nil, strings.Replace(person("0099", reed), `"class":{"code":"IMP"},`, "", 1), "", nil, "",
			"not known", "class"},
		"admitted, with observations": {nil, person("0099", reed) + `,{"resource":` + strings.Replace(foreignObservation, "0042", "0099",
			1) + `}`, "in-n", nil, `"infant":"in-n","kind":"weight"`, "", ""},
		"numbered, with observations": {[]string{temporary}, person("0099", reed) + `,{"resource":` + strings.Replace(foreignObservation,
			"0042", "0099", 1) + `}`, "", []string{"in-t"}, `"infant":"in-t","kind":"weight"`, "", ""},
	} {
		t.Run(name, func(t *testing.T) {
			g := given(t, c.record...)
			g.Admit, g.Cot, g.Identify = c.admit, "9", c.called
			r := readJSON([]byte(sent(c.sent)), g)
			var entries, aside, issues string
			for _, e := range r.Entries {
				entries += string(e.AppendCanonical(nil))
			}
			for _, i := range r.Aside {
				if i.Found == "Patient" || strings.HasPrefix(c.aside, "the stay") {
					aside += i.Allowed
				}
			}
			for _, i := range r.Issues {
				issues += i.Path + i.Allowed + "\n"
				if s := i.String(); strings.Contains(s, "Reed") || strings.Contains(s, "Sedge") || strings.Contains(s, "0099") {
					t.Errorf("a name or a number in %s", s)
				}
			}
			if c.aside == "0098" {
				c.aside = "not known"
			}
			if len(r.Issues) == 0 && (!strings.Contains(entries, c.entry) || (entries == "") != (c.entry == "")) {
				t.Errorf("charted: %s", entries)
			}
			if !strings.Contains(aside, c.aside) || (aside == "") != (c.aside == "") && c.issue == "" {
				t.Errorf("left aside: %s", aside)
			}
			if !strings.Contains(issues, c.issue) || (issues == "") != (c.issue == "") {
				t.Errorf("refused: %s", issues)
			}
		})
	}
}

// The same file twice charts once; what is renamed again is charted again.
func TestIdentifiedOnce(t *testing.T) {
	g := given(t)
	g.Identify = []string{"in-a"}
	for n, c := range []struct {
		family string
		fresh  int
	}{{"Reed", 1}, {"Reed", 0}, {"Sedge", 1}, {"Reed", 1}, {"Reed", 0}} {
		g.Now = readAt.Add(time.Duration(n) * time.Hour)
		if r := take(t, &g, sent(person("0042", `,"name":[{"family":"`+c.family+`"}]`))); len(r.Entries) != c.fresh || len(r.Issues) > 0 {
			t.Errorf("%s, the %d. time: %d entries, %v", c.family, n+1, len(r.Entries), r.Issues)
		}
	}
	// Two who read at one moment make one entry.
	a := readJSON([]byte(sent(person("0042", reed))), g)
	b := readJSON([]byte(sent(person("0042", reed))), g)
	if len(a.Entries) != 1 || string(a.Entries[0].AppendCanonical(nil)) != string(b.Entries[0].AppendCanonical(nil)) {
		t.Errorf("%v %v", a.Entries, b.Entries)
	}
}

// A number that was leads to its infant; so does our own identifier, which a hospital
// keeps beside its own.
func TestPatientsByOtherIdentifiers(t *testing.T) {
	for name, ids := range map[string]string{
		"a number that was": `{` + numberSystem + `"0099"},{"use":"old",` + numberSystem + `"0042"}`,
		"our own": `{` + numberSystem + `"0099"},{"system":"https://moonwort.example/fhir/identifier","value":"` + patientID(t,
			"in-a") + `"}`,
	} {
		g := given(t)
		text := sent(`{"resource":{"resourceType":"Patient","identifier":[` + ids + `]}}`)
		if r := readJSON([]byte(text), g); len(r.Entries) > 0 || len(r.Aside) != 1 ||
			!strings.Contains(r.Aside[0].Allowed, "mrn of in-a differ") {
			t.Errorf("%s: %+v", name, r)
		}
		g.Identify = []string{"in-a"}
		if r := take(t, &g, text); len(r.Entries) != 1 || r.Entries[0].Text("mrn") != "0099" || r.Entries[0].Infant != "in-a" {
			t.Errorf("%s: %+v", name, r)
		}
	}
}

// patientID is the id under which an infant of the test's record is sent.
func patientID(t *testing.T, key string) string {
	t.Helper()
	g := given(t)
	x, err := fhir.New(handover.Ward{Entries: g.Held.Infant(key), Policy: g.Policy}, fhir.Ask{At: readAt, Known: readAt})
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range x.Resources {
		if r.Type == "Patient" {
			return uuid.MustParse(r.ID).String()
		}
	}
	t.Fatal("no Patient")
	return ""
}

// An infant who left and is back is admitted anew under its key; what was observed
// between is not charted, and the same file again changes nothing.
func TestBackAgain(t *testing.T) {
	g := given(t)
	g.Held = append(g.Held.(holding), fixture.Entries(t,
		[]byte(`{"id":"0a5e0009-0000-4000-8000-000000000001","infant":"in-a","kind":"discharge","at":"2026-02-25T09:10:00+01:00",`+
			`"by":"rn-dune","to":"ward"}`))...)
	between := strings.Replace(foreignObservation, "2026-03-01T09", "2026-02-26T09", 1)
	if r := take(t, &g, between); len(r.Entries) > 0 || len(r.Aside) != 1 || !strings.Contains(r.Aside[0].Allowed, "not admitted then") {
		t.Errorf("%+v", r)
	}
	g.Admit, g.Cot = "in-a", "9"
	if r := readJSON([]byte(sent(person("0042", `,"birthDate":"2026-02-18"`))), g); len(r.Entries) > 0 || len(r.Issues) != 1 ||
		r.Issues[0].Path != "birthDate" {
		t.Errorf("%+v", r)
	}
	text := sent(person("0042", reed), `{"resource":`+foreignObservation+`}`)
	if r := take(t, &g, text); len(r.Entries) != 2 || len(r.Issues) > 0 {
		t.Errorf("%+v", r)
	}
	if r := take(t, &g, text); len(r.Entries) != 0 || len(r.Issues) > 0 {
		t.Errorf("%+v", r)
	}
}

// A number that an infant had here leads to it too, so that nobody is admitted twice;
// what is observed under it is left aside.
func TestANumberThatWas(t *testing.T) {
	g := given(t)
	g.Held = append(g.Held.(holding), fixture.Entries(t,
		[]byte(`{"id":"0a5e0009-0000-4000-8000-000000000001","infant":"in-a","kind":"identity","at":"2026-02-25T09:10:00+01:00",`+
			`"by":"rn-dune","mrn":"0099"}`))...)
	g.Admit, g.Cot = "in-n", "9"
	r := readJSON([]byte(sent(person("0042", reed), `{"resource":`+foreignObservation+`}`)), g)
	if len(r.Entries) > 0 || len(r.Issues) != 1 || !strings.Contains(r.Aside[0].Allowed, "mrn, family, given, visit of in-a differ") ||
		r.Aside[len(r.Aside)-1].Found != "Observation" {
		t.Errorf("%+v", r)
	}
}
