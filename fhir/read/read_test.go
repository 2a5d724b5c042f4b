package read_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"cotline/fhir/internal/fixture"
	"cotline/fhir/read"
	"cotline/handover/entry"
	"cotline/internal/wardtest"
)

// readJSON reads one file.
func readJSON(text []byte, g read.Given) read.Read {
	var r read.Resources
	r.JSON(1, text)
	return r.Read(g)
}

type holding = wardtest.Holding

// readAt is the moment at which these tests read.
var readAt = time.Date(2026, 3, 1, 12, 0, 0, 0, time.FixedZone("", 3600))

// given is a record of one infant of number 0042, and of two of number 0043.
func given(t testing.TB, more ...string) read.Given {
	lines := ""
	for n, fields := range append([]string{`"infant":"in-a","mrn":"0042","family":"Sedge","sex":"female"`, `"infant":"in-b","mrn":"0043"`,
		`"infant":"in-c","mrn":"0043"`}, more...) {
		lines += fmt.Sprintf(`{"id":"0a5e0000-0000-4000-8000-%012d",%s,"kind":"admission","at":"2026-02-20T08:00:00+01:00",`+
			`"by":"rn-dune","born":"2026-02-19","cot":"%d"}`+"\n", n, fields, n)
	}
	return read.Given{Policy: fixture.WardPolicy(t), By: "rn-dune", Held: holding(fixture.Entries(t, []byte(lines))), Now: readAt}
}

// take reads a file and takes what it offers into the record, which must hold it.
func take(t testing.TB, g *read.Given, text string) read.Read {
	t.Helper()
	r := readJSON([]byte(text), *g)
	if len(r.Issues) > 0 {
		return r
	}
	fresh, issues := entry.Accept(g.Held, r.Entries, g.Policy.Lists(), g.Policy.ClockTolerance, g.Now)
	if len(issues) > 0 {
		t.Fatalf("%v", issues)
	}
	g.Held = append(slices.Clone(g.Held.(holding)), fresh...)
	r.Entries = fresh
	return r
}

// foreignObservation is what a hospital's system may send.
const foreignObservation = `{"resourceType":"Observation","id":"6","identifier":[{"system":"https://ehr.example/obs",` +
	`"value":"6"}],"status":"final",` +
	`"code":{"coding":[{"system":"http://loinc.org","code":"29463-7"}]},` +
	`"subject":{"identifier":{"system":"https://moonwort.example/id/hospital-number","value":"0042"}},` +
	`"effectiveDateTime":"2026-03-01T09:00:00+01:00","valueQuantity":{"value":1.1850,"unit":"kg","system":"http://unitsofmeasure.org",` +
	`"code":"kg"}}`

