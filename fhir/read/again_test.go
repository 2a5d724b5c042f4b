package read_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"cotline/fhir/internal/fixture"
	"cotline/fhir/internal/r4"
	"cotline/fhir/read"
	"cotline/handover/entry"
)

// version is the foreign Observation as its sender sends it on.
func version(status, grams, issued string) string {
	s := strings.Replace(foreignObservation, `"status":"final"`, `"status":"`+status+`"`, 1)
	s = strings.Replace(s, `"value":1.1850,"unit":"kg","system":"http://unitsofmeasure.org","code":"kg"`,
		`"value":`+grams+`,"unit":"g","system":"http://unitsofmeasure.org","code":"g"`, 1)
	if issued != "" {
		s = strings.Replace(s, `"status"`, `"issued":"2026-03-01T`+issued+`:00+01:00","status"`, 1)
	}
	return s
}

// weighed is the weight that stands, "" where there is none, and what amends it.
func weighed(g read.Given) (grams string, amended int) {
	for _, e := range g.Held.(holding) {
		if e.Kind == "correction" || e.Kind == "retraction" {
			amended++
		}
	}
	for _, r := range entry.Replay(g.Held.(holding), time.Date(2030, 1, 1, 0, 0, 0, 0, time.UTC)).Infants {
		for _, e := range r.Entries {
			if n, ok := e.Number("weightG"); ok {
				grams = n.String()
			}
		}
	}
	return grams, amended
}

// What a sender sends again, one after the other; R4 (observation-status) has a
// final Observation changed by amended, corrected or entered-in-error alone.
func TestSentAgain(t *testing.T) {
	first := version("final", "1185", "09:03")
	for name, c := range map[string]struct {
		sent    []string
		grams   string
		amended int
		aside   string // of the last
		issue   string // of the last
	}{
		"unchanged":                   {[]string{first, first}, "1185", 0, "", ""},
		"unchanged, but for its form": {[]string{first, version("final", "1185.0", "09:05")}, "1185", 0, "", ""},
		"unchanged, in another zone":  {[]string{first, strings.Replace(first, "T09:00:00+01:00", "T08:00:00Z", 1)}, "1185", 0, "", ""},
		"corrected":                   {[]string{first, version("corrected", "1195", "09:30")}, "1195", 1, "", ""},
		"amended":                     {[]string{first, version("amended", "1195", "09:30")}, "1195", 1, "", ""},
		"corrected, twice sent": {[]string{first, version("corrected", "1195", "09:30"), version("corrected", "1195", "09:30")},
			"1195", 1, "", ""},
		"corrected without a time": {[]string{version("final", "1185", ""), version("corrected", "1195", "")}, "1195", 1, "", ""},
		"corrected again": {[]string{first, version("corrected", "1195", "09:30"), version("corrected", "1205", "09:40")},
			"1205", 2, "", ""},
		"corrected back": {[]string{first, version("corrected", "1195", "09:30"), version("corrected", "1185", "09:40")},
			"1185", 2, "", ""},
		"corrected back, no time": {[]string{version("final", "1185", ""), version("corrected", "1195", ""),
			version("corrected", "1185", "")}, "1195", 1, "as it was charted", ""},
		"an old one after it": {[]string{first, version("corrected", "1195", "09:30"), first}, "1195", 1, "as it was charted", ""},
		"an older correction": {[]string{first, version("corrected", "1195", "09:30"), version("corrected", "1205", "09:20")},
			"1195", 1, "issued before", ""},
		"the first after it":       {[]string{version("corrected", "1195", "09:30"), first}, "1195", 0, "issued before", ""},
		"final, and other content": {[]string{first, version("final", "1195", "09:30")}, "1185", 0, "", "status id-conflict"},
		"of another infant": {[]string{first, strings.Replace(version("corrected", "1185", "09:30"), "0042", "0047", 1)}, "1185",
			0, "", "subject id-conflict"},
		"one identifier for a set": {[]string{first,
			strings.Replace(strings.Replace(version("corrected", "25", "09:30"), "29463-7", "9843-4", 1),
				`"unit":"g","system":"http://unitsofmeasure.org","code":"g"`,
				`"unit":"cm","system":"http://unitsofmeasure.org","code":"cm"`, 1)}, "1185", 0, "", ""},
		"withdrawn": {[]string{first, version("entered-in-error", "1185", "09:30")}, "", 1, "", ""},
		"withdrawn, and blank": {[]string{first,
			strings.Replace(strings.Replace(version("entered-in-error", "1185", ""), `"effectiveDateTime":"2026-03-01T09:00:00+01:00",`,
				"", 1), `"valueQuantity"`, `"x"`, 1)}, "", 1, "", ""},
		"withdrawn twice": {[]string{first, version("entered-in-error", "1185", "09:30"),
			version("entered-in-error", "1185", "09:30")}, "", 1, "already", ""},
		"withdrawn, then again": {[]string{first, version("entered-in-error", "1185", "09:30"), first}, "", 1, "stays so", ""},
		"withdrawn after correction": {[]string{first, version("corrected", "1195", "09:30"),
			version("entered-in-error", "1195", "09:40")}, "", 2, "", ""},
		"withdrawn of another": {[]string{first, strings.Replace(version("entered-in-error", "1185", "09:30"), "0042", "0047", 1)},
			"1185", 0, "", "subject id-conflict"},
		"withdrawn, never seen": {[]string{version("entered-in-error", "1185", "09:30")}, "", 0, "not charted here", ""},
	} {
		t.Run(name, func(t *testing.T) {
			g := given(t, `"infant":"in-e","mrn":"0047"`)
			var r read.Read
			for n, text := range c.sent {
				g.Now = readAt.Add(time.Duration(n) * time.Minute)
				r = take(t, &g, text)
			}
			aside, issue := "", ""
			for _, i := range r.Aside {
				aside += i.Allowed
			}
			for _, i := range r.Issues {
				issue += i.Path + " " + string(i.Code)
			}
			grams, amended := weighed(g)
			if grams != c.grams || amended != c.amended || issue != c.issue || !strings.Contains(aside, c.aside) ||
				(aside == "") != (c.aside == "") {
				t.Errorf("%q g, amended %d times, aside %q, refused %q", grams, amended, aside, issue)
			}
		})
	}
}

