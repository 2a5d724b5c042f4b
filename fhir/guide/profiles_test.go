package guide_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"cotline/fhir"
	"cotline/fhir/guide"
	"cotline/fhir/internal/fixture"
	"cotline/fhir/internal/r4"
	"cotline/handover"
	"cotline/internal/page"
)

// everything is what a ward exports when it sends every type, and the documents of
// its first three infants.
func everything(t *testing.T, w handover.Ward, ask fhir.Ask) []*r4.Resource {
	t.Helper()
	p := *w.Policy
	p.FHIR.Send = handover.SendTypes
	w.Policy = &p
	out := fixture.Export(t, w, ask).Resources
	h := handover.Compile(w, ask.At, ask.Known, ask.At.Add(-12*time.Hour))
	for _, s := range h.Infants[:min(len(h.Infants), 3)] {
		of, err := fhir.DocumentResources(w, fhir.Edition{Handover: h, Words: page.Words(h, w.Policy)}, s.Infant)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, of...)
	}
	return out
}

// demo is everything of the demo ward, made once: to be looked at only.
func demo(t *testing.T) []*r4.Resource {
	t.Helper()
	ofDemo.Do(func() {
		w, ask := fixture.Demo(t)
		ofDemo.all = everything(t, w, ask)
	})
	return ofDemo.all
}

var ofDemo struct {
	sync.Once
	all []*r4.Resource
}

func content(t *testing.T, r *r4.Resource, into any) {
	t.Helper()
	if err := json.Unmarshal(r.JSON, into); err != nil {
		t.Fatalf("%s/%s: %v", r.Type, r.ID, err)
	}
}

// Every resource of an export, a document or a difference keeps to its profile:
// what that asks for is there as often, says what it is to say and is of its value
// set; what it rules out is not there. And each profile has such a resource. HL7's
// engine, in internal/oracle, holds them so too.
func TestExportsKeepToTheProfiles(t *testing.T) {
	w, ask := fixture.Demo(t)
	l := load(t, w.Policy, nil)
	seen := map[string]int{}
	keep := func(all []*r4.Resource) {
		for _, r := range all {
			of := guide.ProfileOf(w.Policy, r)
			if of == "" {
				t.Fatalf("%s/%s has no profile", r.Type, r.ID)
			}
			seen[of]++
			var c map[string]any
			content(t, r, &c)
			for at := of; l.raw[at] != nil; at = l.raw[at]["baseDefinition"].(string) {
				for _, fault := range l.against(at, c) {
					t.Fatalf("%s against %s: %s", r.JSON, at, fault)
				}
			}
		}
	}
	keep(demo(t))
	for url, d := range l.raw {
		if d["resourceType"] == "StructureDefinition" && d["type"] != "Extension" && seen[url] == 0 {
			t.Errorf("nothing in the demo ward keeps to %s", url)
		}
	}
	p := *w.Policy
	p.FHIR.Send = handover.SendTypes
	w.Policy = &p
	keep(fixture.Delta(t, w, ask.At.Add(-30*time.Hour), ask).Resources)
	for seed := range fixture.Seeds(60, 1) {
		w, last := fixture.Random(t, seed, 3, 2)
		w.Policy.FHIR.Send = handover.SendTypes
		ask := fhir.Ask{At: last, Known: last.Add(24 * time.Hour)}
		keep(everything(t, w, ask))
		keep(fixture.Delta(t, w, last.Add(-20*time.Hour), ask).Resources)
	}
	gone := withdrawn(t)
	for _, kind := range []string{"Patient", "Encounter", "Observation", "Device", "DeviceUseStatement", "DeviceMetric", "Task", "Flag"} {
		if !slices.ContainsFunc(gone, func(r *r4.Resource) bool { return r.Type == kind }) {
			t.Errorf("no %s was withdrawn", kind)
		}
	}
	keep(gone)
}

// withdrawn is the difference after everything of an infant was withdrawn: it is on
// the demo's addresses, as those of the other resources are.
func withdrawn(t *testing.T) []*r4.Resource {
	t.Helper()
	more := `{"id":"0a5e0002-0000-4000-8000-000000000009","infant":"in-a","kind":"interface","at":"2026-03-01T08:31:00+01:00",` +
		`"by":"rn-dune","type":"mask","size":"pea"}
{"id":"0a5e0002-0000-4000-8000-00000000000a","infant":"in-a","kind":"observations","at":"2026-03-01T09:00:00+01:00","by":"rn-dune","spo2Percent":93,"heartRateBpm":151}
`
	for n, of := range []string{"a", "9", "6", "5", "4", "3", "2", "1"} {
		more += fmt.Sprintf(`{"id":"0a5e0003-0000-4000-8000-00000000000%d","infant":"in-a","kind":"retraction",`+
			`"at":"2026-03-01T11:00:00+01:00","by":"rn-elder","of":"0a5e0002-0000-4000-8000-00000000000%s","reason":"another unit's"}`+
			"\n", n, of)
	}
	noon := fixture.Moment(t, "2026-03-01T12:00:00+01:00")
	return fixture.Delta(t, fixture.TwinWard(t, more), noon.Add(-2*time.Hour), fhir.Ask{At: noon, Known: noon}).Resources
}

