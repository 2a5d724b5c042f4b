package read_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/fhir/read"
	"cotline/handover"
	"cotline/handover/entry"
)

// sending has a reading hold what comes back against what was sent.
func sending(t fixture.Fataler, g read.Given) read.Given {
	t.Helper()
	g.Sent = func(infant string, entries []*entry.Entry, known time.Time) [][]byte {
		all, err := fhir.Sent(g.Policy, nil, infant, entries, known)
		if err != nil {
			t.Fatalf("%v", err)
		}
		return all
	}
	return g
}

// What was sent from a record, at whatever moment and in whatever way, comes back to it
// unchanged: nothing is told. So it is where the record is made anew from it.
func TestWhatWasSentComesBackInSilence(t *testing.T) {
	for seed := range fixture.Seeds(70, 1) {
		w, last := fixture.Random(t, seed, 2, 2)
		for n, back := range []time.Duration{0, 5 * time.Hour, 17 * time.Hour, 29 * time.Hour} {
			at := last.Add(-back)
			x, err := fhir.New(w, fhir.Ask{At: at, Known: at})
			if err != nil {
				t.Fatal(err)
			}
			for name, files := range ways(t, x) {
				for _, held := range []holding{w.Entries, nil} {
					g := sending(t, read.Given{Policy: w.Policy, Held: held, Now: last})
					var r read.Resources
					for i, text := range files {
						r.JSON(i*100_000+1, text)
					}
					if got := r.Read(g); len(got.Changed) > 0 {
						t.Fatalf("seed %d, %d, %s, %d held: %d changed, first %v", seed, n, name, len(held), len(got.Changed),
							got.Changed[0])
					}
				}
			}
			if n == 0 {
				continue
			}
			d, err := fhir.Delta(w, at, fhir.Ask{At: last, Known: last})
			if err != nil {
				t.Fatal(err)
			}
			text, err := d.Transaction(fhir.Put)
			if err != nil {
				t.Fatal(err)
			}
			if got := readJSON(text, sending(t, read.Given{Policy: w.Policy, Held: holding(w.Entries), Now: last})); len(got.Changed) > 0 {
				t.Fatalf("seed %d, difference since %v: %d changed, first %v", seed, at, len(got.Changed), got.Changed[0])
			}
		}
	}
}

// weighing is a record of one infant with a weight of 1340 g and a reading, and what was
// sent of it.
func weighing(t *testing.T) (read.Given, string) {
	t.Helper()
	entries := fixture.Entries(t, []byte(`{"id":"0a5e0001-0000-4000-8000-000000000001","infant":"in-d","kind":"admission",`+
		`"at":"2026-03-01T08:00:00+01:00","by":"rn-dune","born":"2026-03-01","cot":"7","mrn":"0044"}
{"id":"0a5e0001-0000-4000-8000-000000000002","infant":"in-d","kind":"weight","at":"2026-03-01T09:00:00+01:00","by":"rn-dune","weightG":1340}
{"id":"0a5e0001-0000-4000-8000-000000000003","infant":"in-d","kind":"observations","at":"2026-03-01T09:10:00+01:00","by":"rn-dune","spo2Percent":93,"heartRateBpm":150}
{"id":"0a5e0001-0000-4000-8000-000000000004","infant":"in-d","kind":"skin","at":"2026-03-01T09:20:00+01:00","by":"rn-dune","sites":[{"site":"septum","finding":"intact"}]}`))
	g := sending(t, read.Given{Policy: fixture.WardPolicy(t), Held: holding(entries), Now: readAt})
	x, err := fhir.New(handover.Ward{Entries: entries, Policy: g.Policy}, fhir.Ask{At: readAt, Known: readAt})
	if err != nil {
		t.Fatal(err)
	}
	out, err := x.Transaction(fhir.Conditional)
	if err != nil {
		t.Fatal(err)
	}
	return g, string(out)
}

const (
	weightID = "0a5e0001-0000-4000-8000-000000000002.weightG"
	spo2ID   = "0a5e0001-0000-4000-8000-000000000003.spo2Percent"
	siteID   = "0a5e0001-0000-4000-8000-000000000004.skin.septum"
)

