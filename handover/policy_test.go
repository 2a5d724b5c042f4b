package handover_test

import (
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"cotline/handover"
	"cotline/handover/entry"
)

func decodePolicy(t testing.TB, text string) (*handover.Policy, []entry.Issue) {
	t.Helper()
	v, issues := entry.ParseJSON([]byte(text))
	if len(issues) > 0 {
		t.Fatal(issues)
	}
	return handover.DecodePolicy(v, time.LoadLocation)
}

func readPolicy(t testing.TB, text string) *handover.Policy {
	t.Helper()
	p, issues := decodePolicy(t, text)
	if len(issues) > 0 {
		t.Fatal(issues)
	}
	return p
}

func TestPolicyDefaults(t *testing.T) {
	p, issues := handover.DecodePolicy(entry.Value{}, time.LoadLocation)
	if len(issues) > 0 {
		t.Fatal(issues)
	}
	if p.Zone.String() != "Europe/Dublin" || p.RotationDue.Duration != 4*time.Hour || !p.OxygenSensor.None() ||
		p.MovedCm.String() != "1.0" {
		t.Errorf("defaults: %v %v %v %v", p.Zone, p.RotationDue, p.OxygenSensor, p.MovedCm)
	}
	for _, l := range p.Lines() {
		if l.Origin != handover.CommonPractice && l.Origin != handover.Published && l.Origin != handover.Invented && l.Value != "" &&
			l.Value != "[]" {
			t.Errorf("%s = %s: a default of origin %q", l.Path, l.Value, l.Origin)
		}
	}
}

func TestPolicyMerges(t *testing.T) {
	p := readPolicy(t, `{"unit":"Moonwort","every":{"rotationDue":"5h","care":{"position":"6h"}},"alarms":{"power":["plug out"]},`+
		`"setup":["gas"],"under":{"mask":["bridge"]}}`)
	if p.RotationDue.String() != "5h" || p.RotationOverdue.String() != "6h" {
		t.Error("a map merges key by key")
	}
	if p.Care["position"].String() != "6h" || !p.Care["mouth-care"].None() {
		t.Errorf("cares: %v", p.Care)
	}
	if len(p.Alarms) != 3 || cmp.Diff(p.Setup, []string{"gas"}) != "" {
		t.Errorf("a list replaces, a map merges: %v %v", p.Alarms, p.Setup)
	}
	if !p.LiesUnder("bridge", "mask") || p.LiesUnder("philtrum", "mask") || !p.LiesUnder("septum", "prongs") {
		t.Error("sites under an interface")
	}
	origin := map[string]handover.Origin{}
	for _, l := range p.Lines() {
		origin[l.Path] = l.Origin
	}
	if origin["every.rotationDue"] != handover.UnitPolicy || origin["every.rotationOverdue"] != handover.CommonPractice {
		t.Errorf("origins: %v", origin)
	}
}

func TestPolicyOfWhatIsLookedAtFirst(t *testing.T) {
	p := readPolicy(t, `{}`)
	if p.Humidifier.String() != "4h" || p.Safety.String() != "12h" || p.NextWithin != 12*time.Hour || p.Doubt.Twice != time.Minute ||
		p.Doubt.HeadZ.String() != "5" || p.Doubt.WeightWithin != 72*time.Hour || p.FHIR.Left != 30*24*time.Hour || len(p.FHIR.Leave) != 0 {
		t.Errorf("defaults: %v %v %v %+v %v", p.Humidifier, p.Safety, p.NextWithin, p.Doubt, p.FHIR.Left)
	}
	p = readPolicy(t, `{"every":{"care":{"eye-care":"4h"}},"cares":["eye-care"],"safety":["suction"],"sizes":{"cannula":["S"]},`+
		`"doubt":{"twice":"30s"},
		"thresholds":[{"name":"n","source":"s","first":true,"all":[{"field":"airwayC","is":"<","value":35}]}],"fhir":{"left":"7d","leave":["cares"]}}`)
	if p.Care["eye-care"].String() != "4h" || !p.Thresholds[0].First || p.Doubt.Twice != 30*time.Second ||
		p.Doubt.HeadCm.String() != "1.0" ||
		len(p.Sizes["cannula"]) != 1 || p.AllCares()[len(p.AllCares())-1] != "eye-care" || p.FHIR.Left != 7*24*time.Hour {
		t.Errorf("%+v", p)
	}
}

