package entry

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
	// Stays are those of them, at least, that tell where stays begin and end:
	// admissions, discharges and their amendments.
	Stays(key string) []*Entry
	// Like is the key of an infant held that is the same but for case, empty when
	// there is none.
	Like(key string) string
	// Keys are the keys of every infant held.
	Keys() []string
}

// Nothing is the holding of a record that is read whole, from a plain file.
var Nothing Holding = nothing{}

type nothing struct{}

func (nothing) Entry(string) *Entry    { return nil }
func (nothing) Infant(string) []*Entry { return nil }
func (nothing) Stays(string) []*Entry  { return nil }
func (nothing) Like(string) string     { return "" }
func (nothing) Keys() []string         { return nil }

// Accept judges a whole file against the record as it would stand with all of
// it in: order of lines means nothing. Lists nil leaves out the unit's lists of
// sizes and steps, which are checked when an entry is taken and never again.
// Accepted is the moment of acceptance: entries without charted are stamped with
// it; the zero time means a plain record, where charted is then the entry's at.
// It returns the entries that are new; those already held are left out.
func Accept(held Holding, offered []*Entry, lists *Lists, tolerance time.Duration, accepted time.Time) (fresh []*Entry, issues []Issue) {
	a := acceptance{held: held, lists: lists, tolerance: tolerance, accepted: accepted, offered: map[string]*Entry{},
		miscased: map[string]bool{}, bounded: map[string][]*Entry{}}
	for _, e := range offered {
		if *e = *e.clean(); a.take(e) {
			fresh = append(fresh, e)
		}
	}
	a.infants(fresh)
	for _, e := range fresh {
		a.clock(e)
		a.references(e)
		if !e.Carried {
			a.signs(e)
			a.identifiers(e)
			a.zeros(e)
		}
		if lists != nil && !e.Carried {
			a.names(e)
		}
	}
	a.stays(fresh)
	slices.SortStableFunc(a.issues, func(a, b Issue) int { return cmp.Compare(a.Line, b.Line) })
	return fresh, a.issues
}

type acceptance struct {
	held      Holding
	lists     *Lists
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
	like := func(key string) string {
		as := strings.ToLower(key)
		was, asked := known[as]
		if !asked {
			was = a.held.Like(key)
			known[as] = was
		}
		return was
	}
	differs := func(e *Entry, path, key string) bool {
		was := like(key)
		if was != "" && was != key {
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
		as := e.Says()
		for _, key := range as.List("infants") {
			differs(e, "infants", key.Text)
		}
		for _, f := range Lookup(as.Fields, "confirmed").Fields {
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
			path, found, allowed = atPath, at.Text,
				"not in the future ("+toSecond(e.Charted.Time)+"): the clock of the device that charted it is ahead"
		}
		a.add(e, path, CodeClock, found, allowed)
	}
	if e.Offered && !a.accepted.IsZero() && e.Charted.After(a.accepted.Add(a.tolerance)) {
		a.add(e, path, CodeClock, e.Charted.Text,
			"not later than now ("+toSecond(a.accepted)+"): the clock of the device that charted it is ahead")
	}
}

// toSecond is a moment as a message tells it.
func toSecond(t time.Time) string { return Stamp(t, t.Location()) }

// references holds what an entry names to what is there.
func (a *acceptance) references(e *Entry) {
	switch e.Kind {
	case "correction":
		of := a.wants(e, e, "", "of")
		switch {
		case of == nil:
		case of.Amends():
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
	if of == nil || !slices.Contains(kinds, of.Kind) && len(kinds) > 0 {
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

// Lists are the unit's own, that the sizes, steps, items and cares of an entry must be in
// when it is taken.
type Lists struct {
	Sizes   map[string][]string // of mask, prongs, cannula; absent: any text
	Bonnets []string            // names of sizes; empty: any text
	Steps   []string            // of a set-up
	Safety  []string            // items of the safety check; empty: none is asked for
	Cares   []string            // every unit's and the unit's own
}

// names holds sizes, steps, cares and safety items to the unit's own lists.
func (a *acceptance) names(e *Entry) {
	path := ""
	if e.Kind == "correction" {
		e, path = &Entry{Kind: e.Corrected.Kind, Fields: e.Corrected.Fields, Line: e.Line}, "entry."
	}
	switch e.Kind {
	case "interface":
		if list, has := a.lists.Sizes[e.Text("type")]; has && e.Has("size") && !slices.Contains(list, e.Text("size")) {
			a.add(e, path+"size", CodeSize, Lookup(e.Fields, "size").Shown(), "one of "+strings.Join(list, ", "))
		}
	case "bonnet":
		if list := a.lists.Bonnets; e.Has("size") && len(list) > 0 && !slices.Contains(list, e.Text("size")) {
			a.add(e, path+"size", CodeSize, Lookup(e.Fields, "size").Shown(), "one of "+strings.Join(list, ", "))
		}
	case "care":
		a.care(e, path+"what", e.Text("what"))
	case "plan", "deferral":
		if e.Has("care") {
			a.care(e, path+"care", e.Text("care"))
		}
	case "safety":
		for _, x := range e.List("items") {
			if item := x.Field("item").Text; !slices.Contains(a.lists.Safety, item) {
				allowed := "one of " + strings.Join(a.lists.Safety, ", ")
				if len(a.lists.Safety) == 0 {
					allowed = "nothing: the unit's policy has no list safety"
				}
				a.add(e, path+"items", CodeItem, x.Field("item").Shown(), allowed)
			}
		}
	case "setup":
		for _, s := range e.List("steps") {
			if step := s.Field("step"); !slices.Contains(a.lists.Steps, step.Text) {
				a.add(e, path+"steps", CodeStep, step.Shown(), "one of "+strings.Join(a.lists.Steps, ", "))
			}
		}
	}
}

func (a *acceptance) care(e *Entry, path, care string) {
	if all := a.lists.Cares; !slices.Contains(all, care) {
		a.add(e, path, CodeWord, NewText(care).Shown(), "one of "+strings.Join(all, ", "))
	}
}