// What is charted of it, left aside or refused: one change each.
func TestForeignObservations(t *testing.T) {
	g := given(t)
	for name, c := range map[string]struct{ old, new, entry, aside, issue string }{
		"kilograms, exactly": {"", "", `"kind":"weight","at":"2026-03-01T09:00:00+01:00","by":"rn-dune","weightG":1185.0}`, "", ""},
		"grams": {`1.1850,"unit":"kg","system":"http://unitsofmeasure.org","code":"kg"`,
			`1185,"unit":"g","system":"http://unitsofmeasure.org","code":"g"`, `"weightG":1185}`, "", ""},
		"pounds":                {`"code":"kg"`, `"code":"[lb_av]"`, "", "another unit", ""},
		"no code of a unit":     {`,"code":"kg"`, ``, "", "", "valueQuantity.code"},
		"a unit of no system":   {`"system":"http://unitsofmeasure.org",`, ``, "", "", "valueQuantity.system"},
		"a bound":               {`"value":1.1850,`, `"value":1.1850,"comparator":"<",`, "", "a bound", ""},
		"a number as a string":  {`1.1850`, `"1.185"`, "", "", "valueQuantity.value"},
		"an exponent":           {`1.1850`, `1e0`, "", "", "valueQuantity.value"},
		"out of range":          {`1.1850`, `118.5`, "", "", "valueQuantity.value"},
		"issued without a zone": {`"status"`, `"issued":"2026-03-01T09:00:00","status"`, "", "", "issued"},
		"head in kilograms":     {`29463-7`, `9843-4`, "", "another unit", ""},
		"corrected":             {`"final"`, `"corrected"`, `"weightG"`, "", ""},
		"entered in error":      {`"final"`, `"entered-in-error"`, "", "not charted here", ""},
		"cancelled":             {`"final"`, `"cancelled"`, "", "status", ""},
		"a status that is none": {`"final"`, `7`, "", "", "status"},
		"no status":             {`"status":"final",`, ``, "", "", "status"},
		"no code":               {`"code":{"coding":[{"system":"http://loinc.org","code":"29463-7"}]},`, ``, "", "", "code"},
		"status twice":          {`"status":"final",`, `"status":"final","status":"amended",`, "", "", "status"},
		"another code":          {`29463-7`, `8302-2`, "", "no code", ""},
		"body temperature":      {`29463-7`, `8310-5`, "", "axillary", ""},
		"of two things":         {`29463-7"}`, `29463-7"},{"system":"http://loinc.org","code":"8867-4"}`, "", "two things", ""},
		"of a blood sample": {`"code":{"coding":[{"system":"http://loinc.org","code":"29463-7"}]}`,
			`"category":[{"coding":[{"system":"http://terminology.hl7.org/CodeSystem/observation-category","code":"laboratory"}]}],` +
				`"code":{"coding":[{"system":"http://loinc.org","code":"2708-6"}]}`, "", "laboratory", ""},
		"of the foetus":   {`"status"`, `"focus":[{"display":"foetus"}],"status"`, "", "focus", ""},
		"by other rules":  {`"status"`, `"implicitRules":"https://ehr.example/rules","status"`, "", "implicit rules", ""},
		"with components": {`"status"`, `"component":[{"code":{"text":"systolic"}}],"status"`, "", "no component", ""},
		"absent, with why": {`"valueQuantity":{"value":1.1850,"unit":"kg","system":"http://unitsofmeasure.org","code":"kg"}`,
			`"dataAbsentReason":{"text":"asleep"}`, "", "valueQuantity", ""},
		"a blood pressure": {`29463-7`, `85354-9`, "", "no code", ""},
		"nothing to know it by": {`"id":"6","identifier":[{"system":"https://ehr.example/obs","value":"6"}],`, ``, "",
			"charted again", ""},
		"its id alone": {`"identifier":[{"system":"https://ehr.example/obs","value":"6"}],`, ``, `"weightG":1185.0`, "", ""},
		"a number that was": {`{"system":"https://moonwort.example/id/hospital-number"`,
			`{"use":"old","system":"https://moonwort.example/id/hospital-number"`, "", "hospital number", ""},
		"a type of R5":         {`"resourceType":"Observation"`, `"resourceType":"DeviceUsage"`, "", "no resource type of R4", ""},
		"a type in lower case": {`"resourceType":"Observation"`, `"resourceType":"observation"`, "", "", "resourceType"},
		"a type in upper case": {`"resourceType":"Observation"`, `"resourceType":"OBSERVATION"`, "", "", "resourceType"},
		"the day alone":        {`T09:00:00+01:00`, ``, "", "day alone", ""},
		"a period": {`"effectiveDateTime":"2026-03-01T09:00:00+01:00"`, `"effectivePeriod":{"start":"2026-03-01"}`, "",
			"effectiveDateTime", ""},
		"nobody we know":     {`"0042"`, `"0099"`, "", "hospital number", ""},
		"one of two":         {`"0042"`, `"0043"`, "", "hospital number", ""},
		"a number of others": {`/id/hospital-number`, `/id/other`, "", "hospital number", ""},
		"turned round": {`"status"`, `"modifierExtension":[{"url":"https://ehr.example/not","valueBoolean":true}],"status"`,
			"", "modifier", ""},
		"ours":                    {`https://ehr.example/obs`, `https://moonwort.example/fhir/identifier`, "", "", ""},
		"a type that is none":     {`"resourceType":"Observation"`, `"resourceType":"observation!"`, "", "", "resourceType"},
		"a type that is not read": {`"resourceType":"Observation"`, `"resourceType":"Media"`, "", "not read", ""},
		"not UTF-8":               {`"6"`, "\"\xff\"", "", "", ""},
		"not whole":               {`"status":"final",`, `"status":`, "", "", ""},
	} {
		t.Run(name, func(t *testing.T) {
			text := strings.Replace(foreignObservation, c.old, c.new, 1)
			r := readJSON([]byte(text), g)
			var entries, issues, aside string
			for _, e := range r.Entries {
				entries += string(e.AppendCanonical(nil))
			}
			for _, i := range r.Issues {
				issues += i.Path
				if strings.Contains(i.String(), "Sedge") {
					t.Errorf("a name in %s", i)
				}
			}
			for _, i := range r.Aside {
				aside += i.Allowed
			}
			if !strings.Contains(entries, c.entry) || (entries == "") != (c.entry == "") {
				t.Errorf("charted: %s", entries)
			}
			if !strings.Contains(aside, c.aside) || (aside == "") != (c.aside == "") {
				t.Errorf("left aside: %s", aside)
			}
			if refused := c.issue != "" || name == "not whole" || name == "not UTF-8"; refused != (len(r.Issues) > 0) ||
				issues != c.issue {
				t.Errorf("refused: %v", r.Issues)
			}
		})
	}
}

