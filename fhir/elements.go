package fhir

import (
	"encoding/json"

	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover/entry"
)

// Constructors of the elements of FHIR. They take concepts and units of codes.go,
// and text as it was charted.

func ptr[T any](v T) *T { return &v }

// some is a pointer to text that is there, nil without any.
func some(s string) *string {
	if s == "" {
		return nil
	}
	return &s
}

func (s standard) coding() r4.Coding {
	return r4.Coding{System: &s.system, Code: &s.code, Display: some(s.display)}
}

// codes makes CodeableConcepts: own codes live under fhir.base, and the site's
// further codings follow.
type codes struct {
	system string // of the own codes
	site   SiteCodes
}

// concept is the own coding first, the standard ones after it, and always a text.
func (c codes) concept(of concept) *r4.CodeableConcept {
	cc := &r4.CodeableConcept{Text: ptr(of.text)}
	if of.code != "" {
		cc.Coding = append(cc.Coding, standard{c.system, of.code, of.display}.coding())
	}
	for _, s := range of.standard {
		cc.Coding = append(cc.Coding, s.coding())
	}
	cc.Coding = append(cc.Coding, c.site[of.code]...)
	return cc
}

// said is a concept with a text of its own in place of the display: the size
// beside the type, the step's name.
func (c codes) said(of concept, text string) *r4.CodeableConcept {
	cc := c.concept(of)
	cc.Text = &text
	return cc
}

func quantity(text string, u unit) *r4.Quantity {
	return &r4.Quantity{Value: ptr(json.Number(text)), Unit: ptr(u.text), System: ptr(ucumSystem), Code: ptr(u.ucum)}
}

// value is one choice of value[x]; its zero value is none.
type value struct {
	quantity *r4.Quantity
	concept  *r4.CodeableConcept
	text     *string
	truth    *bool
	whole    *int
	moment   *string
	absent   *r4.CodeableConcept // why there is none
}

func measured(text string, u unit) value      { return value{quantity: quantity(text, u)} }
func coded(c *r4.CodeableConcept) value       { return value{concept: c} }
func told(text string) value                  { return value{text: &text} }
func counted(n int) value                     { return value{whole: &n} }
func truth(b bool) value                      { return value{truth: &b} }
func missing(why *r4.CodeableConcept) value   { return value{absent: why} }
func literal(kind, id string) *r4.Reference   { return &r4.Reference{Reference: ptr(kind + "/" + id)} }
func texted(text string) *r4.CodeableConcept  { return &r4.CodeableConcept{Text: &text} }
func identifier(sys, v string) *r4.Identifier { return &r4.Identifier{System: &sys, Value: &v} }

// component is a part of an Observation.
type component struct {
	code *r4.CodeableConcept
	value
}

func (c component) model() r4.ObservationComponent {
	return r4.ObservationComponent{Code: *c.code, ValueQuantity: c.quantity, ValueCodeableConcept: c.concept,
		ValueString: c.text, ValueBoolean: c.truth, ValueInteger: c.whole, ValueDateTime: c.moment, DataAbsentReason: c.absent}
}

// number is a numeric field as it was charted.
func number(fields []entry.Field, name string) (string, bool) {
	for _, f := range fields {
		if f.Name == name && f.Value.Type == entry.NumberValue {
			return f.Value.Text, true
		}
	}
	return "", false
}

// boolean is a true-or-false field and whether it was charted.
func boolean(e *entry.Standing, name string) (bool, bool) { return e.Flag(name), e.Has(name) }
