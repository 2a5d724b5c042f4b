package fhir

import (
	"slices"

	"cotline/fhir/internal/r4"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

// keep drops those of an infant's resources that a document does not need. What the others
// refer to, and where and why they were corrected, stays with them.
func (i *infant) keep(n *needs) error {
	if err := i.encode(i.out); err != nil {
		return err
	}
	for _, e := range i.entries {
		if n.counts(e) {
			n.entries[e.ID] = true
		}
	}
	for _, u := range i.uses {
		if u.Model.Status == r4.Active { // how it was when it was put there
			n.entries[u.Entry] = true
		}
	}
	kept := reachAmong(i.out)
	var stay *r4.Resource // the latest; one before it is kept where something refers to it
	for _, r := range i.out {
		if r.Type == "Encounter" {
			stay = r
		}
	}
	kept.add(stay)
	for _, r := range i.out {
		if n.root(r) {
			kept.add(r)
		}
	}
	for _, r := range i.origins {
		if slices.ContainsFunc(r.Model.Body.(*models.Provenance).Target, func(to models.Reference) bool {
			return kept.in[kept.among[*to.Reference]]
		}) {
			kept.add(r)
		}
	}
	i.out, i.facts, i.uses = kept.of(i.out), kept.of(i.facts), kept.of(i.uses)
	return nil
}
