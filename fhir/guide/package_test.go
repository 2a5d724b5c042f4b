package guide_test

import (
	"bytes"
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"cotline/fhir"
	"cotline/fhir/guide"
	"cotline/fhir/internal/fixture"
	"cotline/fhir/internal/r4"
	"cotline/handover"
	"cotline/internal/page"
)

// loaded is a package as a receiver reads it.
type loaded struct {
	files   map[string][]byte
	codes   map[string]map[string]string // display by system and code
	sets    map[string]map[string]bool   // codes by value set
	targets []string                     // systems and codes that the concept map leads from
	raw     map[string]map[string]any    // by canonical address
}

func load(t *testing.T, p *handover.Policy, shown []*r4.Resource) loaded {
	t.Helper()
	files, err := guide.Package(p, shown)
	if err != nil {
		t.Fatal(err)
	}
	l := loaded{files: map[string][]byte{}, codes: map[string]map[string]string{}, sets: map[string]map[string]bool{},
		raw: map[string]map[string]any{}}
	for _, f := range files {
		if l.files[f.Name] != nil {
			t.Errorf("%s stands twice", f.Name)
		}
		l.files[f.Name] = f.Content
		var r struct {
			ResourceType, URL string
			Concept           []struct{ Code, Display string }
			Compose           struct {
				Include []struct {
					System  string
					Concept []struct{ Code string }
				}
			}
			Group []struct {
				Source  string
				Element []struct{ Code string }
			}
		}
		var raw map[string]any
		for _, into := range []any{&r, &raw} {
			if err := json.Unmarshal(f.Content, into); err != nil {
				t.Fatalf("%s: %v", f.Name, err)
			}
		}
		if r.URL != "" && r.ResourceType != "" {
			l.raw[r.URL] = raw
		}
		if r.ResourceType == "CodeSystem" {
			l.codes[r.URL] = map[string]string{}
			for _, c := range r.Concept {
				l.codes[r.URL][c.Code] = c.Display
			}
		}
		for _, in := range r.Compose.Include {
			l.sets[r.URL] = map[string]bool{}
			for _, c := range in.Concept {
				l.sets[r.URL][in.System+"|"+c.Code] = true
			}
		}
		for _, g := range r.Group {
			for _, e := range g.Element {
				l.targets = append(l.targets, g.Source+"|"+e.Code)
			}
		}
	}
	return l
}

// Everything that the package names is in it: codes of value sets and of the map,
// value sets and bases of profiles, the files of the index and of the guide.
func TestPackageIsWhole(t *testing.T) {
	w, _ := fixture.Demo(t)
	l := load(t, w.Policy, demo(t))
	has := func(where, coding string) {
		system, code, _ := strings.Cut(coding, "|")
		if l.codes[system][code] == "" {
			t.Errorf("%s names %s, which is not defined", where, coding)
		}
	}
	for url, set := range l.sets {
		for coding := range set {
			has(url, coding)
		}
	}
	for _, coding := range l.targets {
		has("the concept map", coding)
	}
	if len(l.targets) < 30 {
		t.Errorf("%d mappings", len(l.targets))
	}
	base := w.Policy.FHIR.Base
	for url, r := range l.raw {
		if r["resourceType"] != "StructureDefinition" {
			continue
		}
		if of := r["baseDefinition"].(string); strings.HasPrefix(of, base) && l.raw[of] == nil {
			t.Errorf("%s stands on %s, which is not there", url, of)
		}
		for _, e := range r["differential"].(map[string]any)["element"].([]any) {
			if b, ok := e.(map[string]any)["binding"].(map[string]any); ok && l.sets[b["valueSet"].(string)] == nil {
				t.Errorf("%s is bound to %s, which is not there", url, b["valueSet"])
			}
		}
	}
	indexed := 0
	for _, folder := range []string{"package/", "package/example/"} {
		var index struct {
			Files []struct{ Filename, ResourceType, ID string }
		}
		if err := json.Unmarshal(l.files[folder+".index.json"], &index); err != nil {
			t.Fatal(err)
		}
		for _, f := range index.Files {
			indexed++
			if !bytes.Contains(l.files[folder+f.Filename], []byte(`{"resourceType":"`+f.ResourceType+`","id":"`+f.ID+`"`)) {
				t.Errorf("%s%s is not what the index says", folder, f.Filename)
			}
		}
	}
	if indexed != len(l.files)-3 {
		t.Errorf("%d files are indexed of %d", indexed, len(l.files))
	}
	examples := 0
	for name := range l.files {
		if strings.HasPrefix(name, "package/example/") && !strings.HasSuffix(name, ".index.json") {
			examples++
		}
	}
	profiles := 0
	for url, r := range l.raw {
		if strings.HasPrefix(url, base+"/StructureDefinition/") && r["type"] != "Extension" {
			profiles++
		}
	}
	if examples != profiles {
		t.Errorf("%d examples of %d profiles", examples, profiles)
	}
}