// edited is a bundle in which one resource of ours reads otherwise.
func edited(t *testing.T, text, id string, pairs ...string) string {
	t.Helper()
	at := strings.Index(text, `"value":"`+id+`"`)
	if at < 0 {
		t.Fatalf("no %s", id)
	}
	end := at + strings.Index(text[at:], `"request"`)
	part := text[at:end]
	for i := 0; i < len(pairs); i += 2 {
		now := strings.Replace(part, pairs[i], pairs[i+1], 1)
		if now == part {
			t.Fatalf("no %s in %s", pairs[i], part)
		}
		part = now
	}
	return text[:at] + part + text[end:]
}

// What a receiver changed is told, with what was sent and what is said now.
func TestWhatAReceiverChangedIsTold(t *testing.T) {
	g, text := weighing(t)
	for name, c := range map[string]struct {
		id    string
		pairs []string
		path  string // empty: it says the same
		found string
		sent  string
		named bool // --amended charts it
	}{
		"another form of a number": {weightID, []string{`"value":1340,`, `"value":1340.0,`}, "", "", "", false},
		"kilograms": {weightID, []string{`"value":1340,`, `"value":1.340,`, `"code":"g"`, `"code":"kg"`},
			"", "", "", false},
		"another zone": {weightID, []string{
			`"effectiveDateTime":"2026-03-01T09:00:00+01:00"`,
			`"effectiveDateTime":"2026-03-01T08:00:00Z"`}, "", "", "", false},
		"amended, the same": {weightID, []string{`"status":"final"`, `"status":"amended"`}, "", "", "", false},
		"a further coding": {weightID, []string{
			`"coding":[{"system":"http://loinc.org"`,
			`"coding":[{"system":"urn:x","code":"y"},{"system":"http://loinc.org"`}, "", "", "", false},
		"another display": {weightID, []string{`"Body weight"`, `"Weight of the body"`}, "", "", "", false},
		"a weight":        {weightID, []string{`"value":1340,`, `"value":1350,`}, "valueQuantity", "1350 g", "1340 g", true},
		"a weight, amended": {weightID, []string{`"value":1340,`, `"value":1350,`, `"final"`, `"amended"`},
			"valueQuantity", "1350 g", "1340 g", true},
		"a weight in kilograms": {weightID, []string{`"value":1340,`, `"value":1.35,`, `"code":"g"`, `"code":"kg"`},
			"valueQuantity", "1350 g", "1340 g", true},
		"another unit": {weightID, []string{`"code":"g"`, `"code":"[lb_av]"`},
			"valueQuantity", "1340 of another unit", "1340 g", false},
		"entered in error": {weightID, []string{`"status":"final"`, `"status":"entered-in-error"`},
			"status", "entered-in-error", "final", true},
		"one of two in error": {spo2ID, []string{`"status":"final"`, `"status":"entered-in-error"`},
			"status", "entered-in-error", "final", true},
		"preliminary": {weightID, []string{`"status":"final"`, `"status":"preliminary"`},
			"status", "preliminary", "final", false},
		"a moment": {weightID, []string{`T09:00:00+01:00"`, `T09:30:00+01:00"`},
			"effectiveDateTime", "2026-03-01T09:30:00+01:00", "2026-03-01T09:00:00+01:00", true},
		"a moment of one of two": {spo2ID, []string{`T09:10:00+01:00"`, `T09:30:00+01:00"`},
			"effectiveDateTime", "2026-03-01T09:30:00+01:00", "2026-03-01T09:10:00+01:00", false},
		"a finding": {siteID, []string{`"finding-intact"`, `"finding-blanching"`},
			"valueCodeableConcept", "finding-blanching", "finding-intact", false},
		"a finding, in their words": {siteID, []string{`"finding-intact"`, `"Sorrel"`},
			"valueCodeableConcept", "a code", "finding-intact", false},
		"a note": {weightID, []string{`"status":`, `"note":[{"text":"Sorrel was wet"}],"status":`},
			"note", "words", "none", false},
		"an interpretation": {weightID, []string{`"status":`, `"interpretation":[{"text":"Sorrel"}],"status":`},
			"interpretation", "one", "none", false},
		"another infant": {weightID, []string{`"value":"0044"`, `"value":"0055"`},
			"subject", "another hospital number", "in-d", false},
	} {
		t.Run(name, func(t *testing.T) {
			now := edited(t, text, c.id, c.pairs...)
			got := readJSON([]byte(now), g)
			if len(got.Issues) > 0 {
				t.Fatalf("%v", got.Issues)
			}
			if c.path == "" {
				if len(got.Changed) > 0 {
					t.Fatalf("%v", got.Changed)
				}
				return
			}
			if len(got.Changed) != 1 || got.Changed[0].Path != c.path || got.Changed[0].Found != c.found ||
				!strings.HasPrefix(got.Changed[0].Allowed, c.sent+" was sent as ") ||
				strings.Contains(got.Changed[0].Allowed, "--amended "+c.id+" ") != c.named {
				t.Fatalf("%v", got.Changed)
			}
			if strings.Contains(fmt.Sprint(got.Changed), "Sorrel") {
				t.Errorf("a word of another's is told: %v", got.Changed)
			}
			holdAmended(t, g, now, c.id, c.named)
		})
	}
}