func TestPolicyWarnsOfHeadsThatNoBonnetFits(t *testing.T) {
	for text, want := range map[string]int{
		`{}`: 0,
		`{"sizes":{"bonnet":[{"name":"B","fromCm":22,"toCm":24},{"name":"A","fromCm":20,` +
			`"toCm":22}]}}`: 0,
		`{"sizes":{"bonnet":[{"name":"A","fromCm":20,"toCm":22},{"name":"B","fromCm":22.1,` +
			`"toCm":24}]}}`: 1,
		`{"sizes":{"bonnet":[{"name":"A","fromCm":20,"toCm":26},{"name":"B","fromCm":21,"toCm":22},{"name":"C","fromCm":25,` +
			`"toCm":28}]}}`: 0,
	} {
		if got := readPolicy(t, text).Warnings(); len(got) != want {
			t.Errorf("%s: %q", text, got)
		}
	}
}

// An entry is held to the unit's lists when it is taken; without a policy to none.
func TestPolicyLists(t *testing.T) {
	p := readPolicy(t, `{"sizes":{"mask":["pea","bean"],"bonnet":[{"name":"bud","fromCm":22,"toCm":24},{"name":"leaf","fromCm":24,`+
		`"toCm":26}]},"setup":["gas","power"],"safety":["suction"],"cares":["eye-care"]}`)
	want := &entry.Lists{Sizes: map[string][]string{"mask": {"pea", "bean"}}, Bonnets: []string{"bud", "leaf"},
		Steps:  []string{"gas", "power"},
		Safety: []string{"suction"}, Cares: append(slices.Clone(entry.Cares), "eye-care")}
	if diff := cmp.Diff(want, p.Lists()); diff != "" {
		t.Error(diff)
	}
	if (*handover.Policy)(nil).Lists() != nil {
		t.Error("lists of no policy")
	}
}

// A policy is kept as its canonical text, so that has to read back as the same.
func TestPolicyCanonical(t *testing.T) {
	for _, text := range []string{`{}`, `{"unit":null,"every":{"care":{"mouth-care":null}}}`,
		`{"tube":{"movedCm":0.50},"thresholds":[{"name":"n","all":[{"field":"sf","is":"<","value":200}],"source":"s"}],` +
			`"sizes":{"bonnet":[{"name":"bud","fromCm":22,"toCm":24.5}]}}`} {
		p := readPolicy(t, text)
		again := readPolicy(t, string(p.Canonical()))
		if diff := cmp.Diff(string(p.Canonical()), string(again.Canonical())); diff != "" {
			t.Error(diff)
		}
	}
}

