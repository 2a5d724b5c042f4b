package fhir_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"reflect"
	"testing"
	"time"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/fhir/internal/r4"
	"cotline/handover/entry"
)

// BenchmarkEncode writes a transaction of 500 resources of the demo ward from their
// models: our encoder, without and with the check that everything passes before it
// leaves; one written by hand for these resources alone; and the models' own. It
// holds ours to the bytes of the one by hand, and prints how they compare.
func BenchmarkEncode(b *testing.B) {
	w, ask := fixture.Demo(b)
	x, err := fhir.New(w, ask)
	if err != nil {
		b.Fatal(err)
	}
	x = x.First(500)
	bodies := x.Bodies()
	if len(bodies) != 500 {
		b.Fatalf("%d resources", len(bodies))
	}
	ours, err := x.Write(true)
	if err != nil {
		b.Fatal(err)
	}
	if hand := byHandBundle(nil, bodies); !bytes.Equal(hand, ours) {
		b.Fatalf("the one by hand writes other bytes:\n%s", firstDifference(hand, ours))
	}
	took := map[string]time.Duration{}
	run := func(name string, f func() []byte) {
		took[name] = time.Hour
		b.Run(name, func(b *testing.B) {
			b.ReportAllocs()
			b.SetBytes(int64(len(f())))
			for b.Loop() {
				began := time.Now()
				f()
				took[name] = min(took[name], time.Since(began))
			}
		})
	}
	run("ours", func() []byte { return must(x.Write(false)) })
	run("checked", func() []byte { return must(x.Write(true)) })
	run("check alone", func() []byte { r4.Check(ours); return ours })
	run("by hand", func() []byte { return byHandBundle(make([]byte, 0, len(ours)), bodies) })
	run("models", func() []byte { return modelsBundle(b, bodies) })
	// By the quickest run of each, for others may be at work on the machine.
	times := func(a, b string) float64 { return float64(took[a]) / float64(took[b]) }
	b.Run("ratios", func(b *testing.B) {
		b.ReportMetric(times("ours", "by hand"), "ours/hand")  // at most 3 is wanted
		b.ReportMetric(times("models", "ours"), "models/ours") // at least 5 is wanted
		b.ReportMetric(times("checked", "by hand"), "checked/hand")
		b.ReportMetric(times("models", "checked"), "models/checked")
		b.ReportMetric(0, "ns/op")
	})
}

func must(b []byte, err error) []byte {
	if err != nil {
		panic(err)
	}
	return b
}

func firstDifference(a, b []byte) string {
	n := 0
	for n < len(a) && n < len(b) && a[n] == b[n] {
		n++
	}
	from := max(0, n-200)
	return fmt.Sprintf("%s\n%s", a[from:min(len(a), n+100)], b[from:min(len(b), n+100)])
}

// modelsBundle is what the models make of it by themselves.
func modelsBundle(b *testing.B, bodies []fhir.Body) []byte {
	out := models.Bundle{Type: models.BundleTypeTransaction}
	for _, r := range bodies {
		text, err := json.Marshal(r.Model)
		if err != nil {
			b.Fatal(err)
		}
		url := "urn:uuid:" + r.ID
		out.Entry = append(out.Entry, models.BundleEntry{FullUrl: &url, Resource: text,
			Request: &models.BundleEntryRequest{Method: models.HTTPVerbPUT, Url: r.Type + "/" + r.ID}})
	}
	text, err := json.Marshal(out)
	if err != nil {
		b.Fatal(err)
	}
	return text
}

// --- by hand: the elements that these resources have, and no others ---