// holdAmended has somebody name what came back: it is charted, once, and then said by the
// record too.
func holdAmended(t *testing.T, g read.Given, text, id string, may bool) {
	t.Helper()
	g.Amended = []string{id}
	if got := readJSON([]byte(text), g); len(got.Issues) != 1 {
		t.Errorf("without --by, or what cannot be charted: %v", got.Issues)
	}
	g.By = "rn-heath"
	got := take(t, &g, text)
	if !may {
		if len(got.Issues) != 1 || got.Issues[0].Code != entry.CodeChanged {
			t.Errorf("%v", got.Issues)
		}
		return
	}
	if len(got.Issues)+len(got.Changed) > 0 || len(got.Entries) != 1 || !got.Entries[0].Amends() || got.Entries[0].By != "rn-heath" {
		t.Fatalf("%v %v %v", got.Issues, got.Changed, got.Entries)
	}
	g.Now = g.Now.Add(time.Hour)
	for _, named := range [][]string{g.Amended, nil} {
		g.Amended = named
		if again := take(t, &g, text); len(again.Issues)+len(again.Changed)+len(again.Entries) > 0 {
			t.Errorf("the same again: %v %v %v", again.Issues, again.Changed, again.Entries)
		}
	}
}

func TestAmendedIsOfTheEntryThatStands(t *testing.T) {
	g, text := weighing(t)
	g.By, g.Amended = "rn-heath", []string{weightID, spo2ID}
	now := edited(t, edited(t, text, weightID, `"value":1340,`, `"value":1350,`), spo2ID, `"final"`, `"entered-in-error"`)
	take(t, &g, now)
	stands := map[string]*entry.Standing{}
	for _, e := range entry.Replay(g.Held.(holding), readAt.Add(time.Hour)).Infants[0].Entries {
		stands[e.ID] = e
	}
	if got := stands[weightID[:36]].Fields[0].Value.Text; got != "1350" {
		t.Errorf("the weight is %s", got)
	}
	reading := stands[spo2ID[:36]]
	if rate, _ := reading.Number("heartRateBpm"); reading.Has("spo2Percent") || rate.String() != "150" {
		t.Errorf("the reading is %v", reading.Fields)
	}
	// What was sent first, once more, is an older one of ours.
	g.Amended = nil
	if got := readJSON([]byte(text), g); len(got.Changed) > 0 {
		t.Errorf("%v", got.Changed)
	}
	// What stands, changed anew.
	if got := readJSON([]byte(edited(t, text, weightID, `"value":1340,`, `"value":1360,`)), g); len(got.Changed) != 1 ||
		!strings.HasPrefix(got.Changed[0].Allowed, "1350 g was sent") {
		t.Errorf("%v", got.Changed)
	}
}

