package fhir

import (
	"slices"
	"time"

	"cotline/fhir/internal/r4"
	"cotline/handover"
	"cotline/handover/entry"
)

// A document is read by a person, who wants what is so now. It holds what the facts of
// its handover come from, what is open, and what these refer to. A reading that a later
// one replaced, or an interface that was put away, is not in it.

// needs are what an infant's document holds of an export.
type needs struct {
	entries map[string]bool // that a fact comes from, by the original's id; not one that counts for nothing
	counted time.Time       // episodes after this are in the handover's counts
	marks   []time.Time     // of tubes, which the marks that stand are held against
}

func needsOf(s *handover.Summary, at time.Time) *needs {
	n := &needs{entries: map[string]bool{}, counted: s.Since}
	if dayBefore := at.Add(-24 * time.Hour); dayBefore.Before(n.counted) {
		n.counted = dayBefore
	}
	n.add(s.Facts())
	if all := s.Tubes.Value; all != nil {
		for _, t := range *all {
			n.marks = append(n.marks, t.ReferenceAt)
		}
	}
	return n
}

func (n *needs) add(facts []handover.Fact) {
	for i := range facts {
		f := &facts[i]
		if f.Path == "remarks" {
			continue
		}
		n.entries[f.Source.Entry] = true
		if id, ok := f.Value.(string); ok && f.Name == "entry" {
			n.entries[id] = true
		}
		n.add(f.Parts)
		n.add(f.Items)
	}
	delete(n.entries, "")
}

// counts says whether an entry that no fact comes from is needed all the same: episodes
// are counted, and a tube's mark is held against an earlier one.
func (n *needs) counts(e *entry.Standing) bool {
	switch e.Kind {
	case "episode":
		return e.At.After(n.counted)
	case "tube":
		return slices.ContainsFunc(n.marks, e.At.Equal)
	}
	return false
}

// root says whether a resource is needed for itself.
func (n *needs) root(r *r4.Resource) bool {
	switch r.Type {
	case "Patient":
		return true
	case "Task":
		return r.Model.Status == r4.Requested
	case "Flag", "DeviceUseStatement":
		return r.Model.Status == r4.Active
	case "Observation":
		return r.Kind == "admission" || r.Kind == "identity" || n.entries[r.Entry]
	}
	return false
}

// reach is what can be reached from some resources among others.
type reach struct {
	among map[string]*r4.Resource // by Type/id
	in    map[*r4.Resource]bool
}

func reachAmong(all []*r4.Resource) *reach {
	w := &reach{among: map[string]*r4.Resource{}, in: map[*r4.Resource]bool{}}
	for _, r := range all {
		w.among[r.Key()] = r
	}
	return w
}

// add takes a resource and all that it refers to. What is not among them is of another
// part of the export.
func (w *reach) add(r *r4.Resource) {
	if r == nil || w.in[r] {
		return
	}
	w.in[r] = true
	for _, s := range r.Refs {
		w.add(w.among[string(r.JSON[s.Start:s.End])])
	}
}

// of are those of some resources that were reached, in their order.
func (w *reach) of(some []*r4.Resource) (out []*r4.Resource) {
	for _, r := range some {
		if w.in[r] {
			out = append(out, r)
		}
	}
	return out
}
