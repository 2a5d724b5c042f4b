package r4

import (
	"encoding/json"
	"slices"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
	"cotline/handover/entry"
)

// Constructors of the elements of FHIR. They take concepts and units of codes*.go,
// and text as it was charted.

// Ptr is a pointer to a value, for the optional elements of the library's types.
func Ptr[T any](v T) *T { return &v }

// Some is a pointer to text that is there, nil without any.
func Some(s string) *string {
	if s == "" {
		return nil
	}
	return &s
}

// Coding is a Coding without version; a display stands in it only where the code has one.
func (s Standard) Coding() models.Coding {
	return models.Coding{System: &s.System, Code: &s.Code, Display: Some(s.Display)}
}

// Codes makes CodeableConcepts: own codes live under fhir.base, and the site's
// further codings follow.
type Codes struct {
	System string // of the own codes
	Site   SiteCodes
	made   map[madeOf][]made
}

// madeOf and made are a concept that was said before: most are said again and again.
type (
	madeOf struct{ code, text string }
	made   struct {
		of Concept
		cc *models.CodeableConcept
	}
)

// CodesOf are the codes of a record, with a site's further ones.
func CodesOf(p *handover.Policy, site SiteCodes) Codes {
	return Codes{System: p.FHIR.Base + OwnSystemPath, Site: site, made: map[madeOf][]made{}}
}

// Concept is the own coding first, the standard ones after it, and always a text. It is
// the same one each time, so nothing changes it.
func (c Codes) Concept(of Concept) *models.CodeableConcept {
	by := madeOf{of.Code, of.Text}
	for _, m := range c.made[by] {
		if m.of.Display == of.Display && m.of.Also == of.Also && slices.Equal(m.of.Standard, of.Standard) {
			return m.cc
		}
	}
	cc := &models.CodeableConcept{Text: Ptr(of.Text)}
	if of.Code != "" {
		cc.Coding = append(cc.Coding, Standard{c.System, of.Code, of.Display}.Coding())
	}
	if of.Also != nil {
		cc.Coding = append(cc.Coding, Standard{c.System, of.Also.Code, of.Also.Display}.Coding())
	}
	for _, s := range of.Standard {
		cc.Coding = append(cc.Coding, s.Coding())
	}
	cc.Coding = slices.Clip(append(cc.Coding, c.Site[of.Code]...))
	c.made[by] = append(c.made[by], made{of, cc})
	return cc
}

// Said is a concept whose text is another than its display: it says the size beside the
// type, or the name of a step.
func (c Codes) Said(of Concept, text string) *models.CodeableConcept {
	return &models.CodeableConcept{Coding: c.Concept(of).Coding, Text: &text}
}

// Quantity is a number with the digits that were charted, in a unit of UCUM.
func Quantity(text string, u Unit) *models.Quantity {
	return &models.Quantity{Value: Ptr(json.Number(text)), Unit: &u.Text, System: &ucum, Code: &u.UCUM}
}

var ucum = UCUMSystem

// Value is one choice of value[x]; its zero value is none.
type Value struct {
	Quantity *models.Quantity
	Concept  *models.CodeableConcept
	Text     *string
	Truth    *bool
	Whole    *int
	moment   *string
	Absent   *models.CodeableConcept // why there is none
}

// Measured is a number with its unit, by the digits that were charted.
func Measured(text string, u Unit) Value { return Value{Quantity: Quantity(text, u)} }

// Coded is a word.
func Coded(c *models.CodeableConcept) Value { return Value{Concept: c} }

// Told is free text.
func Told(text string) Value { return Value{Text: &text} }

// Counted is a whole number without a unit.
func Counted(n int) Value { return Value{Whole: &n} }

// Truth is true or false.
func Truth(b bool) Value { return Value{Truth: &b} }

// Missing is no value, and why there is none.
func Missing(why *models.CodeableConcept) Value { return Value{Absent: why} }

// Literal is a reference to a resource by its type and id.
func Literal(kind, id string) *models.Reference {
	return &models.Reference{Reference: Ptr(kind + "/" + id)}
}

// Texted is a concept that has no code.
func Texted(text string) *models.CodeableConcept { return &models.CodeableConcept{Text: &text} }

// IdentifierOf is an identifier in a name space.
func IdentifierOf(sys, v string) *models.Identifier {
	return &models.Identifier{System: &sys, Value: &v}
}

// Component is a part of an Observation.
type Component struct {
	code *models.CodeableConcept
	Value
}

// ComponentOf is the component of a code and its value.
func ComponentOf(code *models.CodeableConcept, v Value) Component { return Component{code, v} }

// Element is the component as FHIR has it.
func (c Component) Element() models.ObservationComponent {
	return models.ObservationComponent{Code: *c.code, ValueQuantity: c.Quantity, ValueCodeableConcept: c.Concept,
		ValueString: c.Text, ValueBoolean: c.Truth, ValueInteger: c.Whole, ValueDateTime: c.moment, DataAbsentReason: c.Absent}
}

// NumberOf is the digits of a numeric field as they were charted, false when it was not.
func NumberOf(fields []entry.Field, name string) (string, bool) {
	for _, f := range fields {
		if f.Name == name && f.Value.Type == entry.NumberValue {
			return f.Value.Text, true
		}
	}
	return "", false
}

// BooleanOf is a true-or-false field and whether it was charted.
func BooleanOf(e *entry.Standing, name string) (bool, bool) { return e.Flag(name), e.Has(name) }

// StringOf is an optional text, empty where there is none.
func StringOf(s *string) string {
	if s == nil {
		return ""
	}
	return *s
}

// TextOf is the text of a concept, empty where there is none.
func TextOf(c *models.CodeableConcept) string {
	if c == nil {
		return ""
	}
	return StringOf(c.Text)
}

// SiteCodes are codings that a site adds after an own code, under its own licences:
// of SNOMED CT, say, or a LOINC code that it holds to be near enough.
type SiteCodes map[string][]models.Coding
