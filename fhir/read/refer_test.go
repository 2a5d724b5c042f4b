package read_test

import (
	"strings"
	"testing"

	"cotline/fhir/read"
)

// A subject leads to a Patient by any of the ways of R4 (references.html, http.html
// and bundle.html of hl7.org/fhir/R4): relative, absolute, of a version, within the
// bundle, contained, conditional, or by identifier.
func TestSubjects(t *testing.T) {
	const system = "https://moonwort.example/id/hospital-number"
	number := func(n string) string { return `"identifier":[{"system":"` + system + `","value":"` + n + `"}]` }
	patient := func(url, id, n string) string {
		if url != "" {
			url = `"fullUrl":"` + url + `",`
		}
		return `{` + url + `"resource":{"resourceType":"Patient","id":"` + id + `",` + number(n) + `}},`
	}
	const at = "https://ehr.example/fhir/Patient/5"
	for name, c := range map[string]struct{ patients, subject, contained, want string }{
		"relative":             {patient(at, "5", "0042"), `{"reference":"Patient/5"}`, "", "in-a"},
		"absolute":             {patient(at, "5", "0042"), `{"reference":"` + at + `"}`, "", "in-a"},
		"absolute, no address": {patient("", "5", "0042"), `{"reference":"` + at + `"}`, "", "in-a"},
		"of a version":         {patient(at, "5", "0042"), `{"reference":"Patient/5/_history/2"}`, "", "in-a"},
		"within the bundle": {patient("urn:uuid:0A5E0001-0000-4000-8000-000000000001", "", "0042"),
			`{"reference":"urn:uuid:0a5e0001-0000-4000-8000-000000000001"}`, "", "in-a"},
		"contained": {"", `{"reference":"#p"}`, `"contained":[{"resourceType":"Patient","id":"p",` + number("0042") +
			`}],`, "in-a"},
		"conditional":   {"", `{"reference":"Patient?identifier=` + system + `%7C0042"}`, "", "in-a"},
		"by identifier": {"", `{"identifier":{"system":"` + system + `","value":"0042"}}`, "", "in-a"},
		"twice the same": {patient(at, "5", "0042"), `{"reference":"Patient/5","identifier":{"system":"` + system +
			`","value":"0042"}}`, "", "in-a"},
		"of another host": {patient(at, "5", "0042"), `{"reference":"https://other.example/fhir/Patient/5"}`, "", ""},
		"of another id":   {patient(at, "5", "0042"), `{"reference":"Patient/15"}`, "", ""},
		"of another type": {patient(at, "5", "0042"), `{"reference":"Group/5"}`, "", ""},
		"in contradiction": {patient(at, "5", "0099"), `{"reference":"Patient/5","identifier":{"system":"` + system +
			`","value":"0042"}}`, "", ""},
		"of two servers": {patient(at, "5", "0042") + patient("https://other.example/fhir/Patient/5", "5", "0099"),
			`{"reference":"Patient/5"}`, "", ""},
		"conditional, of no number": {"", `{"reference":"Patient?identifier=https://ehr.example%7C0042"}`, "", ""},
		"conditional, broken":       {"", `{"reference":"Patient?identifier=%zz"}`, "", ""},
		"contained elsewhere": {"", `{"reference":"#q"}`,
			`"contained":[{"resourceType":"Patient","id":"p",` + number("0042") + `}],`, ""},
		"nobody": {patient(at, "5", "0042"), `{}`, "", ""},
	} {
		observation := strings.Replace(foreignObservation, `"subject":{"identifier":{"system":"`+system+`","value":"0042"}}`,
			c.contained+`"subject":`+c.subject, 1)
		r := readJSON([]byte(`{"resourceType":"Bundle","type":"searchset","entry":[`+c.patients+`{"resource":`+observation+`}]}`),
			given(t))
		got := ""
		for _, e := range r.Entries {
			got += e.Infant
		}
		if got != c.want || len(r.Issues) > 0 {
			t.Errorf("%s: charted of %q, want %q; %v %v", name, got, c.want, r.Aside, r.Issues)
		}
	}
}

// Files are read together: what one refers to may stand in another.
func TestFilesAreReadTogether(t *testing.T) {
	patient := `{"resourceType":"Patient","id":"5","identifier":[{"system":"https://moonwort.example/id/hospital-number","value":"0042"}]}`
	observation := strings.Replace(foreignObservation,
		`{"identifier":{"system":"https://moonwort.example/id/hospital-number","value":"0042"}}`, `{"reference":"Patient/5"}`, 1)
	var r read.Resources
	r.Line(1, []byte(observation))
	paths := r.JSON(2, []byte(patient))
	read := r.Read(given(t))
	if len(read.Entries) != 1 || read.Entries[0].Line != 1 || len(read.Aside) != 1 || read.Aside[0].Line != 2 || len(paths) != 1 ||
		paths[0] != "Patient" {
		t.Errorf("%+v %v", read, paths)
	}
}

// A bundle is told of by its places.
func TestBundles(t *testing.T) {
	for name, c := range map[string]struct{ text, paths, told string }{
		"no type": {`{"resourceType":"Bundle","entry":[]}`, "Bundle", "type: required on Bundle"},
		"a type of R5": {`{"resourceType":"Bundle","type":"subscription-notification"}`, "Bundle",
			`type: found "subscription-notification"; one of document,`},
		"a search's":       {`{"resourceType":"Bundle","type":"searchset"}`, "Bundle", ""},
		"entries, no list": {`{"resourceType":"Bundle","type":"collection","entry":{}}`, "Bundle", "entry: found an object; an array"},
		"a deletion": {`{"resourceType":"Bundle","type":"transaction","entry":[{"request":{"method":"DELETE","url":"Observation/6"}},` +
			`{"resource":{"resourceType":"Media"}}]}`,
			"Bundle Bundle.entry[0] Bundle.entry[1].resource", "no resource in it"},
		"no object": {`{"resourceType":"Bundle","type":"batch","entry":[{"resource":7},8]}`,
			"Bundle Bundle.entry[0].resource Bundle.entry[1]", "the type of a FHIR R4 resource"},
		"deep":               {strings.Repeat(`{"a":`, 100) + "1" + strings.Repeat("}", 100), "", "at most 64 levels"},
		"wide":               {`{"a` + strings.Repeat(`":1,"a`, 300) + `":1}`, "", "at most 256 names"},
		"long":               {`{"` + strings.Repeat("a", 65) + `":1}`, "", "at most 64 bytes"},
		"a name with a line": {`{"resourceType":"Media","a\n":1,"a\n":2}`, "", `a\n: each name once`},
	} {
		var r read.Resources
		paths := r.JSON(1, []byte(c.text))
		read := r.Read(given(t))
		told := ""
		for _, i := range append(read.Issues, read.Aside...) {
			told += i.String() + "\n"
		}
		if got := strings.Join(paths, " "); got != c.paths || !strings.Contains(told, c.told) || (told == "") != (c.told == "") {
			t.Errorf("%s: %q, %s", name, got, told)
		}
	}
}
