package fhir_test

import (
	"bytes"
	"encoding/json"
	"regexp"
	"slices"
	"strings"
	"testing"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/fhir/internal/r4"
	"cotline/handover"
	"cotline/internal/page"
)

type documentForm struct {
	Type      string
	Timestamp string
	Entry     []struct {
		Resource struct {
			ResourceType, ID, Status string
			Identifier               json.RawMessage
			Title                    string
			Section                  []struct {
				Title string
				Text  struct{ Div string }
				Entry []struct{ Reference string }
			}
		}
	}
}

func document(t testing.TB, w handover.Ward, issue fhir.Edition, infant string) (documentForm, []byte) {
	t.Helper()
	b, err := fhir.Document(w, issue, infant)
	if err != nil {
		t.Fatal(err)
	}
	var d documentForm
	if err := json.Unmarshal(b, &d); err != nil {
		t.Fatal(err)
	}
	return d, b
}

// A document of each infant of the demo ward holds what the facts of its handover come
// from, with all that this refers to; nothing that is over; and nothing that neither a
// fact nor a section nor another resource needs.
func TestDocumentsOfTheDemoWard(t *testing.T) {
	w, ask := fixture.Demo(t)
	every := *w.Policy
	every.FHIR.Send = handover.SendTypes
	whole := map[string]*r4.Resource{}
	for _, r := range fixture.Export(t, handover.Ward{Entries: w.Entries, Policy: &every}, ask).Resources {
		whole[r.ID] = r
	}
	h := handover.Compile(w, ask.At, ask.Known, ask.At.Add(-12*3600e9))
	left := 0
	for _, s := range h.Infants {
		d, text := document(t, w, fhir.Edition{Handover: h, Words: page.Words(h, w.Policy)}, s.Infant)
		in := map[string]bool{}
		computed := 0
		for _, e := range d.Entry {
			r := e.Resource
			in[r.ID] = true
			is := whole[r.ID]
			switch {
			case is == nil && r.ResourceType == "Observation":
				computed++
			case r.ResourceType == "DeviceUseStatement" && r.Status != "active", r.ResourceType == "Task" && r.Status != "requested",
				r.ResourceType == "Flag" && r.Status != "active", r.ResourceType == "Basic":
				t.Errorf("%s: a %s that is %s", s.Infant, r.ResourceType, r.Status)
			case is != nil && is.Infant == "" && bytes.Count(text, []byte(`urn:uuid:`+r.ID)) < 2:
				t.Errorf("%s: nothing refers to %s %s", s.Infant, r.ResourceType, r.ID)
			}
		}
		needed := map[string]bool{}
		for _, entry := range sourcesOf(s.Facts()) {
			needed[entry] = true
		}
		for id, r := range whole {
			switch {
			case r.Infant != s.Infant || r.Type != "Observation":
			case needed[r.Entry] && !in[id]:
				t.Errorf("%s: %s %s, from which a fact comes, is not in the document", s.Infant, r.Kind, r.Entry)
			case !needed[r.Entry] && !in[id]:
				left++
			}
		}
		if computed < 3 {
			t.Errorf("%s: only %d figures of the handover", s.Infant, computed)
		}
		composition := d.Entry[0].Resource
		if composition.ResourceType != "Composition" || composition.Status != "preliminary" || len(composition.Section) != 12 {
			t.Errorf("%s: %s %s, %d sections", s.Infant, composition.ResourceType, composition.Status, len(composition.Section))
		}
		if !titled.MatchString(composition.Title) {
			t.Errorf("%s: a title of %q", s.Infant, composition.Title)
		}
	}
	if left < 1000 {
		t.Errorf("only %d Observations are history", left)
	}
}

// titled is a title that tells its moment to the minute.
var titled = regexp.MustCompile(`^Handover between shifts, .+, \d{4}-\d\d-\d\d \d\d:\d\d \([+-]\d\d:\d\d\)$`)

// sourcesOf are the entries that facts come from.
func sourcesOf(facts []handover.Fact) (out []string) {
	for _, f := range facts {
		if f.Name == "remarks" { // of what counts for nothing
			continue
		}
		if id, ok := f.Value.(string); ok && f.Name == "entry" {
			out = append(out, id)
		}
		out = append(append(out, sourcesOf(f.Parts)...), sourcesOf(f.Items)...)
	}
	return out
}