// A profile holds nothing that is left out: without any one element that it asks for,
// a resource no longer keeps to it.
func TestProfilesRefuseWhatIsLeftOut(t *testing.T) {
	w, _ := fixture.Demo(t)
	l := load(t, w.Policy, nil)
	tried := map[string]bool{}
	for _, r := range demo(t) {
		of := guide.ProfileOf(w.Policy, r)
		if tried[of] {
			continue
		}
		tried[of] = true
		for _, e := range l.elements(of) {
			_, path, _ := strings.Cut(e.Path, ".")
			if e.Min == 0 || strings.Contains(path, ".") || strings.Contains(e.ID, ":") {
				continue
			}
			var c map[string]any
			content(t, r, &c)
			for name := range c {
				if choice, open := strings.CutSuffix(path, "[x]"); name == path || open && strings.HasPrefix(name, choice) {
					delete(c, name)
				}
			}
			if len(l.against(of, c)) == 0 {
				t.Errorf("%s is taken without %s", of, path)
			}
		}
	}
}

// element is one of a differential, as far as it is held here.
type element struct {
	ID, Path, SliceName, Max string
	Min                      int
	FixedURI                 string `json:"fixedUri"`
	PatternCode              string
	PatternCoding            map[string]any
	PatternCodeableConcept   map[string]any
	PatternQuantity          map[string]any
	Binding                  struct{ ValueSet string }
}

func (l loaded) elements(profile string) []element {
	text, err := json.Marshal(l.raw[profile]["differential"])
	var d struct{ Element []element }
	if err == nil {
		err = json.Unmarshal(text, &d)
	}
	if err != nil {
		panic(err) // it was read before
	}
	return d.Element
}

// against says what of a resource does not keep to a profile alone, not to its base.
func (l loaded) against(profile string, content map[string]any) (faults []string) {
	for _, e := range l.elements(profile) {
		steps := strings.Split(e.Path, ".")[1:]
		if len(steps) == 0 || strings.HasSuffix(e.ID, ".coding:own.system") {
			continue
		}
		parents := []any{content}
		for _, step := range steps[:len(steps)-1] {
			var next []any
			for _, p := range parents {
				next = append(next, children(p, step)...)
			}
			parents = next
		}
		for _, p := range parents {
			found := children(p, steps[len(steps)-1])
			if e.SliceName != "" {
				found = slices.DeleteFunc(found, func(v any) bool { return !l.slice(e, v) })
			}
			if len(found) < e.Min || e.Max == "0" && len(found) > 0 || e.Max == "1" && len(found) > 1 {
				faults = append(faults, e.ID+" does not stand there as often as it should")
			}
			for _, v := range found {
				if !l.says(e, v) {
					faults = append(faults, e.ID+" says something else")
				}
			}
		}
	}
	return faults
}

// slice says whether a value is of the slice: an own coding, or a carried text.
func (l loaded) slice(e element, v any) bool {
	m := v.(map[string]any)
	if e.SliceName == "own" {
		return strings.HasSuffix(m["system"].(string), r4.OwnSystemPath)
	}
	return strings.HasSuffix(m["url"].(string), "/StructureDefinition/"+e.SliceName)
}

func (l loaded) says(e element, v any) bool {
	if e.Binding.ValueSet != "" {
		m := v.(map[string]any)
		return l.sets[e.Binding.ValueSet][m["system"].(string)+"|"+m["code"].(string)]
	}
	if e.PatternCode != "" {
		return v == e.PatternCode
	}
	for _, pattern := range []map[string]any{e.PatternCoding, e.PatternCodeableConcept, e.PatternQuantity} {
		if pattern != nil {
			return within(pattern, v)
		}
	}
	return true
}

// within says whether a value has all that a pattern has, in any order of a list.
func within(pattern, v any) bool {
	switch p := pattern.(type) {
	case map[string]any:
		m, ok := v.(map[string]any)
		for name, x := range p {
			ok = ok && within(x, m[name])
		}
		return ok
	case []any:
		list, ok := v.([]any)
		for _, x := range p {
			ok = ok && slices.ContainsFunc(list, func(y any) bool { return within(x, y) })
		}
		return ok
	}
	return pattern == v
}

// children are the values of an element of an object; of a choice, that of any type.
func children(of any, name string) []any {
	choice, open := strings.CutSuffix(name, "[x]")
	var out []any
	m, _ := of.(map[string]any)
	for n, v := range m {
		if n != name && !(open && strings.HasPrefix(n, choice)) {
			continue
		}
		if list, ok := v.([]any); ok {
			out = append(out, list...)
		} else {
			out = append(out, v)
		}
	}
	return out
}
