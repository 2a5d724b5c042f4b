package fhir

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

func encoded(r *resource) (string, error) {
	var e encoder
	err := e.resource(r)
	return string(e.out), err
}

func observed(change func(*r4.Observation)) *resource {
	o := &r4.Observation{Id: ptr("a"), Code: r4.CodeableConcept{Text: ptr("x")}, ValueQuantity: quantity("5.0", percent)}
	if change != nil {
		change(o)
	}
	return &resource{kind: "Observation", id: "a", status: final, body: o}
}

func TestEncode(t *testing.T) {
	got, err := encoded(observed(func(o *r4.Observation) {
		o.Text = &r4.Narrative{Div: `<div xmlns="http://www.w3.org/1999/xhtml"><p>a &lt; b & "c"</p></div>`}
	}))
	if err != nil {
		t.Fatal(err)
	}
	want := `{"resourceType":"Observation","id":"a","text":{"status":"generated","div":"<div xmlns=\"http://www.w3.org/1999/xhtml\"><p>a &lt; b & \"c\"</p></div>"},` +
		`"status":"final","code":{"text":"x"},"valueQuantity":{"value":5.0,"unit":"%","system":"http://unitsofmeasure.org","code":"%"}}`
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

func TestEncodePrimitiveExtension(t *testing.T) {
	got, err := encoded(&resource{kind: "Patient", id: "a", body: &r4.Patient{BirthDate: ptr("2026-03-01")},
		primitive: primitive{"birthDate", []r4.Extension{{Url: birthTimeURL, ValueDateTime: ptr("2026-03-01T07:00:00+01:00")}}}})
	if err != nil {
		t.Fatal(err)
	}
	want := `{"resourceType":"Patient","birthDate":"2026-03-01","_birthDate":{"extension":[{"url":"http://hl7.org/fhir/StructureDefinition/patient-birthTime","valueDateTime":"2026-03-01T07:00:00+01:00"}]}}`
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

// What is not FHIR is an error that names the element, never output.
func TestEncodeRefuses(t *testing.T) {
	for _, c := range []struct {
		name string
		r    *resource
		says string
	}{
		{"no status", &resource{kind: "Observation", id: "a", body: observed(nil).body}, "status: not set"},
		{"no status of a device", &resource{kind: "Device", id: "a", body: &r4.Device{}}, "status: not set"},
		{"another type's status", &resource{kind: "DeviceUseStatement", id: "a", status: final, body: &r4.DeviceUseStatement{Subject: *literal("Patient", "p"), Device: *literal("Device", "d")}}, `status: "final" is not a code`},
		{"an empty string", observed(func(o *r4.Observation) { o.Code.Text = ptr("") }), "code: text: empty"},
		{"blanks", observed(func(o *r4.Observation) { o.Code.Text = ptr(" \n") }), "code: text: empty"},
		{"an empty object", observed(func(o *r4.Observation) { o.Subject = &r4.Reference{} }), "subject: empty"},
		{"a required object", observed(func(o *r4.Observation) { o.Code = r4.CodeableConcept{} }), "code: empty"},
		{"an empty array", observed(func(o *r4.Observation) { o.Note = []r4.Annotation{} }), "note: empty"},
		{"a required string", observed(func(o *r4.Observation) { o.Note = []r4.Annotation{{}} }), "note: [0]: text: empty"},
		{"a control character", observed(func(o *r4.Observation) { o.Code.Text = ptr("a\x01") }), "control character"},
		{"no UTF-8", observed(func(o *r4.Observation) { o.Code.Text = ptr("a\xff") }), "UTF-8"},
		{"an exponent", observed(func(o *r4.Observation) { o.ValueQuantity.Value = ptr(json.Number("1e2")) }), "valueQuantity: value"},
		{"no digits", observed(func(o *r4.Observation) { o.ValueQuantity.Value = ptr(json.Number("")) }), "valueQuantity: value"},
		{"a code out of range", observed(func(o *r4.Observation) { o.Text = &r4.Narrative{Status: 99, Div: "x"} }), "out of range"},
	} {
		t.Run(c.name, func(t *testing.T) {
			out, err := encoded(c.r)
			if err == nil {
				t.Fatalf("no error: %s", out)
			}
			if !strings.Contains(err.Error(), c.says) {
				t.Errorf("%v; want %s", err, c.says)
			}
		})
	}
}

func TestDecimalForm(t *testing.T) {
	// R4 datatypes, regular expression of decimal, less the exponent.
	for s, want := range map[string]bool{"0": true, "5": true, "5.0": true, "-5.25": true, "0.30": true, "100": true,
		"05": false, ".5": false, "5.": false, "+5": false, "1e2": false, "": false, "-": false, "5,0": false, "١": false} {
		if isDecimal(s) != want {
			t.Errorf("isDecimal(%q) = %t", s, !want)
		}
	}
}

func TestStatusOfEveryConstructorIsDemanded(t *testing.T) {
	for kind, body := range map[string]any{"Observation": &r4.Observation{Code: r4.CodeableConcept{Text: ptr("x")}}, "Device": &r4.Device{},
		"DeviceUseStatement": &r4.DeviceUseStatement{Subject: *literal("Patient", "p"), Device: *literal("Device", "d")}} {
		if out, err := encoded(&resource{kind: kind, id: "a", body: body}); err == nil {
			t.Errorf("%s without a status: %s", kind, out)
		}
	}
}
