package fhir

import (
	"maps"
	"slices"

	"cotline/fhir/internal/r4"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

// Practitioner and Location are the hospital's. They are sent where fhir.send names
// them, and in documents. Of people, only those go along whom the policy lists and to
// whom something that is sent refers. Both are shared and never withdrawn: a person who
// charted in error remains a person.

// staff refers to who charted something: to the Practitioner if one is sent, else by
// staff key alone, for the person is the hospital's.
func (b *builder) staff(key string) *models.Reference {
	system := b.system("staff")
	if to := b.staffed[key]; to != nil {
		return to
	}
	name, listed := key, false
	for _, s := range b.policy.Staff {
		if s.Key == key {
			listed = true
			if s.Name != "" {
				name = s.Name
			}
		}
	}
	to := &models.Reference{Type: r4.Ptr("Practitioner"), Identifier: r4.IdentifierOf(system, key), Display: &name}
	if listed && b.sends("Practitioner") {
		b.people[key] = name
		to.Reference = r4.Literal("Practitioner", r4.IDOfPerson(system, key)).Reference
	}
	b.staffed[key] = to
	return to
}

// practitioners are those who were referred to, by key.
func (b *builder) practitioners() []*r4.Resource {
	var out []*r4.Resource
	for _, key := range slices.Sorted(maps.Keys(b.people)) {
		known := r4.Identifier{System: b.system("staff"), Value: key}
		id := r4.IDOfPerson(known.System, key)
		name := b.people[key]
		out = append(out, &r4.Resource{Type: "Practitioner", ID: id, Identifier: known, Model: &r4.Model{Kind: "Practitioner", ID: id,
			Body: &models.Practitioner{Identifier: []models.Identifier{*r4.IdentifierOf(known.System, key)},
				Name: []models.HumanName{{Text: &name}}}}})
	}
	return out
}

// cot refers to a cot: to the Location if one is sent, else by name alone.
func (b *builder) cot(name string) *models.Reference {
	known := b.own(r4.IDOfCot(b.policy, name))
	to := &models.Reference{Type: r4.Ptr("Location"), Identifier: r4.IdentifierOf(known.System, known.Value), Display: &name}
	if b.sends("Location") {
		b.cots[name] = true
		to.Reference = r4.Literal("Location", known.Value).Reference
	}
	return to
}

// locations are the cots that were referred to, by name.
func (b *builder) locations() []*r4.Resource {
	var out []*r4.Resource
	for _, name := range slices.Sorted(maps.Keys(b.cots)) {
		id := r4.IDOfCot(b.policy, name)
		known := b.own(id)
		out = append(out, &r4.Resource{Type: "Location", ID: id, Identifier: known,
			Model: &r4.Model{Kind: "Location", ID: id, Status: r4.Active,
				Body: &models.Location{Identifier: []models.Identifier{*r4.IdentifierOf(known.System, known.Value)}, Name: r4.Ptr(name),
					Mode: r4.Ptr(models.LocationModeInstance), PhysicalType: b.codes.Concept(r4.Bed)}}})
	}
	return out
}
