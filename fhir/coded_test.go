package fhir_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/handover"
)

// concept is a CodeableConcept as its codes, those of SNOMED CT with the system's mark.
type concept struct {
	Coding []struct{ System, Code string }
	Text   string
}

func (c concept) String() string {
	var out []string
	for _, x := range c.Coding {
		switch {
		case x.System == "http://snomed.info/sct":
			x.Code = "sct|" + x.Code
		case strings.HasSuffix(x.System, "/CodeSystem/unit-lists"):
			x.Code = "unit|" + x.Code
		}
		out = append(out, x.Code)
	}
	return strings.Join(out, "+")
}

type said struct {
	Code                 concept
	ValueCodeableConcept concept
	ValueBoolean         *bool
	ValueQuantity        struct{ Value json.Number }
}

func (s said) String() string {
	value := s.ValueCodeableConcept.String() + s.ValueQuantity.Value.String()
	if s.ValueBoolean != nil {
		value = fmt.Sprint(*s.ValueBoolean)
	}
	return strings.TrimSuffix(s.Code.String()+" = "+value, " = ")
}

// What is charted by a unit's own words or as one of several is told by codes: by a
// receiver who reads no text at all.
func TestMeaningIsInCodes(t *testing.T) {
	const head = `{"id":"0a5e0004-0000-4000-8000-00000000000%d","infant":"in-a","at":"2026-03-01T09:0%[1]d:00+01:00","by":"rn-dune",`
	entries := map[string][]string{
		`"kind":"setup","steps":[{"step":"gas-joined","done":true},{"step":"closed-end-held","done":false}],"around":["incubator"]`: {
			"setup",
			"setup-step+unit|step-gas-joined = true", "setup-step+unit|step-closed-end-held = false", "setup-around = around-incubator"},
		`"kind":"safety","items":[{"item":"bag-and-mask","ok":true}]`: {"safety-check", "safety-item+unit|item-bag-and-mask = true"},
		`"kind":"alarm","about":"low-pressure","tried":[{"cause":"lips open","found":false},{"cause":"a toy on the tube","found":true}]`: {
			"alarm-event = alarm-low-pressure", "alarm-cause+unit|cause-lips-open--e07aff9a = false", "alarm-cause = true"},
		`"kind":"care","what":"eye-care"`:   {"care = care-of-unit+unit|care-eye-care"},
		`"kind":"care","what":"mouth-care"`: {"care = care-mouth-care"},
		`"kind":"episode","signs":["apnoea"],"recovered":"touched"`: {"episode = sign-apnoea", "episode-sign = sign-apnoea",
			"episode-recovered = recovered-touched"},
		`"kind":"episode","signs":["desaturation","apnoea"],"during":"feed","recovered":"not-yet"`: {
			"episode = signs-apnoea-desaturation",
			"episode-sign = sign-desaturation", "episode-sign = sign-apnoea", "episode-during = during-feed",
			"episode-recovered = recovered-not-yet"},
		`"kind":"calibration","points":[{"gasPercent":20.9,"readPercent":21.0},{"gasPercent":100,"readPercent":99}]`: {
			"o2-sensor-check = o2-sensor-within-tolerance", "o2-sensor-reading-21 = 21.0", "o2-sensor-reading-100 = 99"},
		`"kind":"calibration","points":[{"gasPercent":100,"readPercent":90},{"gasPercent":40,"readPercent":41}]`: {
			"o2-sensor-check = o2-sensor-out-of-tolerance", "o2-sensor-reading-100 = 90", "o2-sensor-reading = 41"},
		`"kind":"calibration","points":[{"gasPercent":21,"readPercent":21}]`: {"o2-sensor-check", "o2-sensor-reading-21 = 21"},
	}
	for fields, want := range entries {
		t.Run(fields, func(t *testing.T) {
			if got := codedOf(t, fmt.Sprintf(head, 9)+fields+"}"); !slices.Equal(got, want) {
				t.Error(cmp.Diff(want, got))
			}
		})
	}
}

// codedOf is what the first Observation of an entry says, and what its components do.
func codedOf(t *testing.T, line string) []string {
	t.Helper()
	at := fixture.Moment(t, "2026-03-01T10:00:00+01:00")
	w := handover.Ward{Entries: fixture.Entries(t, []byte(fixture.Small+"\n"+line)), Policy: fixture.WardPolicy(t)}
	for _, r := range fixture.Export(t, w, fhir.Ask{At: at, Known: at}).Resources {
		if r.Type != "Observation" || !strings.HasPrefix(r.Entry, "0a5e0004") {
			continue
		}
		var o struct {
			said
			Component []said
		}
		if err := json.Unmarshal(r.JSON, &o); err != nil {
			t.Fatal(err)
		}
		out := []string{o.said.String()}
		for _, c := range o.Component {
			out = append(out, c.String())
		}
		return out
	}
	t.Fatal("no Observation")
	return nil
}

