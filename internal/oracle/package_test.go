//go:build outside

package oracle

import (
	"bytes"
	"encoding/json"
	"maps"
	"strings"
	"testing"
	"time"

	"cotline/fhir"
	"cotline/fhir/guide"
	"cotline/handover"
	"cotline/internal/page"
)

// HL7's engine loads the package and holds resources of every type to the profile of
// their kind, the claim that meta.profile would make: the package's own examples, the
// demo ward, documents of it, a night in which something was corrected and something
// withdrawn. A planted fault in each kind shows that the profiles do hold them.
func TestHL7HoldsExportsToThePackage(t *testing.T) {
	t.Parallel()
	w, at := demo(t)
	w = everyType(w)
	all := exported(t, w, fhir.Ask{At: at, Known: at}).Resources
	signed, accepted := lastSigned(t, w)
	asOf, _ := signed.Moment("asOf")
	for _, issue := range []fhir.Edition{
		{Handover: handover.Compile(w, at, at, time.Time{})},
		{Handover: handover.Compile(w, asOf.Time, signed.At.Time, asOf.Add(-12*time.Hour)), Signed: signed, Accepted: accepted},
	} {
		issue.Words = page.Words(issue.Handover, w.Policy)
		of, err := fhir.DocumentResources(w, issue, signed.List("infants")[0].Text)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, of...)
	}
	all = append(all, amended(t).delta.Resources...)
	var texts [][]byte
	var names []string
	claims := map[string]int{}
	add := func(name string, text []byte) { names, texts = append(names, name), append(texts, text) }
	files, err := guide.Package(w.Policy, all)
	if err != nil {
		t.Fatal(err)
	}
	examples := map[string][]byte{} // by type and id
	for _, f := range files {
		if name, ok := strings.CutPrefix(f.Name, "package/example/"); ok && f.Type != "" {
			examples[name] = bytes.TrimSpace(f.Content)
		} else if f.Type != "" {
			add(f.Name, bytes.TrimSpace(f.Content))
		}
	}
	shipped := len(texts)
	differential := map[string][]map[string]any{}
	for _, text := range texts {
		var d struct {
			URL          string
			Differential struct{ Element []map[string]any }
		}
		if err := json.Unmarshal(text, &d); err != nil {
			t.Fatal(err)
		}
		differential[d.URL] = d.Differential.Element
	}
	most := 5
	if *whole {
		most = 20
	}
	sound := map[string][]byte{}
	for _, r := range all {
		of := guide.ProfileOf(w.Policy, r)
		if of == "" {
			t.Fatalf("%s/%s has no profile", r.Type, r.ID)
		}
		var says struct{ Status string }
		if err := json.Unmarshal(r.JSON, &says); err != nil {
			t.Fatal(err)
		}
		shape := of + " " + says.Status
		if claims[shape]++; claims[shape] > most {
			continue // one kind has thousands, all of a few shapes
		}
		text := bytes.Replace(r.JSON, []byte(`"meta":{`), []byte(`"meta":{"profile":["`+of+`"],`), 1)
		if bytes.Equal(text, r.JSON) {
			t.Fatalf("%s/%s has no meta", r.Type, r.ID)
		}
		if sound[of] == nil { // the first of a profile is its example
			sound[of] = text
			if !bytes.Equal(examples[r.Type+"-"+r.ID+".json"], r.JSON) {
				t.Errorf("%s/%s is no example of %s", r.Type, r.ID, of)
			}
		}
		add(of, text)
	}
	for url, elements := range differential {
		if len(elements) > 0 && elements[0]["id"] != "Extension" && sound[url] == nil {
			t.Errorf("there is no example of %s", url)
		}
	}
	good := len(texts)
	for of, text := range sound {
		for what, fault := range faultsOf(t, text, differential[of]) {
			add("broken "+of+" "+what, fault)
		}
	}
	for n, issues := range validate(t, texts) {
		refused := 0
		for _, i := range issues {
			// it has no server of LOINC and SNOMED CT
			odd := n < shipped && i.Severity == "information" && i.ID != "CONCEPTMAP_GROUP_TARGET_SERVER_SIDE"
			if odd || i.refused() {
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
	t.Logf("%d definitions, %d resources of %d, %d of them with a fault; by profile and status: %v", shipped, len(texts)-shipped,
		len(all), len(texts)-good, claims)
}

// faultsOf are a resource with one fault each against its profile, by what it is:
// an element left out that is asked for, one there that is ruled out, codes that are
// not ours.
func faultsOf(t *testing.T, text []byte, elements []map[string]any) map[string][]byte {
	t.Helper()
	out := map[string][]byte{}
	ruledOut := map[string]string{
		"telecom":   `[{"system":"phone","value":"1"}]`,
		"component": `[{"code":{"text":"more"},"valueString":"more"}]`,
		"entity":    `[{"role":"source","what":{"display":"what"}}]`,
		"author":    `{"display":"who"}`,
		"owner":     `{"display":"who"}`,
	}
	for _, e := range elements {
		id := e["id"].(string)
		_, path, deep := strings.Cut(id, ".")
		if b, ok := e["binding"]; ok && b != nil {
			out["codes of "+id] = bytes.ReplaceAll(text, []byte("/CodeSystem/neonatal-cpap"), []byte("/CodeSystem/other"))
		}
		if !deep || strings.ContainsAny(path, ".:") {
			continue
		}
		var c map[string]json.RawMessage
		if err := json.Unmarshal(text, &c); err != nil {
			t.Fatal(err)
		}
		choice, open := strings.CutSuffix(path, "[x]")
		switch {
		case e["max"] == "0" && ruledOut[path] != "":
			c[path] = json.RawMessage(ruledOut[path])
		case e["min"] != 0.0:
			maps.DeleteFunc(c, func(name string, _ json.RawMessage) bool {
				return name == path || name == "_"+path || open && strings.HasPrefix(name, choice)
			})
		default:
			continue
		}
		fault, err := json.Marshal(c)
		if err != nil {
			t.Fatal(err)
		}
		out[path] = fault
	}
	return out
}
