package handover_test

import (
	"fmt"
	"strings"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// The record of these examples: one infant of an invented unit, a line an entry.
const exampleRecord = `
{"id":"00000000-0000-4000-8000-000000000001","infant":"in-1","kind":"admission","at":"2026-03-09T06:00:00Z","by":"rn-1","born":"2026-03-09","cot":"Sill 1","mrn":"0071234","gestation":"28+2"}
{"id":"00000000-0000-4000-8000-000000000002","infant":"in-1","kind":"support","at":"2026-03-09T06:10:00Z","by":"rn-1","state":"started","mode":"cpap"}
{"id":"00000000-0000-4000-8000-000000000003","infant":"in-1","kind":"settings","at":"2026-03-09T06:12:00Z","by":"rn-1","pressureCmH2O":6.0,"fio2Percent":28}
{"id":"00000000-0000-4000-8000-000000000004","infant":"in-1","kind":"correction","at":"2026-03-09T07:40:00Z","by":"rn-2","of":"00000000-0000-4000-8000-000000000003","reason":"read the wrong dial","entry":{"kind":"settings","at":"2026-03-09T06:12:00Z","pressureCmH2O":5.0,"fio2Percent":28}}
`

// entries reads a record that is a plain file: what is charted in it is charted when
// it happened, as acceptance stamps it.
func entries(record string) []*entry.Entry {
	var offered []*entry.Entry
	for _, line := range strings.Split(strings.TrimSpace(record), "\n") {
		value, issues := entry.ParseJSON([]byte(line))
		if len(issues) > 0 {
			panic(issues)
		}
		e, issues := entry.Decode(value)
		if len(issues) > 0 {
			panic(issues)
		}
		offered = append(offered, &e)
	}
	taken, issues := entry.Accept(entry.Nothing, offered, nil, 2*time.Minute, time.Time{})
	if len(issues) > 0 {
		panic(issues)
	}
	return taken
}

// A handover is compiled from a record, a policy and moments, and from nothing else.
func Example() {
	policy, issues := handover.DecodePolicy(entry.Value{}, time.LoadLocation) // the defaults
	if len(issues) > 0 {
		panic(issues)
	}
	at := time.Date(2026, 3, 9, 7, 30, 0, 0, policy.Zone)
	h := handover.Compile(handover.Ward{Entries: entries(exampleRecord), Policy: policy}, at, at, time.Time{})
	for _, s := range h.Infants {
		fmt.Println("cot", s.Cot, "number", s.MRN)
		for _, set := range s.Settings {
			if set.Fact != nil {
				fmt.Println(set.Field, set.Fact.Value, "by", set.Fact.By)
			}
		}
		fmt.Println("interface applies:", s.Interface.Applies, "charted:", s.Interface.Value != nil)
	}
	// Output:
	// cot Sill 1 number 0071234
	// pressureCmH2O 6.0 by rn-1
	// fio2Percent 28 by rn-1
	// interface applies: true charted: false
}

// A correction holds from when it was charted: what was known before still tells
// what stood then.
func Example_correction() {
	policy, _ := handover.DecodePolicy(entry.Value{}, time.LoadLocation)
	ward := handover.Ward{Entries: entries(exampleRecord), Policy: policy}
	at := time.Date(2026, 3, 9, 7, 45, 0, 0, policy.Zone)
	for _, known := range []time.Time{at.Add(-15 * time.Minute), at} {
		set := handover.Compile(ward, at, known, time.Time{}).Infants[0].Settings[0]
		fmt.Println(set.Field, set.Fact.Value, "corrected:", set.Fact.Corrected != nil)
	}
	// Output:
	// pressureCmH2O 6.0 corrected: false
	// pressureCmH2O 5.0 corrected: true
}

// What is no entry is refused by path, with what is allowed; nothing is put right.
func Example_refusal() {
	line := `{"id":"00000000-0000-4000-8000-000000000005","infant":"in-1","kind":"settings","at":"2026-03-09T08:00:00Z",` +
		`"by":"rn-1","fio2Percent":0.3}`
	value, _ := entry.ParseJSON([]byte(line))
	_, issues := entry.Decode(value)
	for _, i := range issues {
		fmt.Println(i)
	}
	// Output:
	// fio2Percent: found 0.3; 21 to 100 % [range]
}