func byHandBundle(o []byte, bodies []fhir.Body) []byte {
	o = append(o, `{"resourceType":"Bundle","type":"transaction","entry":[`...)
	for n, r := range bodies {
		if n > 0 {
			o = append(o, ',')
		}
		o = append(o, `{"fullUrl":"urn:uuid:`...)
		o = append(o, r.ID...)
		o = append(o, `","resource":`...)
		switch m := r.Model.(type) {
		case *models.Observation:
			o = handObservation(o, m, r.Status)
		case *models.DeviceUseStatement:
			o = handUse(o, m, r.Status)
		case *models.Device:
			o = handDevice(o, m, r.Status)
		case *models.Patient:
			o = handPatient(o, m, r)
		}
		if r.Type == "Patient" {
			o = append(o, `,"request":{"method":"POST","url":"Patient","ifNoneExist":"identifier=`...)
			id := r.Model.(*models.Patient).Identifier[0]
			o = append(o, *id.System...)
			o = append(o, '|')
			o = append(o, *id.Value...)
		} else {
			o = append(o, `,"request":{"method":"PUT","url":"`...)
			o = append(o, r.Type...)
			o = append(o, '/')
			o = append(o, r.ID...)
		}
		o = append(o, `"}}`...)
	}
	return append(o, `]}`...)
}

func handHead(o []byte, kind string, id *string, meta *models.Meta, text *models.Narrative, extension []models.Extension) []byte {
	o = append(o, `{"resourceType":"`...)
	o = append(o, kind...)
	if kind != "Patient" { // which the receiver names
		o = handText(append(o, `","id":`...), *id)
	} else {
		o = append(o, '"')
	}
	if meta != nil {
		o = append(o, `,"meta":{"security":[`...)
		o = append(handCoding(o, meta.Security[0]), `]}`...)
	}
	o = append(o, `,"text":{"status":"generated","div":`...)
	o = append(handText(o, text.Div), '}')
	for n, x := range extension {
		if n == 0 {
			o = append(o, `,"extension":[`...)
		} else {
			o = append(o, ',')
		}
		o = handField(append(o, '{'), "url", &x.Url)
		o = append(handField(o, "valueString", x.ValueString), '}')
	}
	if len(extension) > 0 {
		o = append(o, ']')
	}
	return o
}

func handText(o []byte, s string) []byte { return entry.AppendString(o, s) }

func handField(o []byte, name string, s *string) []byte {
	if s == nil {
		return o
	}
	if o[len(o)-1] != '{' {
		o = append(o, ',')
	}
	o = append(o, '"')
	o = append(o, name...)
	return handText(append(o, `":`...), *s)
}

func handCoding(o []byte, c models.Coding) []byte {
	o = handField(append(o, '{'), "system", c.System)
	o = handField(o, "version", c.Version)
	o = handField(o, "code", c.Code)
	return append(handField(o, "display", c.Display), '}')
}

func handConcept(o []byte, name string, c *models.CodeableConcept) []byte {
	if c == nil {
		return o
	}
	if name != "" {
		o = append(o, `,"`...)
		o = append(o, name...)
		o = append(o, `":`...)
	}
	o = append(o, '{')
	if len(c.Coding) > 0 {
		o = append(o, `"coding":[`...)
		for n, x := range c.Coding {
			if n > 0 {
				o = append(o, ',')
			}
			o = handCoding(o, x)
		}
		o = append(o, ']')
	}
	return append(handField(o, "text", c.Text), '}')
}

func handIdentifiers(o []byte, all []models.Identifier) []byte {
	o = append(o, `,"identifier":[`...)
	for n, id := range all {
		if n > 0 {
			o = append(o, ',')
		}
		o = append(o, '{')
		if id.Use != nil {
			o = append(o, `"use":"`...)
			o = append(o, id.Use.Code()...)
			o = append(o, '"')
		}
		o = handConcept(o, "type", id.Type)
		o = handField(o, "system", id.System)
		o = handField(o, "value", id.Value)
		if id.Assigner != nil {
			o = append(handField(append(o, `,"assigner":{`...), "display", id.Assigner.Display), '}')
		}
		o = append(o, '}')
	}
	return append(o, ']')
}