// What is marked as test data is charted in no record but one of test data.
func TestTestData(t *testing.T) {
	g := given(t)
	marked := strings.Replace(foreignObservation, `"status"`,
		`"meta":{"security":[{"system":"http://terminology.hl7.org/CodeSystem/v3-ActReason","code":"HTEST"}]},"status"`, 1)
	for test, want := range map[bool]int{true: 1, false: 0} {
		policy := *g.Policy
		policy.FHIR.Test = test
		g.Policy = &policy
		if r := readJSON([]byte(marked), g); len(r.Entries) != want || len(r.Aside) != 1-want || len(r.Issues) > 0 {
			t.Errorf("test %t: %+v", test, r)
		}
	}
}

// The same resource is the same entry, whatever else is in the file.
func TestForeignIdentity(t *testing.T) {
	g := given(t)
	one := readJSON([]byte(foreignObservation), g).Entries[0].ID
	bundled := readJSON([]byte(`{"resourceType":"Bundle","type":"collection","entry":[{"resource":`+foreignObservation+`}]}`),
		g).Entries[0].ID
	other := readJSON([]byte(strings.Replace(foreignObservation, `"value":"6"`, `"value":"7"`, 1)), g).Entries[0].ID
	if one != bundled || one == other {
		t.Errorf("%s, %s; another one %s", one, bundled, other)
	}
	unnamed := strings.Replace(foreignObservation, `"identifier":[{"system":"https://ehr.example/obs","value":"6"}],`, "", 1)
	one = readJSON([]byte(unnamed), g).Entries[0].ID
	bundled = readJSON([]byte(`{"resourceType":"Bundle","type":"searchset","entry":[{"fullUrl":"https://ehr.example/fhir/Observation/6",`+
		`"resource":`+unnamed+`}]}`), g).Entries[0].ID
	if one != bundled {
		t.Errorf("by its id %s, in a bundle %s", one, bundled)
	}
}

// A text that is carried is held to every rule of an entry.
func TestCarriedTextsAreJudged(t *testing.T) {
	carried := func(text string) read.Read {
		b := append([]byte(`{"resourceType":"Basic","extension":[{"url":"https://other.example/StructureDefinition/care-entry",`+
			`"valueString":`), entry.AppendString(nil, text)...)
		return readJSON(append(b, "}]}"...), read.Given{Policy: fixture.WardPolicy(t)})
	}
	good := `{"id":"0a5e0001-0000-4000-8000-000000000005","infant":"in-a","kind":"weight","at":"2026-03-01T09:00:00+01:00",` +
		`"charted":"2026-03-01T09:00:00+01:00","by":"rn-dune","weightG":1180}`
	if r := carried(good); len(r.Entries) != 1 || len(r.Issues) > 0 || !r.Entries[0].Carried {
		t.Errorf("%+v", r)
	}
	for old, code := range map[string]entry.Code{`"weightG":1180`: entry.CodeMissing,
		`"charted":"2026-03-01T09:00:00+01:00",`:       entry.CodeMissing,
		`"id":"0a5e0001-0000-4000-8000-000000000005",`: entry.CodeMissing, `}`: entry.CodeJSON} {
		bad := strings.Replace(good, old, "", 1)
		bad = strings.Replace(bad, ",}", "}", 1)
		if r := carried(bad); len(r.Entries) != 0 || len(r.Issues) != 1 || r.Issues[0].Code != code ||
			!strings.HasPrefix(r.Issues[0].Path, "extension[0].valueString") {
			t.Errorf("without %s: %+v", old, r)
		}
	}
}

