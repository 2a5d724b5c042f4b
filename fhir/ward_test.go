package fhir_test

import (
	"bytes"
	"encoding/json"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/goccy/go-yaml"

	"cotline/fhir"
	"cotline/handover"
	"cotline/internal/ward"
)

// policyOf reads a policy as a unit writes it.
func policyOf(t testing.TB, text string) *handover.Policy {
	t.Helper()
	asJSON, err := yaml.YAMLToJSON([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	v, issues := handover.ParseJSON(asJSON)
	if len(issues) > 0 {
		t.Fatal(issues)
	}
	p, issues := handover.DecodePolicy(v, time.LoadLocation)
	if len(issues) > 0 {
		t.Fatal(issues)
	}
	return p
}

// wardPolicy is the policy of the invented wards.
func wardPolicy(t testing.TB) *handover.Policy { return policyOf(t, string(ward.Policy())) }

// sendingAll is that policy, with every resource type sent but Basic, which carries
// the texts of entries.
func sendingAll(t testing.TB) *handover.Policy {
	const few = "send: [Observation, DeviceUseStatement, Device]"
	all := strings.Replace(string(ward.Policy()), few, "send: ["+strings.Join(slices.DeleteFunc(slices.Clone(handover.SendTypes), func(kind string) bool { return kind == "Basic" }), ", ")+"]", 1)
	if all == string(ward.Policy()) {
		t.Fatal("the policy does not say what is sent")
	}
	return policyOf(t, all)
}

// entriesOf reads NDJSON and stamps what has no charted with its at.
func entriesOf(t testing.TB, lines []byte) []*handover.Entry {
	t.Helper()
	var out []*handover.Entry
	for _, line := range bytes.Split(bytes.TrimSpace(lines), []byte("\n")) {
		v, issues := handover.ParseJSON(line)
		if len(issues) > 0 {
			t.Fatalf("%s: %v", line, issues)
		}
		e, issues := handover.Decode(v)
		if len(issues) > 0 {
			t.Fatalf("%s: %v", line, issues)
		}
		if !e.Offered {
			e.Charted = e.At
		}
		out = append(out, &e)
	}
	return out
}

func moment(t testing.TB, s string) time.Time {
	t.Helper()
	m, err := handover.ParseMoment(s)
	if err != nil {
		t.Fatal(err)
	}
	return m.Time
}

// demo is the demo ward at the moment it is handed over.
func demo(t testing.TB) (handover.Ward, fhir.Ask) {
	t.Helper()
	policy, lines := ward.Demo()
	at := moment(t, ward.DemoAt)
	return handover.Ward{Entries: entriesOf(t, lines), Policy: policyOf(t, string(policy))}, fhir.Ask{At: at, Known: at}
}

// random is a random ward a while into its days.
func random(t testing.TB, seed uint64, infants, days int) (handover.Ward, time.Time) {
	t.Helper()
	var lines []byte
	for line := range ward.Random(seed, infants, days) {
		lines = append(lines, line...)
	}
	entries := entriesOf(t, lines)
	last := entries[len(entries)-1].At.Time
	return handover.Ward{Entries: entries, Policy: wardPolicy(t)}, last
}

// small is a ward of one infant, and of one entry of the kinds that faults are
// planted in.
const small = `{"id":"0a5e0001-0000-4000-8000-000000000001","infant":"in-a","kind":"admission","at":"2026-03-01T08:00:00+01:00","by":"rn-dune","born":"2026-03-01T07:00:00+01:00","cot":"1","mrn":"0042","gestation":"27+2"}
{"id":"0a5e0001-0000-4000-8000-000000000002","infant":"in-a","kind":"support","at":"2026-03-01T08:30:00+01:00","by":"rn-dune","state":"started","mode":"cpap","driver":"ax-1"}
{"id":"0a5e0001-0000-4000-8000-000000000003","infant":"in-a","kind":"interface","at":"2026-03-01T08:30:00+01:00","by":"rn-dune","type":"mask","size":"pea"}
{"id":"0a5e0001-0000-4000-8000-000000000004","infant":"in-a","kind":"settings","at":"2026-03-01T08:30:00+01:00","by":"rn-dune","pressureCmH2O":6.0,"fio2Percent":25.0}
{"id":"0a5e0001-0000-4000-8000-000000000005","infant":"in-a","kind":"observations","at":"2026-03-01T09:00:00+01:00","by":"rn-dune","spo2Percent":93,"heartRateBpm":151}`

func smallBundle(t testing.TB) string {
	t.Helper()
	at := moment(t, "2026-03-01T10:00:00+01:00")
	x, err := fhir.New(handover.Ward{Entries: entriesOf(t, []byte(small)), Policy: wardPolicy(t)}, fhir.Ask{At: at, Known: at})
	if err != nil {
		t.Fatal(err)
	}
	b, err := x.Transaction(fhir.Put)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

func after(s, mark string) string { return s[strings.Index(s, mark):] }

func between(s, from, to string) string {
	s = s[strings.Index(s, from)+len(from):]
	return s[:strings.Index(s, to)]
}

func export(t testing.TB, w handover.Ward, ask fhir.Ask) *fhir.Export {
	t.Helper()
	x, err := fhir.New(w, ask)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

func delta(t testing.TB, w handover.Ward, since time.Time, ask fhir.Ask) *fhir.Export {
	t.Helper()
	d, err := fhir.Delta(w, since, ask)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := d.Transaction(fhir.Put); err != nil {
		t.Fatal(err)
	}
	return d
}

// twins are two infants whose numbers are one apart, on one driver; one has a task
// and a plan, and left its first cot.
const twins = `{"id":"0a5e0002-0000-4000-8000-000000000001","infant":"in-a","kind":"admission","at":"2026-03-01T08:00:00+01:00","by":"rn-dune","born":"2026-03-01T07:00:00+01:00","cot":"1","mrn":"0042","visit":"V-7","gestation":"27+2"}
{"id":"0a5e0002-0000-4000-8000-000000000002","infant":"in-a","kind":"support","at":"2026-03-01T08:30:00+01:00","by":"rn-dune","state":"started","mode":"cpap","driver":"ax-1"}
{"id":"0a5e0002-0000-4000-8000-000000000003","infant":"in-a","kind":"calibration","at":"2026-03-01T08:40:00+01:00","by":"rn-dune","points":[{"gasPercent":21,"readPercent":21},{"gasPercent":100,"readPercent":99}]}
{"id":"0a5e0002-0000-4000-8000-000000000004","infant":"in-a","kind":"move","at":"2026-03-01T09:00:00+01:00","by":"rn-dune","cot":"2"}
{"id":"0a5e0002-0000-4000-8000-000000000005","infant":"in-a","kind":"task","at":"2026-03-01T09:10:00+01:00","by":"rn-dune","text":"Send the swab","dueAt":"2026-03-01T09:30:00+01:00"}
{"id":"0a5e0002-0000-4000-8000-000000000006","infant":"in-a","kind":"plan","at":"2026-03-01T09:11:00+01:00","by":"rn-dune","what":"observations","every":"1h","reason":"by order"}
{"id":"0a5e0002-0000-4000-8000-000000000007","infant":"in-b","kind":"admission","at":"2026-03-01T08:10:00+01:00","by":"rn-dune","born":"2026-03-01T07:05:00+01:00","cot":"3","mrn":"0043","gestation":"27+2"}
{"id":"0a5e0002-0000-4000-8000-000000000008","infant":"in-b","kind":"support","at":"2026-03-01T09:20:00+01:00","by":"rn-dune","state":"started","mode":"cpap","driver":"ax-1"}
`

func twinWard(t testing.TB, more string) handover.Ward {
	return handover.Ward{Entries: entriesOf(t, []byte(twins+more)), Policy: sendingAll(t)}
}

type fataler interface {
	Fatalf(format string, args ...any)
	Helper()
}

// word is a name or a plain value of JSON.
var word = regexp.MustCompile(`"(?:[^"\\]|\\.)*"|-?[0-9][0-9.eE+-]*|true|false`)

type requested struct {
	Entry []struct {
		FullURL  string `json:"fullUrl"`
		Resource struct {
			ResourceType, ID string
			Identifier       []struct{ System, Value string }
		}
		Request struct{ Method, URL, IfNoneExist string }
	}
}

func requestsOf(t testing.TB, b []byte) requested {
	t.Helper()
	var r requested
	if err := json.Unmarshal(b, &r); err != nil {
		t.Fatal(err)
	}
	return r
}