// A naris has the code of the ala of the nose, then the nose's as the coarser one, and
// like every site of a side that side as a component. SNOMED CT: Global Patient Set.
func TestSitesAndSides(t *testing.T) {
	sides := map[string]string{
		"naris-left":  "site-naris-left+sct|68598004+sct|113179006, skin-site-side = body-side-left+sct|7771000",
		"cheek-right": "site-cheek-right+sct|36141000, skin-site-side = body-side-right+sct|24028007",
		"septum":      "site-septum+sct|113179006",
	}
	line := `{"id":"0a5e0004-0000-4000-8000-000000000001","infant":"in-a","at":"2026-03-01T09:09:00+01:00","by":"rn-dune","kind":"skin",` +
		`"sites":[{"site":"naris-left","finding":"intact"},{"site":"cheek-right","finding":"intact"},` +
		`{"site":"septum","finding":"intact"}]}`
	at := fixture.Moment(t, "2026-03-01T10:00:00+01:00")
	w := handover.Ward{Entries: fixture.Entries(t, []byte(fixture.Small+"\n"+line)), Policy: fixture.WardPolicy(t)}
	seen := 0
	for _, r := range fixture.Export(t, w, fhir.Ask{At: at, Known: at}).Resources {
		var o struct {
			BodySite  concept
			Code      concept
			Component []said
		}
		if err := json.Unmarshal(r.JSON, &o); err != nil {
			t.Fatal(err)
		}
		if o.Code.String() != "skin-site-check" {
			continue
		}
		got := o.BodySite.String()
		for _, c := range o.Component {
			got += ", " + c.String()
		}
		if want := sides[strings.ReplaceAll(o.BodySite.Text, " ", "-")]; got != want {
			t.Errorf("%s: %s, want %s", o.BodySite.Text, got, want)
		}
		seen++
	}
	if seen != len(sides) {
		t.Errorf("%d sites", seen)
	}
}

// Pressure times oxygen goes by what it is: no word of it speaks of severity, and the
// code by which receivers know it stays the first.
func TestPressureTimesOxygenIsNoScoreOfIllness(t *testing.T) {
	w, last := fixture.Random(t, 3, 3, 2)
	w.Policy.FHIR.Send = handover.SendTypes
	seen := 0
	for _, r := range fixture.Export(t, w, fhir.Ask{At: last, Known: last}).Resources {
		if !strings.Contains(string(r.JSON), `"severity-score"`) {
			continue
		}
		seen++
		if strings.Contains(string(r.JSON), "Severity") || !strings.Contains(string(r.JSON), "<p>Set pressure times oxygen fraction") ||
			!strings.Contains(string(r.JSON), `"code":"severity-score"},{"system":"`+w.Policy.FHIR.Base+
				`/CodeSystem/neonatal-cpap","code":"pressure-times-oxygen","display":"Set pressure times oxygen fraction"}`) {
			t.Errorf("%s", r.JSON)
		}
	}
	if seen == 0 {
		t.Error("none was sent")
	}
}

// Why an entry was amended is told by a code, in the charter's words.
func TestProvenanceReasonsAreCoded(t *testing.T) {
	const more = `
{"id":"0a5e0004-0000-4000-8000-000000000001","infant":"in-a","kind":"correction","at":"2026-03-01T09:20:00+01:00","by":"rn-dune","of":"0a5e0001-0000-4000-8000-000000000005","reason":"the other probe","entry":{"kind":"observations","at":"2026-03-01T09:00:00+01:00","spo2Percent":91}}
{"id":"0a5e0004-0000-4000-8000-000000000002","infant":"in-a","kind":"retraction","at":"2026-03-01T09:30:00+01:00","by":"rn-dune","of":"0a5e0004-0000-4000-8000-000000000001","reason":"it was this one"}`
	at := fixture.Moment(t, "2026-03-01T10:00:00+01:00")
	w := handover.Ward{Entries: fixture.Entries(t, []byte(fixture.Small+more)), Policy: fixture.SendingAll(t)}
	var got []string
	for _, r := range fixture.Export(t, w, fhir.Ask{At: at, Known: at}).Resources {
		var p struct{ Reason []concept }
		if err := json.Unmarshal(r.JSON, &p); err != nil {
			t.Fatal(err)
		}
		for _, c := range p.Reason {
			got = append(got, c.String()+": "+c.Text)
		}
	}
	if want := []string{"amendment-corrected: the other probe", "amendment-taken-back: it was this one"}; !slices.Equal(got, want) {
		t.Error(cmp.Diff(want, got))
	}
}
