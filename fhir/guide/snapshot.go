package guide

import (
	"slices"
	"strings"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/fhir/internal/r4"
)

// snapshot is what a profile comes to: all elements of what it stands on, with what its
// differential says of each. It does what the rules of this package need: constraining
// an element, slicing it, and looking into a type of data. HL7's engine, in
// internal/oracle, comes to the same.
func snapshot(base, differential []models.ElementDefinition) []models.ElementDefinition {
	out := slices.Clone(base)
	for _, d := range differential {
		at := place(&out, d)
		constrain(&out[at], d)
	}
	return out
}

func indexOf(all []models.ElementDefinition, id string) int {
	return slices.IndexFunc(all, func(e models.ElementDefinition) bool { return *e.Id == id })
}

// place is where an element of the differential stands, which is made if there is none
// yet: a slice behind what it slices, an element of a type of data below its owner.
func place(all *[]models.ElementDefinition, d models.ElementDefinition) int {
	if at := indexOf(*all, *d.Id); at >= 0 {
		return at
	}
	if d.SliceName != nil {
		of := indexOf(*all, strings.TrimSuffix(*d.Id, ":"+*d.SliceName))
		slice := (*all)[of]
		slice.Id, slice.Slicing = d.Id, nil
		at := below(*all, of)
		*all = slices.Insert(*all, at, slice)
		return at
	}
	dot := strings.LastIndexByte(*d.Id, '.')
	of := place(all, models.ElementDefinition{Id: r4.Ptr((*d.Id)[:dot])})
	*all = slices.Insert(*all, of+1, within((*all)[of])...)
	return indexOf(*all, *d.Id)
}

// below is the end of what stands below an element, its slices too.
func below(all []models.ElementDefinition, of int) int {
	at := of + 1
	for at < len(all) && (strings.HasPrefix(*all[at].Id, *all[of].Id+".") || strings.HasPrefix(*all[at].Id, *all[of].Id+":")) {
		at++
	}
	return at
}

// within are the elements of the one type that an element has, below it.
func within(owner models.ElementDefinition) (out []models.ElementDefinition) {
	kind := owner.Type[0].Code
	for _, e := range baseOf(kind)[1:] {
		id, path := *owner.Id+strings.TrimPrefix(*e.Id, kind), owner.Path+strings.TrimPrefix(e.Path, kind)
		e.Id, e.Path = &id, path
		out = append(out, e)
	}
	return out
}

// constrain says of an element what the differential does.
func constrain(e *models.ElementDefinition, d models.ElementDefinition) {
	if d.Short != nil {
		e.Short, e.Definition = d.Short, d.Short
	}
	if d.Type != nil {
		e.Type = d.Type
	}
	say(&e.SliceName, d.SliceName)
	say(&e.Min, d.Min)
	say(&e.Max, d.Max)
	say(&e.MustSupport, d.MustSupport)
	say(&e.Slicing, d.Slicing)
	say(&e.Binding, d.Binding)
	say(&e.FixedUri, d.FixedUri)
	say(&e.PatternCode, d.PatternCode)
	say(&e.PatternCodeableConcept, d.PatternCodeableConcept)
	say(&e.PatternCoding, d.PatternCoding)
	say(&e.PatternQuantity, d.PatternQuantity)
}

func say[T any](of **T, said *T) {
	if said != nil {
		*of = said
	}
}
