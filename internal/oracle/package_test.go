//go:build outside

package oracle

import (
	"bytes"
	"strings"
	"testing"

	"cotline/fhir"
)

// HL7's engine loads the package and holds every resource of the demo ward to the
// profile of its kind: the claim that meta.profile would make. A planted fault in
// each kind shows that the profiles do hold them.
func TestHL7HoldsExportsToThePackage(t *testing.T) {
	w, at := demo(t)
	x := exported(t, w, fhir.Ask{At: at, Known: at})
	var texts [][]byte
	var names []string
	claims := map[string]int{}
	add := func(name string, text []byte) { names, texts = append(names, name), append(texts, text) }
	files, err := fhir.Package(w.Policy, nil)
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if f.Type != "" {
			add(f.Name, bytes.TrimSpace(f.Content))
		}
	}
	shipped := len(texts)
	sound := map[string][]byte{}
	for _, r := range x.Resources {
		of := fhir.ProfileOf(w.Policy, r)
		if claims[of]++; of == "" || claims[of] > 40 {
			continue // types without a profile; and one kind has thousands, all of a few shapes
		}
		text := bytes.Replace(r.JSON, []byte(`"meta":{`), []byte(`"meta":{"profile":["`+of+`"],`), 1)
		if bytes.Equal(text, r.JSON) {
			t.Fatalf("%s/%s has no meta", r.Type, r.ID)
		}
		if sound[of] == nil {
			sound[of] = text
		}
		add(of, text)
	}
	good := len(texts)
	for of, text := range sound {
		broken := bytes.Replace(text, []byte(`"identifier":[`), []byte(`"basedOn":[`), 1)
		if bytes.Contains(text, []byte(`"bodySite":{`)) {
			broken = bytes.Replace(broken, []byte("/CodeSystem/neonatal-cpap"), []byte("/CodeSystem/other"), -1)
		}
		add("broken "+of, broken)
	}
	for n, issues := range validate(t, texts) {
		refused := 0
		for _, i := range issues {
			if i.ID == "ERROR_GENERATING_SNAPSHOT" && strings.Contains(i.Text, "Unable to resolve package id hl7.fhir.r4.core#null") {
				t.Logf("%s: not looked at as a definition: to draw its snapshot the engine asks for a package of the core; resources that hold the extension are held to it", names[n])
				continue
			}
			if i.refused() {
				refused++
				if n < good {
					t.Errorf("%s: %s %s at %s: %s", names[n], i.Severity, i.ID, i.At, i.Text)
				}
			} else if n < shipped && i.Severity == "warning" {
				t.Logf("%s: %s at %s: %s", names[n], i.ID, i.At, i.Text)
			}
		}
		if n >= good && refused == 0 {
			t.Errorf("%s is taken", names[n])
		}
	}
	t.Logf("%d definitions; by profile: %v", shipped, claims)
}
