package fhir

import (
	"slices"
	"time"

	"cotline/fhir/internal/r4"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
)

// A document is read by a person, who wants what is so now. It holds what the facts of
// its handover come from, what is open, and what these refer to: of a reading that a
// later one took the place of, of an interface that was put away, nothing.

// needs are what an infant's document holds of an export.
type needs struct {
	entries map[string]bool // that a fact of the handover comes from, by the original's id
	counted time.Time       // episodes after this are in the handover's counts
}

func needsOf(s *handover.Summary, at time.Time) *needs {
	n := &needs{entries: map[string]bool{}, counted: earlier(s.Since, at.Add(-24*time.Hour))}
	n.add(s.Facts())
	return n
}

func (n *needs) add(facts []handover.Fact) {
	for i := range facts {
		f := &facts[i]
		n.entries[f.Source.Entry] = true
		if id, ok := f.Value.(string); ok && f.Name == "entry" {
			n.entries[id] = true
		}
		n.add(f.Parts)
		n.add(f.Items)
	}
	delete(n.entries, "")
}

// keep leaves of an infant's resources what is needed. What they refer to stays with
// them.
func (i *infant) keep(n *needs) {
	i.encode(i.out)
	for _, e := range i.entries {
		if e.Kind == "episode" && e.At.After(n.counted) {
			n.entries[e.ID] = true
		}
	}
	for _, u := range i.uses {
		if u.Model.Status == r4.Active { // how it was when it was put there
			n.entries[u.Entry] = true
		}
	}
	kept := reach{among: byKey(i.out), in: map[*r4.Resource]bool{}}
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
	for _, some := range []*[]*r4.Resource{&i.out, &i.facts, &i.uses} {
		*some = kept.of(*some)
	}
}

// root says whether a resource is needed for itself.
func (n *needs) root(r *r4.Resource) bool {
	switch r.Type {
	case "Patient", "Encounter":
		return true
	case "Task":
		return r.Model.Status == r4.Requested
	case "Flag", "DeviceUseStatement":
		return r.Model.Status == r4.Active
	case "Observation":
		return bounds[r.Kind] || n.entries[r.Entry]
	}
	return false
}

// reach is what can be reached from some resources among others.
type reach struct {
	among map[string]*r4.Resource // by Type/id
	in    map[*r4.Resource]bool
}

func byKey(all []*r4.Resource) map[string]*r4.Resource {
	out := map[string]*r4.Resource{}
	for _, r := range all {
		out[r.Key()] = r
	}
	return out
}

// add takes a resource and all that it refers to.
func (w *reach) add(r *r4.Resource) {
	if r == nil || w.in[r] { // of another export
		return
	}
	w.in[r] = true
	for _, s := range r.Refs {
		w.add(w.among[string(r.JSON[s.Start:s.End])])
	}
}

// of are those of some resources that were reached, in their order.
func (w *reach) of(some []*r4.Resource) []*r4.Resource {
	return slices.DeleteFunc(slices.Clone(some), func(r *r4.Resource) bool { return !w.in[r] })
}