// The moment of one of two observations is the entry's: it moves where the entry is named.
func TestAMomentIsOfTheEntry(t *testing.T) {
	g, text := weighing(t)
	g.By, g.Amended = "rn-heath", []string{spo2ID[:36]}
	take(t, &g, edited(t, text, spo2ID, `T09:10:00+01:00"`, `T09:30:00+01:00"`))
	for _, e := range entry.Replay(g.Held.(holding), readAt.Add(time.Hour)).Infants[0].Entries {
		if e.ID == spo2ID[:36] && e.At.Text != "2026-03-01T09:30:00+01:00" {
			t.Errorf("at %s", e.At.Text)
		}
	}
}

// What is named and did not come back is refused.
func TestAmendedIsOfWhatCameBack(t *testing.T) {
	g, text := weighing(t)
	g.By, g.Amended = "rn-heath", []string{weightID, "Sorrel"}
	got := readJSON([]byte(text), g)
	if len(got.Issues) != 1 || got.Issues[0].Path != "--amended" || strings.Contains(got.Issues[0].String(), "Sorrel") {
		t.Errorf("%v", got.Issues)
	}
}

// One that has lost our identifier is known by its id.
func TestWhatComesBackIsKnownByItsID(t *testing.T) {
	g, _ := weighing(t)
	x, err := fhir.New(handover.Ward{Entries: g.Held.(holding), Policy: g.Policy}, fhir.Ask{At: readAt, Known: readAt})
	if err != nil {
		t.Fatal(err)
	}
	out, err := x.Transaction(fhir.Put)
	if err != nil {
		t.Fatal(err)
	}
	text := edited(t, string(out), weightID, `"value":1340,`, `"value":1350,`)
	text = strings.Replace(text, `"identifier":[{"system":"`+g.Policy.FHIR.Base+`/identifier","value":"`+weightID+`"}],`, "", 1)
	at := strings.Index(text, `"extension":[{"url":"`+g.Policy.FHIR.Base)
	for ; at >= 0; at = strings.Index(text, `"extension":[{"url":"`+g.Policy.FHIR.Base) { // and what it carries
		end := at + strings.Index(text[at:], `"}],`) + len(`"}],`)
		text = text[:at] + text[end:]
	}
	got := readJSON([]byte(text), g)
	if len(got.Issues) > 0 || len(got.Changed) != 1 || got.Changed[0].Found != "1350 g" ||
		slices.ContainsFunc(got.Entries, func(e *entry.Entry) bool { return !e.Carried }) {
		t.Errorf("%v %v %v", got.Issues, got.Changed, got.Entries)
	}
}

// The Patient of a label that a number replaced comes back in silence: it was ended here.
func TestThePatientOfALabelComesBackInSilence(t *testing.T) {
	entries := fixture.Entries(t, []byte(`{"id":"0a5e0001-0000-4000-8000-000000000001","infant":"in-d","kind":"admission",`+
		`"at":"2026-03-01T08:00:00+01:00","by":"rn-dune","born":"2026-03-01","cot":"7","temporary":"Boy one"}
{"id":"0a5e0001-0000-4000-8000-000000000002","infant":"in-d","kind":"identity","at":"2026-03-01T09:00:00+01:00","by":"rn-dune","mrn":"0044"}`))
	g := sending(t, read.Given{Policy: fixture.WardPolicy(t), Held: holding(entries), Now: readAt})
	x, err := fhir.New(handover.Ward{Entries: entries, Policy: g.Policy}, fhir.Ask{At: readAt, Known: readAt})
	if err != nil {
		t.Fatal(err)
	}
	out, err := x.Transaction(fhir.Conditional)
	if err != nil {
		t.Fatal(err)
	}
	got := readJSON(out, g)
	if len(got.Issues)+len(got.Aside)+len(got.Changed) > 0 || !strings.Contains(string(out), `"type":"replaced-by"`) {
		t.Errorf("%v %v %v", got.Issues, got.Aside, got.Changed)
	}
}
