package fhir_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"
	"time"

	"cotline/fhir"
	"cotline/handover"
	"cotline/handover/entry"
)

// The record of these examples: one infant of an invented unit, a line an entry. The
// pressure was charted on the wrong infant, and is taken back an hour later.
const exampleRecord = `
{"id":"00000000-0000-4000-8000-000000000001","infant":"in-1","kind":"admission","at":"2026-03-09T06:00:00Z","by":"rn-1","born":"2026-03-09","cot":"Sill 1","mrn":"0071234"}
{"id":"00000000-0000-4000-8000-000000000002","infant":"in-1","kind":"support","at":"2026-03-09T06:10:00Z","by":"rn-1","state":"started","mode":"cpap"}
{"id":"00000000-0000-4000-8000-000000000003","infant":"in-1","kind":"settings","at":"2026-03-09T06:12:00Z","by":"rn-1","pressureCmH2O":6.0}
{"id":"00000000-0000-4000-8000-000000000004","infant":"in-1","kind":"retraction","at":"2026-03-09T07:12:00Z","by":"rn-1","of":"00000000-0000-4000-8000-000000000003","reason":"the other cot"}
`

// examplePolicy says under which systems the site's numbers stand: nothing is exported
// without them.
const examplePolicy = `{"fhir":{"send":["Observation"],"identifiers":{"mrn":{"system":"https://site.example/mrn"},` +
	`"staff":{"system":"https://site.example/staff"},"device":{"system":"https://site.example/device"}}}}`

func exampleWard(policy string) handover.Ward {
	var w handover.Ward
	for _, line := range strings.Split(strings.TrimSpace(exampleRecord), "\n") {
		value, _ := entry.ParseJSON([]byte(line))
		e, issues := entry.Decode(value)
		if len(issues) > 0 {
			panic(issues)
		}
		e.Charted = e.At // of a plain file: charted when it happened
		w.Entries = append(w.Entries, &e)
	}
	value, _ := entry.ParseJSON([]byte(policy))
	w.Policy, _ = handover.DecodePolicy(value, time.LoadLocation)
	return w
}

// show prints the entries of an export's transaction: how each is sent, its status, and
// its number with the decimals that were charted.
func show(x *fhir.Export) {
	transaction, err := x.Transaction(fhir.Put)
	if err != nil {
		panic(err)
	}
	var bundle struct {
		Entry []struct {
			Request  struct{ Method string }
			Resource struct {
				ResourceType, Status string
				ValueQuantity        struct {
					Value json.Number
					Code  string
				}
			}
		}
	}
	if err := json.Unmarshal(transaction, &bundle); err != nil {
		panic(err)
	}
	for _, e := range bundle.Entry {
		r := e.Resource
		fmt.Println(strings.Join(strings.Fields(strings.Join([]string{e.Request.Method, r.ResourceType, r.Status,
			r.ValueQuantity.Value.String(), r.ValueQuantity.Code}, " ")), " "))
	}
}

// What stands in the record at a moment leaves as one transaction, which a receiver
// may be sent again without harm.
func Example() {
	at := time.Date(2026, 3, 9, 7, 0, 0, 0, time.UTC)
	x, err := fhir.New(exampleWard(examplePolicy), fhir.Ask{At: at, Known: at})
	if err != nil {
		panic(err)
	}
	show(x)
	// Output:
	// POST Patient
	// PUT Observation final
	// PUT Observation final 6.0 cm[H2O]
}

// A delta tells a receiver of an hour ago what became of what it holds.
func ExampleDelta() {
	since := time.Date(2026, 3, 9, 7, 0, 0, 0, time.UTC)
	at := since.Add(time.Hour)
	x, err := fhir.Delta(exampleWard(examplePolicy), since, fhir.Ask{At: at, Known: at})
	if err != nil {
		panic(err)
	}
	show(x)
	// Output:
	// POST Patient
	// PUT Observation entered-in-error 6.0 cm[H2O]
}

// Without the systems of the site's numbers nothing is exported: another's system in
// their place would give an infant another's number.
func ExampleNotSet() {
	at := time.Date(2026, 3, 9, 7, 0, 0, 0, time.UTC)
	_, err := fhir.New(exampleWard(`{}`), fhir.Ask{At: at, Known: at})
	if missing := (*fhir.NotSet)(nil); errors.As(err, &missing) {
		fmt.Println(strings.Join(missing.Keys, "\n"))
	}
	// Output:
	// fhir.identifiers.mrn.system
	// fhir.identifiers.staff.system
}
