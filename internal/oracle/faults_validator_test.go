//go:build outside

package oracle

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"cotline/fhir"
)

// An engine that takes anything would prove nothing: each fault is planted in what
// it has taken, and named by the rule that must find it.
func TestHL7Refuses(t *testing.T) {
	t.Parallel()
	w, at := random(t, 1)
	x := exported(t, w, fhir.Ask{At: at, Known: at})
	one := exported(t, w, fhir.Ask{At: at, Known: at, Infant: x.Resources[len(x.Resources)-1].Infant})
	parts, err := one.Transactions(fhir.Sending{Mode: fhir.Put, Entries: 12})
	if err != nil {
		t.Fatal(err)
	}
	b := parts[0]
	heart, tube, skin := first(t, x, `"code":"8867-4"`), first(t, x, `"code":"gastric-tube"`), first(t, x, `"code":"skin-site-check"`)
	flow, use := first(t, x, `"code":"flow-set"`), first(t, x, `"resourceType":"DeviceUseStatement"`)
	var ref = `"reference":"urn:uuid:`
	faults := []struct {
		name     string
		in       []byte
		old, new string
		by       string // of the id or the text of the issue
	}{
		{"a reference to nothing", b, ref + between(b, ref, `"`), ref + "00000000-0000-4000-8000-000000000000", "Bundle_BUNDLE_Not_Local"},
		{"a fullUrl twice", b, `"fullUrl":"urn:uuid:` + between(b, `"fullUrl":"urn:uuid:`, `"`), `"fullUrl":"` +
			nth(b, `"fullUrl":"`, 1), "bdl-7"},
		{"no request", b, `,"request":{` + between(b, `,"request":{`, `}`) + `}`, ``, "bdl-3"},
		{"no narrative", heart, `"text":{` + between(heart, `"text":{`, `}`) + `},`, ``, "dom-6"},
		{"a script in the narrative", heart, `<p>`, `<script>x</script><p>`, "script"},
		{"no status", heart, `"status":"final",`, ``, "Observation.status"},
		{"an unknown status", heart, `"status":"final"`, `"status":"done"`, "done"},
		{"an unknown element", heart, `"issued":`, `"told":`, "told"},
		{"a name twice", heart, `"status":"final",`, `"status":"final","status":"final",`, "status"},
		{"no such day", heart, `"issued":"` + between(heart, `"issued":"`, `T`), `"issued":"2026-02-30`, "2026-02-30"},
		{"the wrong target", use, `"reference":"Patient/`, `"reference":"Device/`, "Device"},
		{"another unit of a vital sign", heart, `"code":"/min"`, `"code":"{beats}/min"`, "/min"},
		{"no UCUM code", flow, `"code":"L/min"`, `"code":"lpm"`, "lpm"},
		{"another LOINC display", heart, `"display":"Heart rate"`, `"display":"Pulse"`, "Pulse"},
		{"no such LOINC code", flow, `"code":"76272-4"`, `"code":"76272-5"`, "76272-5"},
		{"no such SNOMED CT code", skin, `http://snomed.info/sct","code":"` + between(skin, `http://snomed.info/sct","code":"`, `"`),
			`http://snomed.info/sct","code":"12345`, "12345"},
		{"no such own code", tube, `"code":"gastric-tube"`, `"code":"gastric-hose"`, "gastric-hose"},
		{"another own display", tube, `"display":"Gastric tube"`, `"display":"Gastric hose"`, "Gastric hose"},
		{"an unknown system", tube, `/CodeSystem/neonatal-cpap`, `/CodeSystem/other`, "CodeSystem/other"},
	}
	var texts [][]byte
	for _, f := range faults {
		bad := bytes.Replace(f.in, []byte(f.old), []byte(f.new), 1)
		if bytes.Equal(bad, f.in) {
			t.Fatalf("%s: nothing was planted", f.name)
		}
		texts = append(texts, bad)
	}
	spo2 := first(t, x, `"code":"2708-6"`)
	head, rest, _ := bytes.Cut(spo2, []byte(`,{"system":"http://loinc.org","code":"59408-5"`))
	_, rest, _ = bytes.Cut(rest, []byte(`]`))
	texts = append(texts, slices.Concat(head, []byte(`]`), rest))
	for n, issues := range validate(t, texts) {
		if n == len(faults) {
			if slices.ContainsFunc(issues, func(i issue) bool { return i.Severity != "information" }) {
				t.Errorf("2708-6 alone is not taken for a vital sign: %+v", issues)
			}
			continue
		}
		if !slices.ContainsFunc(issues, func(i issue) bool {
			return (i.refused() || i.Severity == "warning" && i.said("") < 0) && strings.Contains(i.ID+" "+i.Text, faults[n].by)
		}) {
			t.Errorf("%s was taken: %+v", faults[n].name, issues)
		}
	}
}

// first is the first resource of an export that holds a text.
func first(t *testing.T, x *fhir.Export, text string) []byte {
	t.Helper()
	for _, r := range x.Resources {
		if bytes.Contains(r.JSON, []byte(text)) {
			return r.JSON
		}
	}
	t.Fatalf("nothing holds %s", text)
	return nil
}

// between is what stands after the first text up to the next other one.
func between(b []byte, after, before string) string {
	_, rest, _ := strings.Cut(string(b), after)
	found, _, _ := strings.Cut(rest, before)
	return found
}

// nth is what stands in quotes after an occurrence of a text, counted from 0.
func nth(b []byte, after string, n int) string {
	found, _, _ := strings.Cut(strings.Split(string(b), after)[n+1], `"`)
	return found
}
