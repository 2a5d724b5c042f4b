package handover

import (
	"cmp"
	"slices"
	"strings"
	"time"
)

// Holding is what a record holds already, for judging what is offered to it.
type Holding interface {
	// Entry is the held entry of that id, nil when there is none.
	Entry(id string) *Entry
	// Infant are all held entries of one infant.
	Infant(key string) []*Entry
	// Keys are the keys of every infant held.
	Keys() []string
}

// Nothing is the holding of a record that is read whole, from a plain file.
var Nothing Holding = nothing{}

type nothing struct{}

func (nothing) Entry(string) *Entry    { return nil }
func (nothing) Infant(string) []*Entry { return nil }
func (nothing) Keys() []string         { return nil }

// Accept judges a whole file against the record as it would stand with all of
// it in: order of lines means nothing. Policy nil leaves out the unit's lists of
// sizes and steps, which are checked when an entry is taken and never again.
// Accepted is the moment of acceptance: entries without charted are stamped with
// it; the zero time means a plain record, where charted is then the entry's at.
// It returns the entries that are new; those already held are left out.
func Accept(held Holding, offered []*Entry, policy *Policy, tolerance time.Duration, accepted time.Time) (fresh []*Entry, issues []Issue) {
	a := acceptance{held: held, policy: policy, tolerance: tolerance, accepted: accepted, offered: map[string]*Entry{}, miscased: map[string]bool{}, bounded: map[string][]*Entry{}}
	for _, e := range offered {
		if a.take(e) {
			fresh = append(fresh, e)
		}
	}
	a.infants(fresh)
	for _, e := range fresh {
		a.clock(e)
		a.references(e)
		if !e.Carried {
			a.signs(e)
		}
		if policy != nil && !e.Carried {
			a.names(e)
		}
	}
	a.stays(fresh)
	slices.SortStableFunc(a.issues, func(a, b Issue) int { return cmp.Compare(a.Line, b.Line) })
	return fresh, a.issues
}

type acceptance struct {
	held      Holding
	policy    *Policy
	tolerance time.Duration
	accepted  time.Time
	offered   map[string]*Entry
	byInfant  map[string][]*Entry // of those offered
	bounded   map[string][]*Entry // by infant, admissions and discharges
	miscased  map[string]bool     // keys that are told as such already
	issues    []Issue
}

func (a *acceptance) add(e *Entry, path string, code Code, found, allowed string) {
	a.issues = append(a.issues, Issue{Line: e.Line, Path: path, Code: code, Found: found, Allowed: allowed})
}

// take tells new entries from those already held, and stamps charted.
func (a *acceptance) take(e *Entry) bool {
	was := a.held.Entry(e.ID)
	if was == nil {
		was = a.offered[e.ID]
	}
	if was != nil {
		if !e.sameAs(was) {
			a.add(e, "id", CodeIDConflict, e.ID, "held with other content: an entry is never changed in place, chart a correction")
		}
		return false
	}
	a.offered[e.ID] = e
	if !e.Offered {
		if e.Charted = e.At; !a.accepted.IsZero() {
			e.Charted = MomentOf(a.accepted)
		}
	}
	return true
}

// find is an entry held or offered.
func (a *acceptance) find(id string) *Entry {
	if e := a.held.Entry(id); e != nil {
		return e
	}
	return a.offered[id]
}

// infants refuses a key that differs from a known one only in case.
func (a *acceptance) infants(fresh []*Entry) {
	known := map[string]string{}
	for _, key := range a.held.Keys() {
		known[strings.ToLower(key)] = key
	}
	differs := func(e *Entry, path, key string) bool {
		was, ok := known[strings.ToLower(key)]
		if ok && was != key {
			a.add(e, path, CodeInfantCase, key, "the known key "+was)
			a.miscased[key] = true
			return true
		}
		return false
	}
	for _, e := range fresh {
		if e.Infant != "" && !differs(e, "infant", e.Infant) {
			known[strings.ToLower(e.Infant)] = e.Infant
		}
	}
	for _, e := range fresh {
		as := e
		if e.Corrected != nil {
			as = e.Corrected
		}
		for _, key := range as.List("infants") {
			differs(e, "infants", key.Text)
		}
		for _, f := range lookup(as.Fields, "confirmed").Fields {
			differs(e, "confirmed", f.Name)
		}
	}
}