// A correction names what it corrects, why, by whom, and holds from when it was issued.
func TestSendersCorrection(t *testing.T) {
	g := given(t)
	first := take(t, &g, version("final", "1185", "09:03")).Entries[0]
	for _, text := range []string{version("corrected", "1195", "09:30"), version("entered-in-error", "1195", "09:40")} {
		e := take(t, &g, text).Entries[0]
		want := map[string]string{"correction": "corrected by the sender", "retraction": "entered in error, says the sender"}[e.Kind]
		if e.Reference("of") != first.ID || e.Text("reason") != want || want == "" || e.By != "rn-dune" || !e.Offered {
			t.Errorf("%s", e.AppendCanonical(nil))
		}
	}
}

// What a person of the record put right or took back stays as that person left it.
func TestAPersonDecides(t *testing.T) {
	for amendment, aside := range map[string]string{
		`"kind":"correction","of":"%","reason":"read again","entry":{"kind":"weight","at":"2026-03-01T09:00:00+01:00",` +
			`"weightG":1190}`: "by a person",
		`"kind":"retraction","of":"%","reason":"the other twin"`: "retracted in the record",
	} {
		g := given(t)
		first := take(t, &g, version("final", "1185", "09:03")).Entries[0]
		g.Held = append(g.Held.(holding), fixture.Entries(t,
			[]byte(`{"id":"0a5e0009-0000-4000-8000-000000000001","infant":"in-a","at":"2026-03-01T09:10:00+01:00","by":"rn-dune",`+
				strings.Replace(amendment, "%", first.ID, 1)+`}`))...)
		for _, text := range []string{version("corrected", "1195", "09:30"), version("entered-in-error", "1195", "09:40")} {
			if r := take(t, &g, text); len(r.Entries) > 0 || len(r.Issues) > 0 || len(r.Aside) != 1 ||
				!strings.Contains(r.Aside[0].Allowed, aside) {
				t.Errorf("%+v", r)
			}
		}
	}
}

// A correction that a person took back counts for nothing: what was sent stands again,
// and a later version of it is taken.
func TestACorrectionTakenBack(t *testing.T) {
	g := given(t)
	first := take(t, &g, version("final", "1185", "09:03")).Entries[0]
	g.Held = append(g.Held.(holding), fixture.Entries(t,
		[]byte(`{"id":"0a5e0009-0000-4000-8000-000000000001","infant":"in-a","at":"2026-03-01T09:10:00+01:00","by":"rn-dune",`+
			`"kind":"correction","of":"`+first.ID+`","reason":"read again","entry":{"kind":"weight","at":"2026-03-01T09:00:00+01:00",`+
			`"weightG":1190}}
{"id":"0a5e0009-0000-4000-8000-000000000002","infant":"in-a","at":"2026-03-01T09:12:00+01:00","by":"rn-dune","kind":"retraction","of":"0a5e0009-0000-4000-8000-000000000001","reason":"it was right"}`))...)
	if r := take(t, &g, version("corrected", "1195", "09:30")); len(r.Entries) != 1 || len(r.Issues)+len(r.Aside) > 0 {
		t.Errorf("%+v", r)
	}
	if grams, _ := weighed(g); grams != "1195" {
		t.Errorf("%s g", grams)
	}
}