func handReference(o []byte, name string, r *models.Reference) []byte {
	if r == nil {
		return o
	}
	if name != "" {
		o = append(o, `,"`...)
		o = append(o, name...)
		o = append(o, `":`...)
	}
	o = append(o, '{')
	if r.Reference != nil {
		o = append(o, `"reference":"urn:uuid:`...)
		o = append(o, (*r.Reference)[len(*r.Reference)-36:]...)
		o = append(o, '"')
	}
	o = handField(o, "type", r.Type)
	if r.Identifier != nil {
		if o[len(o)-1] != '{' {
			o = append(o, ',')
		}
		o = handField(append(o, `"identifier":{`...), "system", r.Identifier.System)
		o = append(handField(o, "value", r.Identifier.Value), '}')
	}
	return append(handField(o, "display", r.Display), '}')
}

func handReferences(o []byte, name string, all []models.Reference) []byte {
	if len(all) == 0 {
		return o
	}
	o = append(o, `,"`...)
	o = append(o, name...)
	o = append(o, `":[`...)
	for n := range all {
		if n > 0 {
			o = append(o, ',')
		}
		o = handReference(o, "", &all[n])
	}
	return append(o, ']')
}

func handQuantity(o []byte, q *models.Quantity) []byte {
	o = append(o, `{"value":`...)
	o = append(o, *q.Value...)
	o = handField(o, "unit", q.Unit)
	o = handField(o, "system", q.System)
	return append(handField(o, "code", q.Code), '}')
}

func handPeriod(o []byte, name string, p *models.Period) []byte {
	if p == nil {
		return o
	}
	o = append(o, `,"`...)
	o = append(o, name...)
	o = handField(append(o, `":{`...), "start", p.Start)
	return append(handField(o, "end", p.End), '}')
}

func handNotes(o []byte, all []models.Annotation) []byte {
	if len(all) == 0 {
		return o
	}
	o = append(o, `,"note":[`...)
	for n, a := range all {
		if n > 0 {
			o = append(o, ',')
		}
		o = append(o, '{')
		if a.AuthorReference != nil {
			o = handReference(append(o, `"authorReference":`...), "", a.AuthorReference)
		}
		o = handField(o, "time", a.Time)
		o = append(handField(o, "text", &a.Text), '}')
	}
	return append(o, ']')
}

func handValue(o []byte, q *models.Quantity, c *models.CodeableConcept, s *string, t *bool, n *int,
	absent *models.CodeableConcept) []byte {
	if q != nil {
		o = handQuantity(append(o, `,"valueQuantity":`...), q)
	}
	o = handConcept(o, "valueCodeableConcept", c)
	o = handField(o, "valueString", s)
	if t != nil {
		o = fmt.Appendf(o, `,"valueBoolean":%t`, *t)
	}
	if n != nil {
		o = fmt.Appendf(o, `,"valueInteger":%d`, *n)
	}
	return handConcept(o, "dataAbsentReason", absent)
}

func handObservation(o []byte, m *models.Observation, status string) []byte {
	o = handIdentifiers(handHead(o, "Observation", m.Id, m.Meta, m.Text, m.Extension), m.Identifier)
	o = handField(o, "status", &status)
	o = append(o, `,"category":[`...)
	o = append(handConcept(o, "", &m.Category[0]), ']')
	o = handConcept(o, "code", &m.Code)
	o = handReference(o, "subject", m.Subject)
	o = handReferences(o, "focus", m.Focus)
	o = handReference(o, "encounter", m.Encounter)
	o = handField(o, "effectiveDateTime", m.EffectiveDateTime)
	o = handPeriod(o, "effectivePeriod", m.EffectivePeriod)
	o = handField(o, "issued", m.Issued)
	o = handReferences(o, "performer", m.Performer)
	o = handValue(o, m.ValueQuantity, m.ValueCodeableConcept, m.ValueString, m.ValueBoolean, m.ValueInteger, m.DataAbsentReason)
	o = handNotes(o, m.Note)
	o = handConcept(o, "bodySite", m.BodySite)
	o = handConcept(o, "method", m.Method)
	o = handReference(o, "device", m.Device)
	o = handReferences(o, "hasMember", m.HasMember)
	o = handReferences(o, "derivedFrom", m.DerivedFrom)
	for n, c := range m.Component {
		if n == 0 {
			o = append(o, `,"component":[`...)
		} else {
			o = append(o, ',')
		}
		o = handConcept(append(o, `{"code":`...), "", &c.Code)
		o = append(handValue(o, c.ValueQuantity, c.ValueCodeableConcept, c.ValueString, c.ValueBoolean, c.ValueInteger,
			c.DataAbsentReason), '}')
	}
	if len(m.Component) > 0 {
		o = append(o, ']')
	}
	return append(o, '}')
}

