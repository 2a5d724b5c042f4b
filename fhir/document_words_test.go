package fhir_test

import (
	"slices"
	"strings"
	"testing"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/handover"
	"cotline/handover/entry"
)

// What the engine computed for the demo ward is in the words of its documents.
func TestDocumentsTellWhatIsComputed(t *testing.T) {
	w, ask := fixture.Demo(t)
	h := handover.Compile(w, ask.At, ask.Known, ask.At.Add(-12*3600e9))
	met := map[string]int{}
	for _, s := range h.Infants {
		_, b := document(t, w, fhir.Edition{Handover: h}, s.Infant)
		holds := func(what, words string) {
			met[what]++
			if !strings.Contains(string(b), words) {
				t.Errorf("%s: %s: %q is not told", s.Infant, what, words)
			}
		}
		if v := s.Humidifier.Value; v != nil && v.WaterEmptyAt.Value != nil {
			holds("water", "water runs out, by reckoning: "+entry.Stamp(*v.WaterEmptyAt.Value, w.Policy.Zone))
		}
		if v := s.Bonnet.Value; v != nil {
			for _, r := range v.Reasons {
				holds("bonnet", "look at head and bonnet: "+r.On.String()+", "+r.Reason)
			}
		}
		if v := s.Setup.Value; v != nil {
			for _, x := range v.Points {
				holds("sensor", "Oxygen sensor reading: "+x.ReadPercent.String()+" % in "+x.GasPercent.String()+" %, ")
			}
			if len(v.NotDone) > 0 {
				holds("not done", "set-up steps not done: "+strings.Join(v.NotDone, ", "))
			}
		}
		for _, x := range s.Due {
			if x.Task == "" {
				holds("due", `"code":"due-`+x.What+`"`)
			}
		}
		for range s.Plans {
			holds("plan", `"code":"plan"`)
		}
		var first strings.Builder // the first section: what needs somebody, then what is to be known
		now := func(x handover.Attention) bool { return x.Level == handover.Now }
		rows := slices.DeleteFunc(slices.Clone(s.Attention), func(x handover.Attention) bool { return !now(x) })
		for _, x := range append(rows, slices.DeleteFunc(slices.Clone(s.Attention), now)...) {
			first.WriteString("<p>" + map[string]string{handover.Now: "!! "}[x.Level] + x.Text)
			if !x.At.IsZero() {
				first.WriteString(", " + entry.Stamp(x.At, w.Policy.Zone))
			}
			first.WriteString("</p>")
		}
		if len(s.Attention) > 0 {
			holds("first", `"display":"Look first"`)
			if section := fixture.Between(string(b), `"section":[`, `"title":"Changes"`); !strings.Contains(section, first.String()) {
				t.Errorf("%s: the first section is not %s: %s", s.Infant, first.String(), section)
			}
		}
		for _, x := range s.Next {
			holds("next", "next: "+x.What+", ")
		}
		for _, x := range s.Old {
			holds("old", "older than its interval: "+x.Path+", ")
		}
		if x := s.HandedOver; x != nil {
			holds("handed over", "handed over as of "+entry.Stamp(x.AsOf, w.Policy.Zone))
		}
	}
	for _, what := range []string{"water", "bonnet", "sensor", "not done", "due", "plan", "first", "next", "old", "handed over"} {
		if met[what] == 0 {
			t.Errorf("the demo ward has no %s", what)
		}
	}
}