// clock holds charted to at and to the moment of acceptance. The at of a
// correction is not used; that of its entry is.
func (a *acceptance) clock(e *Entry) {
	at, atPath := e.At, "at"
	if e.Kind == "correction" {
		at, atPath = e.Corrected.At, "entry.at"
	}
	path, found := "charted", e.Charted.Text
	if e.Kind != "retraction" && e.Charted.Before(at.Add(-a.tolerance)) {
		allowed := "not before at (" + at.Text + ") less the clock tolerance: one of the two clocks is off"
		if !e.Offered {
			path, found, allowed = atPath, at.Text, "not in the future ("+e.Charted.Text+"): the clock of the device that charted it is ahead"
		}
		a.add(e, path, CodeClock, found, allowed)
	}
	if e.Offered && !a.accepted.IsZero() && e.Charted.After(a.accepted.Add(a.tolerance)) {
		a.add(e, path, CodeClock, e.Charted.Text, "not later than now ("+MomentOf(a.accepted).Text+"): the clock of the device that charted it is ahead")
	}
}

// references holds what an entry names to what is there.
func (a *acceptance) references(e *Entry) {
	switch e.Kind {
	case "correction":
		of := a.wants(e, e, "", "of")
		switch {
		case of == nil:
		case of.amends():
			a.add(e, "of", CodeReference, of.Kind, "an original entry: to correct again, correct the original again")
		case of.Kind != e.Corrected.Kind:
			a.add(e, "entry.kind", CodeReference, e.Corrected.Kind, "the kind of the entry corrected ("+of.Kind+")")
		case of.Infant != e.Infant:
			a.add(e, "infant", CodeReference, e.Infant, "the infant of the entry corrected; for the wrong infant, retract and chart anew")
		}
		a.named(e, e.Corrected, "entry.")
	case "retraction":
		of := a.wants(e, e, "", "of")
		switch {
		case of == nil:
		case of.Kind == "retraction":
			a.add(e, "of", CodeReference, of.Kind, "an original entry or a correction")
		case of.Infant != e.Infant:
			a.add(e, "infant", CodeReference, e.Infant, "the infant of the entry retracted")
		}
		a.wants(e, e, "", "movedTo")
	default:
		a.named(e, e, "")
	}
}

// wants is the entry that as, which is e or its correction, names in a field.
func (a *acceptance) wants(e, as *Entry, prefix, field string, kinds ...string) *Entry {
	id := as.Reference(field)
	if id == "" {
		return nil
	}
	of := a.find(id)
	if of == nil || !contains(kinds, of.Kind) && len(kinds) > 0 {
		a.add(e, prefix+field, CodeReference, id, "the id of an entry of this record"+orKinds(kinds))
		return nil
	}
	return of
}

// named holds the tasks and handovers that an entry names to what is there.
func (a *acceptance) named(e, as *Entry, prefix string) {
	switch as.Kind {
	case "task-done", "deferral":
		a.wants(e, as, prefix, "task", "task")
	case "acceptance":
		a.takesOver(e, as, prefix)
	}
}

func orKinds(kinds []string) string {
	if len(kinds) == 0 {
		return ""
	}
	return ", of kind " + strings.Join(kinds, " or ")
}

// names holds sizes, steps, cares and safety items to the unit's own lists.
func (a *acceptance) names(e *Entry) {
	path := ""
	if e.Kind == "correction" {
		e, path = &Entry{Kind: e.Corrected.Kind, Fields: e.Corrected.Fields, Line: e.Line}, "entry."
	}
	switch e.Kind {
	case "interface":
		if list, has := a.policy.Sizes[e.Text("type")]; has && e.Has("size") && !contains(list, e.Text("size")) {
			a.add(e, path+"size", CodeSize, quoteShort(e.Text("size")), "one of "+strings.Join(list, ", "))
		}
	case "bonnet":
		if _, ok := a.policy.Bonnet(e.Text("size")); e.Has("size") && len(a.policy.Bonnets) > 0 && !ok {
			var list []string
			for _, b := range a.policy.Bonnets {
				list = append(list, b.Name)
			}
			a.add(e, path+"size", CodeSize, quoteShort(e.Text("size")), "one of "+strings.Join(list, ", "))
		}
	case "care":
		a.care(e, path+"what", e.Text("what"))
	case "plan", "deferral":
		if e.Has("care") {
			a.care(e, path+"care", e.Text("care"))
		}
	case "safety":
		for _, x := range e.List("items") {
			if item := x.Field("item").Text; !contains(a.policy.Checks, item) {
				allowed := "one of " + strings.Join(a.policy.Checks, ", ")
				if len(a.policy.Checks) == 0 {
					allowed = "nothing: the unit's policy has no list safety"
				}
				a.add(e, path+"items", CodeItem, quoteShort(item), allowed)
			}
		}
	case "setup":
		for _, s := range e.List("steps") {
			if step := s.Field("step").Text; !contains(a.policy.Setup, step) {
				a.add(e, path+"steps", CodeStep, quoteShort(step), "one of "+strings.Join(a.policy.Setup, ", "))
			}
		}
	}
}

func (a *acceptance) care(e *Entry, path, care string) {
	if all := a.policy.AllCares(); !contains(all, care) {
		a.add(e, path, CodeWord, quoteShort(care), "one of "+strings.Join(all, ", "))
	}
}