func handUse(o []byte, m *models.DeviceUseStatement, status string) []byte {
	o = handIdentifiers(handHead(o, "DeviceUseStatement", m.Id, m.Meta, m.Text, m.Extension), m.Identifier)
	o = handField(o, "status", &status)
	o = handReference(o, "subject", &m.Subject)
	o = handReferences(o, "derivedFrom", m.DerivedFrom)
	o = handPeriod(o, "timingPeriod", m.TimingPeriod)
	o = handField(o, "recordedOn", m.RecordedOn)
	o = handReference(o, "source", m.Source)
	o = handReference(o, "device", &m.Device)
	o = handConcept(o, "bodySite", m.BodySite)
	return append(handNotes(o, m.Note), '}')
}

func handDevice(o []byte, m *models.Device, status string) []byte {
	o = handIdentifiers(handHead(o, "Device", m.Id, m.Meta, m.Text, m.Extension), m.Identifier)
	o = handField(o, "status", &status)
	o = handConcept(o, "type", m.Type)
	for n, p := range m.Property {
		if n == 0 {
			o = append(o, `,"property":[`...)
		} else {
			o = append(o, ',')
		}
		o = handConcept(append(o, `{"type":`...), "", &p.Type)
		if len(p.ValueQuantity) > 0 {
			o = append(handQuantity(append(o, `,"valueQuantity":[`...), &p.ValueQuantity[0]), ']')
		}
		if len(p.ValueCode) > 0 {
			o = append(handConcept(append(o, `,"valueCode":[`...), "", &p.ValueCode[0]), ']')
		}
		o = append(o, '}')
	}
	if len(m.Property) > 0 {
		o = append(o, ']')
	}
	return append(handReference(o, "patient", m.Patient), '}')
}

func handPatient(o []byte, m *models.Patient, r fhir.Body) []byte {
	o = handIdentifiers(handHead(o, "Patient", m.Id, m.Meta, m.Text, m.Extension), m.Identifier)
	for _, name := range m.Name {
		o = handField(append(o, `,"name":[{"use":"official"`...), "family", name.Family)
		if len(name.Given) > 0 {
			o = append(handText(append(o, `,"given":[`...), name.Given[0]), ']')
		}
		o = append(o, `}]`...)
	}
	if m.Gender != nil {
		o = append(o, `,"gender":"`...)
		o = append(o, m.Gender.Code()...)
		o = append(o, '"')
	}
	o = handField(o, "birthDate", m.BirthDate)
	if r.Extended != "" {
		for _, x := range reflect.ValueOf(r.Extension).Interface().([]models.Extension) {
			o = handField(append(o, `,"_birthDate":{"extension":[{`...), "url", &x.Url)
			o = append(handField(o, "valueDateTime", x.ValueDateTime), `}]}`...)
		}
	}
	if m.MultipleBirthBoolean != nil {
		o = fmt.Appendf(o, `,"multipleBirthBoolean":%t`, *m.MultipleBirthBoolean)
	}
	if m.MultipleBirthInteger != nil {
		o = fmt.Appendf(o, `,"multipleBirthInteger":%d`, *m.MultipleBirthInteger)
	}
	return append(o, '}')
}
