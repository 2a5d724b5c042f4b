// Package ward invents a neonatal ward: a demo of twelve infants over four days across the night in which the clock
// goes back, and random wards of any size for tests and benchmarks. Unit, people, numbers, sizes, tags and limits are
// made up. What comes out is the record's NDJSON: one care entry a line, ordered by the moment it happened.
//
// Both are functions of their seed alone: no clock, no files, no map order reaches a line.
package ward

import (
	"bytes"
	_ "embed"
)

// DemoAt is the moment to hand the demo ward over: the morning after the clock went back, before the night nurses sign.
const DemoAt = "2026-10-25T07:30:00+01:00"

//go:embed policy.yaml
var policy []byte

// Policy is the invented unit's policy as YAML. Every ward of this package is charted by it.
func Policy() []byte { return bytes.Clone(policy) }

// Demo yields the policy and the demo ward's entries (NDJSON), the same bytes each time.
func Demo() (policyYAML, entries []byte) {
	var out bytes.Buffer
	for _, e := range demoWard() {
		out.Write(e.line())
	}
	return Policy(), out.Bytes()
}
