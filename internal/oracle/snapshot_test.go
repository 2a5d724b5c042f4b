//go:build outside

package oracle

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"cotline/fhir/guide"
)

// profileText is a profile as far as it says how an element may stand in a resource.
type profileText struct {
	ID, URL, Type string
	Snapshot      struct{ Element []map[string]any }
}

// HL7's engine draws the same snapshots from the differentials as the package ships:
// the same elements in the same order, that say the same.
func TestHL7DrawsTheSameSnapshots(t *testing.T) {
	t.Parallel()
	w, _ := demo(t)
	shipped, err := guide.Definitions(w.Policy)
	if err != nil {
		t.Fatal(err)
	}
	var bare [][]byte
	var want []profileText
	for _, r := range shipped {
		if r.Type != "StructureDefinition" {
			continue
		}
		var p profileText
		var all map[string]json.RawMessage
		if err := json.Unmarshal(r.JSON, &p); err != nil {
			t.Fatal(err)
		}
		if err := json.Unmarshal(r.JSON, &all); err != nil {
			t.Fatal(err)
		}
		delete(all, "snapshot")
		text, err := json.Marshal(all)
		if err != nil {
			t.Fatal(err)
		}
		want, bare = append(want, p), append(bare, text)
	}
	file := filepath.Join(t.TempDir(), "definitions.ndjson")
	if err := os.WriteFile(file, bytes.Join(bare, []byte("\n")), 0o600); err != nil {
		t.Fatal(err)
	}
	drawn := answers[profileText](t, java(t, "validator", "Validate", "-Xmx1500m", file, "--snapshots"), bare)
	elements := 0
	for n, p := range drawn {
		elements += len(p.Snapshot.Element)
		if d := cmp.Diff(elementsOf(p), elementsOf(want[n])); d != "" {
			t.Errorf("%s: the engine's -, ours +\n%s", p.ID, d)
		}
	}
	t.Logf("%d elements of %d profiles", elements, len(drawn))
}

// elementsOf are the elements of a snapshot without their words, in which the two differ:
// each says what may stand there, how often, and what it is bound to.
func elementsOf(p profileText) (out []map[string]any) {
	for _, e := range p.Snapshot.Element {
		one := map[string]any{}
		for _, name := range []string{"id", "path", "sliceName", "slicing", "min", "max", "base", "contentReference", "type", "condition",
			"constraint", "mustSupport", "isModifier", "isSummary", "binding", "fixedUri", "patternCode", "patternCoding",
			"patternCodeableConcept", "patternQuantity"} {
			if e[name] != nil && e[name] != false {
				one[name] = withoutWords(e[name])
			}
			if id, _ := e["id"].(string); name == "condition" && strings.Contains(id, "xtension:") {
				delete(one, name) // the engine takes it over from the extension's own definition
			}
			if at, ok := one[name].(string); ok && name == "contentReference" {
				_, path, _ := strings.Cut(at, "#") // ours needs no other definition to be found
				one[name] = "#" + path
			}
		}
		out = append(out, one)
	}
	return out
}

// withoutWords is a part of an element without what is for people, or for other forms
// of FHIR than JSON.
func withoutWords(v any) any {
	switch v := v.(type) {
	case map[string]any:
		for _, name := range []string{"description", "human", "xpath", "extension"} {
			delete(v, name)
		}
		for _, x := range v {
			withoutWords(x)
		}
	case []any:
		for _, x := range v {
			withoutWords(x)
		}
	}
	return v
}
