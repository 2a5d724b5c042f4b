package fhir

import (
	"maps"
	"slices"

	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

// Practitioner and Location are the hospital's. They are sent where fhir.send names
// them, and in documents: of people, those whom the policy lists and whom something
// that is sent refers to. They are shared, and are never withdrawn: a person who
// charted in error remains a person.

// staff refers to who charted something: to a Practitioner that is sent, else
// logically, for the person is the hospital's.
func (b *builder) staff(key string) *r4.Reference {
	system := b.system("staff")
	name, listed := key, false
	for _, s := range b.policy.Staff {
		if s.Key == key {
			listed = true
			if s.Name != "" {
				name = s.Name
			}
		}
	}
	to := &r4.Reference{Type: ptr("Practitioner"), Identifier: identifier(system, key), Display: &name}
	if listed && b.sends("Practitioner") {
		b.people[key] = name
		to.Reference = literal("Practitioner", ofPerson(system, key)).Reference
	}
	return to
}

// practitioners are those who were referred to, by key.
func (b *builder) practitioners() []*Resource {
	var out []*Resource
	for _, key := range slices.Sorted(maps.Keys(b.people)) {
		known := Identifier{System: b.system("staff"), Value: key}
		id := ofPerson(known.System, key)
		name := b.people[key]
		out = append(out, &Resource{Type: "Practitioner", ID: id, Identifier: known, model: &resource{kind: "Practitioner", id: id,
			body: &r4.Practitioner{Identifier: []r4.Identifier{*identifier(known.System, key)}, Name: []r4.HumanName{{Text: &name}}}}})
	}
	return out
}

// cot refers to a cot: to a Location that is sent, else logically.
func (b *builder) cot(name string) *r4.Reference {
	known := b.own(ofCot(b.policy, name))
	to := &r4.Reference{Type: ptr("Location"), Identifier: identifier(known.System, known.Value), Display: &name}
	if b.sends("Location") {
		b.cots[name] = true
		to.Reference = literal("Location", known.Value).Reference
	}
	return to
}

// locations are the cots that were referred to, by name.
func (b *builder) locations() []*Resource {
	var out []*Resource
	for _, name := range slices.Sorted(maps.Keys(b.cots)) {
		id := ofCot(b.policy, name)
		known := b.own(id)
		out = append(out, &Resource{Type: "Location", ID: id, Identifier: known, model: &resource{kind: "Location", id: id, status: active,
			body: &r4.Location{Identifier: []r4.Identifier{*identifier(known.System, known.Value)}, Name: ptr(name),
				Mode: ptr(r4.LocationModeInstance), PhysicalType: b.codes.concept(bed)}}})
	}
	return out
}
