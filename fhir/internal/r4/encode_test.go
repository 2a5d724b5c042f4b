package r4

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	models "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

func encoded(r *Model) (string, error) {
	var e encoder
	err := e.resource(r)
	return string(e.out), err
}

func observed(change func(*models.Observation)) *Model {
	o := &models.Observation{Id: Ptr("a"), Code: models.CodeableConcept{Text: Ptr("x")}, ValueQuantity: Quantity("5.0", Percent)}
	if change != nil {
		change(o)
	}
	return &Model{Kind: "Observation", ID: "a", Status: Final, Body: o}
}

func TestEncode(t *testing.T) {
	got, err := encoded(observed(func(o *models.Observation) {
		o.Text = &models.Narrative{Div: `<div xmlns="http://www.w3.org/1999/xhtml"><p>a &lt; b & "c"</p></div>`}
	}))
	if err != nil {
		t.Fatal(err)
	}
	want := `{"resourceType":"Observation","id":"a","text":{"status":"generated",` +
		`"div":"<div xmlns=\"http://www.w3.org/1999/xhtml\"><p>a &lt; b & \"c\"</p></div>"},` +
		`"status":"final","code":{"text":"x"},"valueQuantity":{"value":5.0,"unit":"%","system":"http://unitsofmeasure.org","code":"%"}}`
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

func TestEncodePrimitiveExtension(t *testing.T) {
	got, err := encoded(&Model{Kind: "Patient", ID: "a", Body: &models.Patient{BirthDate: Ptr("2026-03-01")},
		Primitive: Primitive{"birthDate", []models.Extension{{Url: BirthTimeURL, ValueDateTime: Ptr("2026-03-01T07:00:00+01:00")}}}})
	if err != nil {
		t.Fatal(err)
	}
	want := `{"resourceType":"Patient","birthDate":"2026-03-01",` +
		`"_birthDate":{"extension":[{"url":"http://hl7.org/fhir/StructureDefinition/patient-birthTime",` +
		`"valueDateTime":"2026-03-01T07:00:00+01:00"}]}}`
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
}

// What is not FHIR is an error that names the element, never output.
func TestEncodeRefuses(t *testing.T) {
	for _, c := range []struct {
		name string
		r    *Model
		says string
	}{
		{"no status", &Model{Kind: "Observation", ID: "a", Body: observed(nil).Body}, "status: not set"},
		{"no status of a device", &Model{Kind: "Device", ID: "a", Body: &models.Device{}}, "status: not set"},
		{"another type's status", &Model{Kind: "DeviceUseStatement", ID: "a", Status: Final,
			Body: &models.DeviceUseStatement{Subject: *Literal("Patient", "p"), Device: *Literal("Device", "d")}},
			`status: "final" is not a code`},
		{"an empty string", observed(func(o *models.Observation) { o.Code.Text = Ptr("") }), "code: text: empty"},
		{"blanks", observed(func(o *models.Observation) { o.Code.Text = Ptr(" \n") }), "code: text: empty"},
		{"an empty object", observed(func(o *models.Observation) { o.Subject = &models.Reference{} }), "subject: empty"},
		{"a required object", observed(func(o *models.Observation) { o.Code = models.CodeableConcept{} }), "code: empty"},
		{"an empty array", observed(func(o *models.Observation) { o.Note = []models.Annotation{} }), "note: empty"},
		{"a required string", observed(func(o *models.Observation) { o.Note = []models.Annotation{{}} }), "note: [0]: text: empty"},
		{"a control character", observed(func(o *models.Observation) { o.Code.Text = Ptr("a\x01") }), "control character"},
		{"no UTF-8", observed(func(o *models.Observation) { o.Code.Text = Ptr("a\xff") }), "UTF-8"},
		{"an exponent", observed(func(o *models.Observation) { o.ValueQuantity.Value = Ptr(json.Number("1e2")) }), "valueQuantity: value"},
		{"no digits", observed(func(o *models.Observation) { o.ValueQuantity.Value = Ptr(json.Number("")) }), "valueQuantity: value"},
		{"a code out of range", observed(func(o *models.Observation) { o.Text = &models.Narrative{Status: 99, Div: "x"} }),
			"out of range"},
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
		if IsDecimal(s) != want {
			t.Errorf("isDecimal(%q) = %t", s, !want)
		}
	}
}

func TestStatusOfEveryConstructorIsDemanded(t *testing.T) {
	for kind, body := range map[string]any{"Observation": &models.Observation{Code: models.CodeableConcept{Text: Ptr("x")}},
		"Device":             &models.Device{},
		"DeviceUseStatement": &models.DeviceUseStatement{Subject: *Literal("Patient", "p"), Device: *Literal("Device", "d")}} {
		if out, err := encoded(&Model{Kind: kind, ID: "a", Body: body}); err == nil {
			t.Errorf("%s without a status: %s", kind, out)
		}
	}
}