// A rate may say in UCUM what is counted (section 6, curly braces), which is no other
// unit.
func TestRates(t *testing.T) {
	for code, want := range map[string]int{"/min": 1, "{beats}/min": 1, "{Beats}/min": 1, "beats/min": 0, "{beats}/h": 0,
		"{beats}{x}/min": 0, "Hz": 0} {
		text := strings.NewReplacer("29463-7", "8867-4", "1.1850", "148", `"code":"kg"`, `"code":"`+code+`"`).Replace(foreignObservation)
		if r := readJSON([]byte(text), given(t)); len(r.Entries) != want || len(r.Aside) != 1-want || len(r.Issues) > 0 {
			t.Errorf("%s: %+v", code, r)
		}
	}
	text := strings.Replace(foreignObservation, `"code":"kg"`, `"code":"{dry}kg"`, 1)
	if r := readJSON([]byte(text), given(t)); len(r.Entries) != 0 {
		t.Errorf("a weight of something: %+v", r)
	}
}

// A day that there is not, and a minus before zero, are refused by element, and never
// taken for another.
func TestWhatThereIsNotIsRefused(t *testing.T) {
	bundle := func(s string) string {
		return `{"resourceType":"Bundle","type":"collection","entry":[{"resource":` + s + `}]}`
	}
	person := `{"resourceType":"Patient","identifier":[{"system":"https://moonwort.example/id/hospital-number","value":"0042"}],`
	for _, c := range []struct{ text, path, found string }{
		{strings.Replace(foreignObservation, "2026-03-01T09", "2026-02-30T09", 1), "effectiveDateTime", "2026-02-30"},
		{strings.Replace(foreignObservation, `"effectiveDateTime":"2026-03-01T09:00:00+01:00"`, `"effectiveDateTime":"2026-02-29"`, 1),
			"effectiveDateTime", "2026-02-29"},
		{strings.Replace(foreignObservation, `"status"`, `"issued":"2026-04-31T09:00:00Z","status"`, 1), "issued", "2026-04-31"},
		{strings.Replace(foreignObservation, `1.1850`, `-0.0`, 1), "valueQuantity.value", `"-0.0"`},
		{strings.Replace(strings.Replace(foreignObservation, `29463-7`, `2708-6`, 1),
			`"value":1.1850,"unit":"kg","system":"http://unitsofmeasure.org","code":"kg"`,
			`"value":-0,"unit":"%","system":"http://unitsofmeasure.org","code":"%"`, 1), "valueQuantity.value", `"-0"`},
		{person + `"birthDate":"2026-02-30"}`, "birthDate", "2026-02-30"},
		{person + `"birthDate":"2026-02-19","_birthDate":{"extension":[{"url":"http://hl7.org/fhir/StructureDefinition/` +
			`patient-birthTime","valueDateTime":"2026-02-31T08:00:00Z"}]}}`, "_birthDate.extension.valueDateTime", "2026-02-31"},
	} {
		got := readJSON([]byte(bundle(c.text)), given(t))
		if len(got.Issues) != 1 || got.Issues[0].Path != c.path || got.Issues[0].Found != c.found || len(got.Entries) > 0 {
			t.Errorf("%s %s: %v %v", c.path, c.found, got.Issues, got.Entries)
		}
	}
	leap := given(t)
	leap.Now = leap.Now.AddDate(3, 0, 0)
	day := strings.Replace(foreignObservation, "2026-03-01T09", "2028-02-29T09", 1)
	if got := readJSON([]byte(bundle(day)), leap); len(got.Issues) > 0 {
		t.Errorf("29 February of a leap year: %v", got.Issues)
	}
}