// Every own code of any export, document or delta is in the package, and shows nothing
// but its very display there.
func TestCodesOfAnyExportResolve(t *testing.T) {
	w, ask := fixture.Demo(t)
	l := load(t, w.Policy, nil)
	used := map[string]bool{}
	var walk func(where string, v any)
	walk = func(where string, v any) {
		switch v := v.(type) {
		case []any:
			for _, x := range v {
				walk(where, x)
			}
		case map[string]any:
			system, _ := v["system"].(string)
			code, coded := v["code"].(string)
			if coded && strings.HasPrefix(system, w.Policy.FHIR.Base) {
				used[code] = true
				if shown, ok := v["display"]; l.codes[system][code] == "" || ok && l.codes[system][code] != shown {
					t.Errorf("%s: %s|%s: %v is defined as %q", where, system, code, v["display"], l.codes[system][code])
				}
			}
			for _, x := range v {
				walk(where, x)
			}
		}
	}
	look := func(where string, text []byte) {
		var v any
		if err := json.Unmarshal(text, &v); err != nil {
			t.Fatal(err)
		}
		walk(where, v)
	}
	each := func(where string, w handover.Ward, ask fhir.Ask) {
		for _, r := range fixture.Export(t, w, ask).Resources {
			look(where, r.JSON)
		}
		h := handover.Compile(w, ask.At, ask.Known, ask.At.Add(-12*60*60e9))
		for _, s := range h.Infants[:min(len(h.Infants), 3)] {
			text, err := fhir.Document(w, fhir.Edition{Handover: h, Words: page.Words(h, w.Policy)}, s.Infant)
			if err != nil {
				t.Fatal(err)
			}
			look(where, text)
		}
	}
	each("demo", w, ask)
	for seed := range fixture.Seeds(40, 1) {
		w, last := fixture.Random(t, seed, 3, 2)
		w.Policy.FHIR.Send = handover.SendTypes
		ask := fhir.Ask{At: last, Known: last}
		each("random", w, ask)
		for _, r := range fixture.Delta(t, w, last.Add(-9*60*60e9), ask).Resources {
			look("difference", r.JSON)
		}
	}
	if len(used) < 150 {
		t.Errorf("only %d own codes are used", len(used))
	}
}

// The same policy gives the same package.
func TestPackageIsTheSameAgain(t *testing.T) {
	w, _ := fixture.Demo(t)
	shown := fixture.DemoExport(t).Resources
	a, errA := guide.Package(w.Policy, shown)
	b, errB := guide.Package(w.Policy, shown)
	if errA != nil || errB != nil {
		t.Fatal(errA, errB)
	}
	if !slices.EqualFunc(a, b, func(x, y fhir.File) bool { return x.Name == y.Name && bytes.Equal(x.Content, y.Content) }) {
		t.Error("two packages differ")
	}
}

// What a receiver must support is what transactions ask of it, in every mode
// and whosever the Patients are.
func TestCapabilitiesAreWhatIsAsked(t *testing.T) {
	for _, patients := range []string{"conditional", "ours"} {
		t.Run(patients, func(t *testing.T) { capabilitiesAreWhatIsAsked(t, patients) })
	}
}

func capabilitiesAreWhatIsAsked(t *testing.T, patients string) {
	w, last := fixture.Random(t, 3, 3, 2)
	ask := fhir.Ask{At: last, Known: last}
	w.Policy.FHIR.Send, w.Policy.FHIR.Patients = handover.SendTypes, patients
	var statement struct {
		Rest []struct {
			Resource []struct {
				Type                                               string
				UpdateCreate, ConditionalCreate, ConditionalUpdate bool
			}
		}
	}
	for name, text := range load(t, w.Policy, nil).files {
		if strings.HasPrefix(name, "package/CapabilityStatement-") {
			if err := json.Unmarshal(text, &statement); err != nil {
				t.Fatal(err)
			}
		}
	}
	allowed := map[string]bool{}
	for _, r := range statement.Rest[0].Resource {
		allowed[r.Type+" PUT"], allowed[r.Type+" POST ifNoneExist"], allowed[r.Type+" PUT ?"] = r.UpdateCreate, r.ConditionalCreate,
			r.ConditionalUpdate
	}
	const more = `
{"id":"0a5e0001-0000-4000-8000-00000000000a","infant":"in-a","kind":"retraction","at":"2026-03-01T11:00:00+01:00","charted":"2026-03-01T11:00:00+01:00","by":"rn-elder","of":"0a5e0001-0000-4000-8000-000000000003","reason":"the other twin"}`
	noon := fixture.Moment(t, "2026-03-01T12:00:00+01:00")
	withdrawn := fixture.Delta(t, handover.Ward{Entries: fixture.Entries(t, []byte(fixture.Small+more)), Policy: w.Policy},
		noon.Add(-2*60*60e9), fhir.Ask{At: noon, Known: noon})
	labelled := fixture.Export(t, handover.Ward{Entries: fixture.Entries(t, []byte(strings.Replace(fixture.Small, `"mrn":"0042"`,
		`"temporary":"Boy one"`, 1))), Policy: w.Policy}, fhir.Ask{At: noon, Known: noon})
	asked := map[string]bool{}
	for _, mode := range []fhir.Mode{fhir.Put, fhir.Conditional} {
		for _, x := range []*fhir.Export{fixture.Export(t, w, ask), fixture.Delta(t, w, ask.At.Add(-12*60*60e9), ask), withdrawn,
			labelled} {
			b, err := x.Transaction(mode)
			if err != nil {
				t.Fatal(err)
			}
			for _, e := range fixture.RequestsOf(t, b).Entry {
				how := e.Resource.ResourceType + " " + e.Request.Method
				if e.Request.IfNoneExist != "" {
					how += " ifNoneExist"
				}
				if strings.Contains(e.Request.URL, "?") {
					how += " ?"
				}
				if asked[how] = true; !allowed[how] {
					t.Fatalf("%s is asked, and not said", how)
				}
			}
		}
	}
	for how, yes := range allowed {
		if yes && !asked[how] {
			t.Errorf("%s is said, and never asked", how)
		}
	}
}
