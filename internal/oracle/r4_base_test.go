//go:build outside

package oracle

import (
	"archive/zip"
	"bytes"
	"encoding/json"
	"encoding/xml"
	"flag"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

var updateBase = flag.Bool("update-base", false, "rewrite fhir/guide/r4.json from HL7's definitions")

// The types of R4 that profiles of the package stand on, and those of data that they
// look into.
var baseTypes = []string{"Basic", "Composition", "Device", "DeviceMetric", "DeviceUseStatement", "Encounter", "Extension", "Flag",
	"Location", "Observation", "Patient", "Practitioner", "Provenance", "Task",
	"CodeableConcept", "Coding", "HumanName", "Identifier", "Period"}

// What the snapshots of the package are made from is what HL7's own definitions say,
// as they come with its engine.
func TestBaseIsThatOfR4(t *testing.T) {
	t.Parallel()
	want := baseOfR4(t)
	const file = "../../fhir/guide/r4.json"
	if *updateBase {
		if err := os.WriteFile(file, want, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Error("fhir/guide/r4.json is not what R4 defines: cd internal/oracle && go test -tags outside -run BaseIsThatOfR4 -update-base")
	}
}

type value struct {
	Value string `xml:"value,attr"`
}

type definitionXML struct {
	Name     value `xml:"name"`
	Snapshot struct {
		Element []elementXML `xml:"element"`
	} `xml:"snapshot"`
}

// elementXML is what of an element says how it may stand in a resource.
type elementXML struct {
	ID      string `xml:"id,attr"`
	Path    value  `xml:"path"`
	Slicing *struct {
		Discriminator []struct {
			Type value `xml:"type"`
			Path value `xml:"path"`
		} `xml:"discriminator"`
		Rules value `xml:"rules"`
	} `xml:"slicing"`
	Short value `xml:"short"`
	Min   value `xml:"min"`
	Max   value `xml:"max"`
	Base  struct {
		Path value `xml:"path"`
		Min  value `xml:"min"`
		Max  value `xml:"max"`
	} `xml:"base"`
	ContentReference value `xml:"contentReference"`
	Type             []struct {
		Extension []struct {
			URL   string `xml:"url,attr"`
			Value value  `xml:"valueUrl"`
		} `xml:"extension"`
		Code          value   `xml:"code"`
		Profile       []value `xml:"profile"`
		TargetProfile []value `xml:"targetProfile"`
	} `xml:"type"`
	Condition  []value `xml:"condition"`
	Constraint []struct {
		Key        value `xml:"key"`
		Severity   value `xml:"severity"`
		Human      value `xml:"human"`
		Expression value `xml:"expression"`
		Source     value `xml:"source"`
	} `xml:"constraint"`
	IsModifier       value `xml:"isModifier"`
	IsModifierReason value `xml:"isModifierReason"`
	IsSummary        value `xml:"isSummary"`
	Binding          *struct {
		Strength    value `xml:"strength"`
		Description value `xml:"description"`
		ValueSet    value `xml:"valueSet"`
	} `xml:"binding"`
}

// baseOfR4 is what r4.json has to be: each constraint once, and an element a line.
func baseOfR4(t *testing.T) []byte {
	t.Helper()
	elements, constraints := map[string][]map[string]any{}, map[string]any{}
	for _, d := range definitionsXML(t) {
		if !slices.Contains(baseTypes, d.Name.Value) {
			continue
		}
		for _, e := range d.Snapshot.Element {
			elements[d.Name.Value] = append(elements[d.Name.Value], e.json())
			for _, c := range e.Constraint {
				if c.Source.Value == "" { // it is the type's own
					c.Source.Value = "http://hl7.org/fhir/StructureDefinition/" + d.Name.Value
				}
				one := object("severity", c.Severity, "human", c.Human, "expression", c.Expression, "source", c.Source)
				if had := constraints[c.Key.Value]; had != nil && line(t, had) != line(t, one) {
					t.Fatalf("%s says two things:\n%s\n%s", c.Key.Value, line(t, had), line(t, one))
				}
				constraints[c.Key.Value] = one
			}
		}
	}
	out := []byte("{\"constraints\": {\n")
	for n, key := range sortedKeys(constraints) {
		out = append(out, separated(n)+line(t, key)+": "+line(t, constraints[key])...)
	}
	out = append(out, "\n}, \"types\": {\n"...)
	for n, name := range baseTypes {
		if elements[name] == nil {
			t.Fatalf("there is no %s", name)
		}
		out = append(out, separated(n)+line(t, name)+": [\n"...)
		for n, e := range elements[name] {
			out = append(out, separated(n)+line(t, e)...)
		}
		out = append(out, "\n]"...)
	}
	return append(out, "\n}}\n"...)
}

func (e *elementXML) json() map[string]any {
	out := object("path", e.Path, "short", e.Short, "max", e.Max, "contentReference", e.ContentReference, "isModifierReason",
		e.IsModifierReason)
	out["id"], out["min"], out["isModifier"], out["isSummary"] = e.ID, number(e.Min), true, true
	out["base"] = map[string]any{"path": e.Base.Path.Value, "min": number(e.Base.Min), "max": e.Base.Max.Value}
	for _, name := range []string{"isModifier", "isSummary"} {
		if (name == "isModifier" && e.IsModifier.Value != "true") || (name == "isSummary" && e.IsSummary.Value != "true") {
			delete(out, name)
		}
	}
	if e.Slicing != nil {
		var by []any
		for _, d := range e.Slicing.Discriminator {
			by = append(by, object("type", d.Type, "path", d.Path))
		}
		out["slicing"] = map[string]any{"discriminator": by, "rules": e.Slicing.Rules.Value}
	}
	if e.Binding != nil {
		if e.Binding.ValueSet.Value != "" {
			e.Binding.Description.Value = "" // which stands only where there is no value set
		}
		out["binding"] = object("strength", e.Binding.Strength, "description", e.Binding.Description, "valueSet", e.Binding.ValueSet)
	}
	add := func(name string, x any) {
		list, _ := out[name].([]any)
		out[name] = append(list, x)
	}
	for _, x := range e.Type {
		one := object("code", x.Code)
		for _, is := range x.Extension {
			if is.Value.Value != "" { // what type R4 has for one that it calls by FHIRPath's name
				one["extension"] = []any{map[string]any{"url": is.URL, "valueUrl": is.Value.Value}}
			}
		}
		for name, profiles := range map[string][]value{"profile": x.Profile, "targetProfile": x.TargetProfile} {
			for _, of := range profiles {
				list, _ := one[name].([]any)
				one[name] = append(list, of.Value)
			}
		}
		add("type", one)
	}
	for _, c := range e.Condition {
		add("condition", c.Value)
	}
	for _, c := range e.Constraint {
		add("keys", c.Key.Value)
	}
	return out
}

// definitionsXML are HL7's definitions of types, out of the archive that the engine
// takes them from.
func definitionsXML(t *testing.T) (all []definitionXML) {
	t.Helper()
	path, err := os.ReadFile(filepath.Join(made(t, "validator", "pom.xml", "Validate.java"), "classpath"))
	if err != nil {
		t.Fatal(err)
	}
	for _, jar := range strings.Split(string(path), ":") {
		if !strings.Contains(jar, "validation-resources-r4") {
			continue
		}
		archive, err := zip.OpenReader(strings.TrimSpace(jar))
		if err != nil {
			t.Fatal(err)
		}
		defer archive.Close()
		for _, name := range []string{"profiles-types.xml", "profiles-resources.xml"} {
			file, err := archive.Open("org/hl7/fhir/r4/model/profile/" + name)
			if err != nil {
				t.Fatal(err)
			}
			defer file.Close()
			var bundle struct {
				Entry []struct {
					Resource struct {
						StructureDefinition *definitionXML
					} `xml:"resource"`
				} `xml:"entry"`
			}
			if err := xml.NewDecoder(file).Decode(&bundle); err != nil {
				t.Fatal(err)
			}
			for _, e := range bundle.Entry {
				if e.Resource.StructureDefinition != nil {
					all = append(all, *e.Resource.StructureDefinition)
				}
			}
		}
	}
	return all
}

// object is what is said of its members, by name.
func object(pairs ...any) map[string]any {
	out := map[string]any{}
	for i := 0; i < len(pairs); i += 2 {
		if v := pairs[i+1].(value); v.Value != "" {
			out[pairs[i].(string)] = v.Value
		}
	}
	return out
}

func number(v value) json.Number { return json.Number(v.Value) }

func line(t *testing.T, v any) string {
	t.Helper()
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	if err := e.Encode(v); err != nil {
		t.Fatal(err)
	}
	return strings.TrimSpace(out.String())
}

func separated(n int) string {
	if n == 0 {
		return ""
	}
	return ",\n"
}

func sortedKeys(m map[string]any) []string {
	var keys []string
	for k := range m {
		keys = append(keys, k)
	}
	slices.Sort(keys)
	return keys
}
