package fhir_test

import (
	"strings"
	"testing"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/page"
)

// R4, Bundle.identifier: persistent, the same wherever a bundle is copied. So other
// content has another one; and composition-status has final mean what was signed,
// amended what was changed after.
func TestVersionsOfASignedHandover(t *testing.T) {
	more := `
{"id":"0a5e0001-0000-4000-8000-00000000000c","kind":"handover","at":"2026-03-01T10:00:00+01:00","by":"rn-dune","to":"rn-elder","asOf":"2026-03-01T10:00:00+01:00","infants":["in-a"]}
{"id":"0a5e0001-0000-4000-8000-00000000000d","kind":"acceptance","at":"2026-03-01T10:05:00+01:00","by":"rn-elder","handover":"0a5e0001-0000-4000-8000-00000000000c","infants":["in-a"]}
{"id":"0a5e0001-0000-4000-8000-00000000000e","infant":"in-a","kind":"weight","at":"2026-03-01T10:30:00+01:00","by":"rn-elder","weightG":900}
{"id":"0a5e0001-0000-4000-8000-00000000000f","infant":"in-a","kind":"correction","at":"2026-03-01T10:40:00+01:00","by":"rn-elder","of":"0a5e0001-0000-4000-8000-00000000000e","reason":"misread","entry":{"kind":"weight","at":"2026-03-01T10:30:00+01:00","weightG":910}}
{"id":"0a5e0001-0000-4000-8000-000000000010","infant":"in-a","kind":"correction","at":"2026-03-01T11:00:00+01:00","by":"rn-elder","of":"0a5e0001-0000-4000-8000-000000000005","reason":"misread","entry":{"kind":"observations","at":"2026-03-01T09:00:00+01:00","spo2Percent":91,"heartRateBpm":151}}`
	entries := fixture.Entries(t, []byte(fixture.Small+more))
	w := handover.Ward{Entries: entries, Policy: fixture.WardPolicy(t)}
	at := fixture.Moment(t, "2026-03-01T10:00:00+01:00")
	var signed, accepted *entry.Entry
	for _, e := range entries {
		switch e.Kind {
		case "handover":
			signed = e
		case "acceptance":
			accepted = e
		}
	}
	type version struct{ bundle, composition, status, text string }
	of := func(known string, by ...*entry.Entry) version {
		h := handover.Compile(w, at, fixture.Moment(t, "2026-03-01T"+known+":00+01:00"), at.Add(-12*3600e9))
		issue := fhir.Edition{Handover: h, Words: page.Words(h, w.Policy), Signed: signed, Accepted: by, Chain: "c0ffee0123456789"}
		_, b := document(t, w, issue, "in-a")
		s := string(b)
		composition := fixture.After(s, `"resourceType":"Composition"`)
		return version{fixture.Between(s, `"value":"`, `"`), fixture.Between(composition, `"value":"`, `"`),
			fixture.Between(composition[strings.Index(composition, `</div>`):], `"status":"`, `"`), s}
	}
	first, taken := of("10:00"), of("10:06", accepted)
	same, amended := of("10:50", accepted), of("11:00", accepted)
	if first.status != "final" || taken.status != "final" || amended.status != "amended" {
		t.Errorf("%s, accepted %s, corrected %s", first.status, taken.status, amended.status)
	}
	if same.text != taken.text {
		t.Error("other bytes, though nothing of its time was written down since")
	}
	if first.bundle == taken.bundle || taken.bundle == amended.bundle || first.bundle == amended.bundle {
		t.Errorf("one identifier of two bundles: %s, %s, %s", first.bundle, taken.bundle, amended.bundle)
	}
	if first.composition != taken.composition || first.composition != amended.composition {
		t.Errorf("not one Composition: %s, %s, %s", first.composition, taken.composition, amended.composition)
	}
	// R4, Composition.relatesTo: what is issued again replaces what was signed, which it names.
	replaces := `"relatesTo":[{"code":"replaces","targetIdentifier":{"system":"https://moonwort.example/fhir/identifier","value":"` +
		first.bundle + `"}}]`
	if strings.Contains(first.text, "relatesTo") || !strings.Contains(taken.text, replaces) || !strings.Contains(amended.text, replaces) {
		t.Errorf("what is issued again does not say %s", replaces)
	}
	if !strings.HasSuffix(amended.bundle, ".c0ffee012345") {
		t.Errorf("%s does not end in the digits of the chain that stand on paper", amended.bundle)
	}
	if !strings.Contains(amended.text, `"timestamp":"2026-03-01T11:00:00+01:00"`) || !strings.Contains(amended.text, "SpO2: 91 %") {
		t.Error("the correction is not told")
	}
}