// The entries are carried when they are asked for, and change nothing else.
func TestDocumentsCarryEntries(t *testing.T) {
	w, ask := fixture.Demo(t)
	h := handover.Compile(w, ask.At, ask.Known, ask.At.Add(-12*3600e9))
	ids := func(carry bool) (out []string, text string) {
		issue := fhir.Edition{Handover: h, Words: page.Words(h, w.Policy), Entries: carry}
		d, b := document(t, w, issue, h.Infants[0].Infant)
		for _, e := range d.Entry {
			if e.Resource.ResourceType != "Basic" {
				out = append(out, e.Resource.ID)
			}
		}
		return out, string(b)
	}
	bare, read := ids(false)
	carrying, carried := ids(true)
	if !slices.Equal(bare, carrying) {
		t.Error("other resources")
	}
	const text = `/StructureDefinition/care-entry"`
	if strings.Contains(read, text) || strings.Count(carried, text) < 200 {
		t.Errorf("%d texts of entries, and %d where none is carried", strings.Count(carried, text), strings.Count(read, text))
	}
	for s, says := range map[string]string{read: "are not carried", carried: "to be read back"} {
		if !strings.Contains(fixture.After(s, `"code":"section-entries"`), says) {
			t.Errorf("the last section does not say %q", says)
		}
	}
}

func TestDocumentSaysWhatWasCorrected(t *testing.T) {
	more := `
{"id":"0a5e0001-0000-4000-8000-00000000000b","infant":"in-a","kind":"correction","at":"2026-03-01T09:30:00+01:00","by":"rn-elder","of":"0a5e0001-0000-4000-8000-000000000005","reason":"misread","entry":{"kind":"observations","at":"2026-03-01T09:00:00+01:00","spo2Percent":94,"heartRateBpm":151}}
{"id":"0a5e0001-0000-4000-8000-00000000000c","kind":"handover","at":"2026-03-01T10:00:00+01:00","by":"rn-dune","to":"rn-elder","asOf":"2026-03-01T10:00:00+01:00","infants":["in-a"]}
{"id":"0a5e0001-0000-4000-8000-00000000000d","kind":"acceptance","at":"2026-03-01T10:05:00+01:00","by":"rn-elder","handover":"0a5e0001-0000-4000-8000-00000000000c","infants":["in-a"]}`
	entries := fixture.Entries(t, []byte(fixture.Small+more))
	w := handover.Ward{Entries: entries, Policy: fixture.WardPolicy(t)}
	at := fixture.Moment(t, "2026-03-01T10:00:00+01:00")
	h := handover.Compile(w, at, at, at.Add(-12*3600e9))
	issue := fhir.Edition{Handover: h, Words: page.Words(h, w.Policy), Signed: entries[len(entries)-2], Accepted: entries[len(entries)-1:]}
	_, b := document(t, w, issue, "in-a")
	s := string(b)
	if _, again := document(t, w, issue, "in-a"); string(again) != s {
		t.Error("other bytes from the same handover")
	}
	for _, want := range []string{
		`"resourceType":"Provenance"`, `"recorded":"2026-03-01T09:30:00+01:00"`, `"text":"misread"`,
		`"attester":[{"mode":"professional","time":"2026-03-01T10:00:00+01:00"`, `"time":"2026-03-01T10:05:00+01:00"`,
		`"code":"61143-4","display":"Nurse Summary note"`, `SpO2: 94 %`, `S/F`,
	} {
		if want == `S/F` {
			want = `SpO2/FiO2 ratio: 376.00`
		}
		if !strings.Contains(s, want) {
			t.Errorf("%s is missing", want)
		}
	}
	if composition := fixture.After(s, `"resourceType":"Composition"`); !strings.Contains(
		composition[:strings.Index(composition, `"section"`)], `"status":"final"`) {
		t.Error("a signed handover is not final")
	}
	if _, err := fhir.Document(w, fhir.Edition{Handover: h, Words: page.Words(h, w.Policy)}, "in-z"); err == nil {
		t.Error("a document of an infant who is not there")
	}
}

// What no section leads to is named.
func TestCheckNamesWhatIsNotReached(t *testing.T) {
	w := handover.Ward{Entries: fixture.Entries(t, []byte(fixture.Small)), Policy: fixture.WardPolicy(t)}
	at := fixture.Moment(t, "2026-03-01T10:00:00+01:00")
	h := handover.Compile(w, at, at, at.Add(-12*3600e9))
	_, b := document(t, w, fhir.Edition{Handover: h, Words: page.Words(h, w.Policy)}, "in-a")
	beat := string(b)[:strings.Index(string(b), `.heartRateBpm"`)]
	id := fixture.Between(beat[strings.LastIndex(beat, `"id":"`):], `"id":"`, `"`)
	bad := strings.Replace(string(b), `{"reference":"urn:uuid:`+id+`"},`, "", 1)
	if bad == string(b) {
		t.Fatal("nothing was planted")
	}
	for _, f := range r4.Check([]byte(bad)) {
		if strings.Contains(f.Says, "not reached") {
			return
		}
	}
	t.Error("not named")
}
