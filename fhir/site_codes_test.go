package fhir_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/fhir/internal/r4"
	"cotline/fhir/read"
	"cotline/handover"
	"cotline/handover/entry"
)

func siteCodes(t testing.TB, text string) (r4.SiteCodes, []string) {
	t.Helper()
	v, issues := entry.ParseJSON([]byte(text))
	if len(issues) > 0 {
		t.Fatal(issues)
	}
	codes, issues := read.SiteCodesOf(v)
	var said []string
	for _, i := range issues {
		said = append(said, i.Path+" "+string(i.Code))
	}
	return codes, said
}

func TestSiteCodes(t *testing.T) {
	codes, issues := siteCodes(t, `{"cpap-pressure-set":[{"system":"http://loinc.org","code":"20077-4"}]}`)
	if len(issues) > 0 {
		t.Fatal(issues)
	}
	at := fixture.Moment(t, "2026-03-01T10:00:00+01:00")
	w := handover.Ward{Entries: fixture.Entries(t, []byte(fixture.Small)), Policy: fixture.WardPolicy(t)}
	b, err := fixture.Export(t, w, fhir.Ask{At: at, Known: at, Codes: codes}).Transaction(fhir.Put)
	if err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(string(b), `"display":"Set pressure"},{"system":"http://loinc.org","code":"20077-4"}],"text":"Set pressure"`) {
		t.Error("the site's coding does not follow our own")
	}
}

func TestSiteCodesRefused(t *testing.T) {
	_, got := siteCodes(t, `{"nonsense":[],"fio2-set":{"system":"x"},"flow-set":["x",{"code":"1"},{"system":"http://a.example"},`+
		`{"system":"http://loinc.org","code":"3151-9"},
		{"system":"http://loinc.org","code":"8867-4"},{"system":"http://a.example","code":"x","shown":"y"},{"system":"http://a.example","code":7}]}`)
	want := []string{"nonsense word", "fio2-set type", "flow-set[0] type", "flow-set[1].system format", "flow-set[2].code missing",
		"flow-set[3].code format",
		"flow-set[4].code format", "flow-set[5].shown unknown-field", "flow-set[6].code type", "flow-set[6].code missing"}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}