// Versions in one file stand in any order; of two of which neither says when it was
// issued, none is the later.
func TestVersionsInOneFile(t *testing.T) {
	versions := []string{version("final", "1185", "09:03"), version("corrected", "1195", "09:30"), version("amended", "1205", "09:40"),
		version("corrected", "1195", "09:30")}
	rapid.Check(t, func(rt *rapid.T) {
		g := given(t)
		take(t, &g, `{"resourceType":"Bundle","type":"history","entry":[{"resource":`+strings.Join(rapid.Permutation(versions).
			Draw(rt, "order"), `},{"resource":`)+`}]}`)
		if grams, amended := weighed(g); grams != "1205" || amended != 2 {
			rt.Fatalf("%s g, amended %d times", grams, amended)
		}
	})
	for _, statuses := range [][2]string{{"corrected", "amended"}, {"final", "final"}} {
		g := given(t)
		r := take(t, &g, `{"resourceType":"Bundle","type":"history","entry":[{"resource":`+version(statuses[0], "1185", "")+
			`},{"resource":`+version(statuses[1], "1195", "")+`}]}`)
		if len(r.Issues) != 1 || r.Issues[0].Code != entry.CodeIDConflict {
			t.Errorf("%v: %+v", statuses, r.Issues)
		}
	}
}

// A bare body temperature is axillary where its site is coded so: by our own code, or
// by a coding that the site adds to it.
func TestAxilla(t *testing.T) {
	celsius := strings.NewReplacer("29463-7", "8310-5", `"value":1.1850,"unit":"kg"`, `"value":36.8,"unit":"C"`,
		`"code":"kg"`, `"code":"Cel"`)
	at := func(coding string) string {
		return strings.Replace(celsius.Replace(foreignObservation), `"status"`, `"bodySite":`+coding+`,"status"`, 1)
	}
	site := entry.Value{Type: entry.ObjectValue,
		Fields: []entry.Field{{Name: "site-axilla",
			Value: entry.Value{Type: entry.ListValue, List: []entry.Value{{Type: entry.ObjectValue, Fields: []entry.Field{
				{Name: "system", Value: entry.Value{Type: entry.TextValue, Text: "http://snomed.info/sct"}},
				{Name: "code", Value: entry.Value{Type: entry.TextValue, Text: "422543003"}}}}}}}}}
	codes, issues := read.SiteCodesOf(site)
	if len(issues) > 0 {
		t.Fatal(issues)
	}
	const fossa = `{"coding":[{"system":"http://snomed.info/sct","code":"422543003"}]}`
	for name, c := range map[string]struct {
		text string
		site r4.SiteCodes
		want string
	}{
		"no site":               {celsius.Replace(foreignObservation), codes, ""},
		"the site's coding":     {at(fossa), codes, "axillaryC"},
		"no coding of the site": {at(fossa), nil, ""},
		"our own": {at(`{"coding":[{"system":"https://moonwort.example/fhir/CodeSystem/neonatal-cpap",` +
			`"code":"site-axilla"}]}`), nil, "axillaryC"},
		"another site": {at(`{"coding":[{"system":"http://snomed.info/sct","code":"113179006"}]}`), codes, ""},
		"words alone":  {at(`{"text":"axilla"}`), codes, ""},
		"coded as axillary": {strings.Replace(celsius.Replace(foreignObservation), `"8310-5"}`,
			`"8310-5"},{"system":"http://loinc.org","code":"8328-7"}`, 1), nil, "axillaryC"},
		"withdrawn, and blank": {strings.Replace(celsius.Replace(foreignObservation), `"final"`, `"entered-in-error"`, 1), nil, ""},
	} {
		g := given(t)
		g.Site = c.site
		r := readJSON([]byte(c.text), g)
		got := ""
		if len(r.Entries) == 1 {
			got = r.Entries[0].Fields[0].Name
		}
		if got != c.want || len(r.Issues) > 0 || c.want == "" && !slices.ContainsFunc(r.Aside, func(i entry.Issue) bool {
			return strings.Contains(i.Allowed, "axillary") != strings.Contains(i.Allowed, "not charted here")
		}) {
			t.Errorf("%s: %q %+v", name, got, r)
		}
	}
}