func TestPolicyRefuses(t *testing.T) {
	for name, c := range map[string]struct {
		text string
		want []told
	}{
		"unknown key":         {`{"units":"x"}`, []told{{"units", entry.CodeUnknownField}}},
		"unknown key within":  {`{"every":{"rotation":"4h"}}`, []told{{"every.rotation", entry.CodeUnknownField}}},
		"a map is due":        {`{"every":"4h"}`, []told{{"every", entry.CodeType}}},
		"zone":                {`{"timezone":"Mars/Olympus"}`, []told{{"timezone", entry.CodeWord}}},
		"zone of the machine": {`{"timezone":"Local"}`, []told{{"timezone", entry.CodeWord}}},
		"shift":               {`{"shifts":["7:30"]}`, []told{{"shifts", entry.CodeFormat}}},
		"no shift":            {`{"shifts":[]}`, []told{{"shifts", entry.CodeMissing}}},
		"interval":            {`{"every":{"head":"weekly"}}`, []told{{"every.head", entry.CodeFormat}}},
		"interval of nothing": {`{"every":{"head":"0h"}}`, []told{{"every.head", entry.CodeFormat}}},
		"a number for one":    {`{"every":{"head":7}}`, []told{{"every.head", entry.CodeFormat}}},
		"overdue before due":  {`{"every":{"skinDue":"8h"}}`, []told{{"every.skinOverdue", entry.CodeOrder}}},
		"unknown care":        {`{"every":{"care":{"singing":"4h"}}}`, []told{{"every.care.singing", entry.CodeUnknownField}}},
		"care of every unit":  {`{"cares":["position"]}`, []told{{"cares", entry.CodeRepeated}}},
		"seconds":             {`{"every":{"head":"90s"}}`, []told{{"every.head", entry.CodeFormat}}},
		"doubt": {`{"doubt":{"headCm":-1,"twice":"often"}}`,
			[]told{{"doubt.headCm", entry.CodeRange}, {"doubt.twice", entry.CodeFormat}}},
		"first": {`{"thresholds":[{"name":"n","source":"s","first":"yes","all":[{"field":"sf","is":"<","value":200}]}]}`,
			[]told{{"thresholds[0].first", entry.CodeType}}},
		"what is left out": {`{"fhir":{"leave":["weights"]}}`, []told{{"fhir.leave", entry.CodeWord}}},
		"rotation of one":  {`{"rotation":{"types":["mask"]}}`, []told{{"rotation.types", entry.CodeWord}}},
		"range":            {`{"humidifier":{"targetC":370}}`, []told{{"humidifier.targetC", entry.CodeRange}}},
		"site under":       {`{"under":{"mask":["chin"]}}`, []told{{"under.mask", entry.CodeWord}}},
		"size twice":       {`{"sizes":{"mask":["S","S"]}}`, []told{{"sizes.mask", entry.CodeRepeated}}},
		"bonnet upside down": {`{"sizes":{"bonnet":[{"name":"a","fromCm":24,"toCm":22}]}}`,
			[]told{{"sizes.bonnet[0].fromCm", entry.CodeOrder}}},
		"bonnet without a name": {`{"sizes":{"bonnet":[{"fromCm":22,"toCm":24}]}}`, []told{{"sizes.bonnet[0].name", entry.CodeType}}},
		"threshold": {`{"thresholds":[{"name":"n","all":[{"field":"mood","is":"~","value":"x"}]}]}`,
			[]told{{"thresholds[0].source", entry.CodeType}, {"thresholds[0].all.field", entry.CodeWord},
				{"thresholds[0].all.is", entry.CodeWord}, {"thresholds[0].all.value", entry.CodeType}}},
		"staff key":        {`{"staff":[{"key":"rn teal"}]}`, []told{{"staff[0].key", entry.CodeFormat}}},
		"staff key twice":  {`{"staff":[{"key":"a"},{"key":"a"}]}`, []told{{"staff[1].key", entry.CodeRepeated}}},
		"relative address": {`{"fhir":{"base":"fhir"}}`, []told{{"fhir.base", entry.CodeFormat}}},
		"identifier": {`{"fhir":{"identifiers":{"mrn":{"assigner":"x"}}}}`,
			[]told{{"fhir.identifiers.mrn.system", entry.CodeType}}},
		"resource":          {`{"fhir":{"send":["Media"]}}`, []told{{"fhir.send", entry.CodeWord}}},
		"control character": {`{"unit":"a\u001b[2J"}`, []told{{"unit", entry.CodeText}}},
	} {
		t.Run(name, func(t *testing.T) {
			_, issues := decodePolicy(t, c.text)
			if diff := cmp.Diff(c.want, tell(issues)); diff != "" {
				t.Errorf("(-want +got)\n%s%v", diff, issues)
			}
			for _, i := range issues {
				if strings.ContainsAny(i.String(), "\n\x1b") {
					t.Errorf("not fit for a terminal: %q", i)
				}
			}
		})
	}
}
