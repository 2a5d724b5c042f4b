package fhir_test

import (
	"strings"
	"testing"

	"cotline/fhir"
	"cotline/handover"
)

// foreignObservation is what a hospital's system may send.
const foreignObservation = `{"resourceType":"Observation","id":"6","identifier":[{"system":"https://ehr.example/obs","value":"6"}],"status":"final",` +
	`"code":{"coding":[{"system":"http://loinc.org","code":"29463-7"}]},"subject":{"identifier":{"system":"https://moonwort.example/id/hospital-number","value":"0042"}},` +
	`"effectiveDateTime":"2026-03-01T09:00:00+01:00","valueQuantity":{"value":1.1850,"unit":"kg","system":"http://unitsofmeasure.org","code":"kg"}}`

// What is charted of it, left aside or refused: one change each.
func TestForeignObservations(t *testing.T) {
	g := fhir.Given{Policy: wardPolicy(t), By: "rn-dune", Known: map[string]string{"0042": "in-a", "0043": ""}}
	for name, c := range map[string]struct{ old, new, entry, aside, issue string }{
		"kilograms, exactly":      {"", "", `"kind":"weight","at":"2026-03-01T09:00:00+01:00","by":"rn-dune","weightG":1185.0}`, "", ""},
		"grams":                   {`1.1850,"unit":"kg","system":"http://unitsofmeasure.org","code":"kg"`, `1185,"unit":"g","system":"http://unitsofmeasure.org","code":"g"`, `"weightG":1185}`, "", ""},
		"pounds":                  {`"code":"kg"`, `"code":"[lb_av]"`, "", "", "valueQuantity.code"},
		"a unit of no system":     {`"system":"http://unitsofmeasure.org",`, ``, "", "", "valueQuantity.system"},
		"a bound":                 {`"value":1.1850,`, `"value":1.1850,"comparator":"<",`, "", "", "valueQuantity.comparator"},
		"a number as a string":    {`1.1850`, `"1.185"`, "", "", "valueQuantity.value"},
		"an exponent":             {`1.1850`, `1e0`, "", "", "valueQuantity.code"},
		"out of range":            {`1.1850`, `118.5`, "", "", "weightG"},
		"head":                    {`29463-7"}]},`, `9843-4"}]},"x":0,`, "", "", "valueQuantity.code"},
		"corrected":               {`"final"`, `"corrected"`, `"weightG"`, "", ""},
		"entered in error":        {`"final"`, `"entered-in-error"`, "", "status", ""},
		"no status":               {`"status":"final",`, ``, "", "", "status"},
		"no code":                 {`"code":{"coding":[{"system":"http://loinc.org","code":"29463-7"}]},`, ``, "", "", "code"},
		"status twice":            {`"status":"final",`, `"status":"final","status":"amended",`, "", "", "status"},
		"another code":            {`29463-7`, `8302-2`, "", "no code", ""},
		"body temperature":        {`29463-7`, `8310-5`, "", "axillary", ""},
		"the day alone":           {`T09:00:00+01:00`, ``, "", "day alone", ""},
		"a period":                {`"effectiveDateTime":"2026-03-01T09:00:00+01:00"`, `"effectivePeriod":{"start":"2026-03-01"}`, "", "effectiveDateTime", ""},
		"nobody we know":          {`"0042"`, `"0099"`, "", "hospital number", ""},
		"one of two":              {`"0042"`, `"0043"`, "", "hospital number", ""},
		"a number of others":      {`/id/hospital-number`, `/id/other`, "", "hospital number", ""},
		"turned round":            {`"status"`, `"modifierExtension":[{"url":"https://ehr.example/not","valueBoolean":true}],"status"`, "", "modifier", ""},
		"ours":                    {`https://ehr.example/obs`, `https://moonwort.example/fhir/identifier`, "", "", ""},
		"a type that is none":     {`"resourceType":"Observation"`, `"resourceType":"observation!"`, "", "", "resourceType"},
		"a type that is not read": {`"resourceType":"Observation"`, `"resourceType":"Media"`, "", "not read", ""},
		"not whole":               {`"status":"final",`, `"status":`, "", "", ""},
	} {
		t.Run(name, func(t *testing.T) {
			text := strings.Replace(foreignObservation, c.old, c.new, 1)
			r := fhir.ReadJSON([]byte(text), g)
			var entries, issues, aside string
			for _, e := range r.Entries {
				entries += string(e.AppendCanonical(nil))
			}
			for _, i := range r.Issues {
				issues += i.Path
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
			if refused := c.issue != "" || name == "not whole"; refused != (len(r.Issues) > 0) || issues != c.issue {
				t.Errorf("refused: %v", r.Issues)
			}
		})
	}
}

// The same resource is the same entry, whatever else is in the file.
func TestForeignIdentity(t *testing.T) {
	g := fhir.Given{Policy: wardPolicy(t), By: "rn-dune", Known: map[string]string{"0042": "in-a"}}
	one := fhir.ReadJSON([]byte(foreignObservation), g).Entries[0].ID
	bundled := fhir.ReadJSON([]byte(`{"resourceType":"Bundle","type":"collection","entry":[{"resource":`+foreignObservation+`}]}`), g).Entries[0].ID
	other := fhir.ReadJSON([]byte(strings.Replace(foreignObservation, `"value":"6"`, `"value":"7"`, 1)), g).Entries[0].ID
	if one != bundled || one == other {
		t.Errorf("%s, %s; another one %s", one, bundled, other)
	}
}

// A text that is carried is held to every rule of an entry.
func TestCarriedTextsAreJudged(t *testing.T) {
	carried := func(text string) fhir.Read {
		b := append([]byte(`{"resourceType":"Basic","extension":[{"url":"https://other.example/StructureDefinition/care-entry","valueString":`), handover.AppendString(nil, text)...)
		return fhir.ReadJSON(append(b, "}]}"...), fhir.Given{Policy: wardPolicy(t)})
	}
	good := `{"id":"0a5e0001-0000-4000-8000-000000000005","infant":"in-a","kind":"weight","at":"2026-03-01T09:00:00+01:00","charted":"2026-03-01T09:00:00+01:00","by":"rn-dune","weightG":1180}`
	if r := carried(good); len(r.Entries) != 1 || len(r.Issues) > 0 || !r.Entries[0].Carried {
		t.Errorf("%+v", r)
	}
	for old, code := range map[string]handover.Code{`"weightG":1180`: handover.CodeMissing, `"charted":"2026-03-01T09:00:00+01:00",`: handover.CodeMissing,
		`"id":"0a5e0001-0000-4000-8000-000000000005",`: handover.CodeMissing, `}`: handover.CodeJSON} {
		bad := strings.Replace(good, old, "", 1)
		bad = strings.Replace(bad, ",}", "}", 1)
		if r := carried(bad); len(r.Entries) != 0 || len(r.Issues) != 1 || r.Issues[0].Code != code || !strings.HasPrefix(r.Issues[0].Path, "extension[0].valueString") {
			t.Errorf("without %s: %+v", old, r)
		}
	}
}
