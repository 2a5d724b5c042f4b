package entry

import "slices"

// signs refuses a handover of an infant whom nobody could have read of: one not
// admitted at its asOf, or one who does not stand in what is compiled then of what
// had been written down by its charted.
func (a *acceptance) signs(e *Entry) {
	as, path := e, "infants"
	if e.Corrected != nil {
		as, path = e.Corrected, "entry.infants"
	}
	asOf, ok := as.Moment("asOf")
	if as.Kind != "handover" || !ok {
		return
	}
	for _, key := range as.List("infants") {
		all := a.bounds(key.Text)
		switch {
		case a.miscased[key.Text]:
		case Replay(all, e.Charted.Time).Of(key.Text).Admitted(asOf.Time) != nil:
		case Replay(all, Forever).Of(key.Text).Admitted(asOf.Time) != nil:
			a.add(e, path, CodeNotCompiled, key.Text,
				"an infant of whom the handover tells: what is charted of the stay was written down after it was signed")
		default:
			a.add(e, path, CodeNotAdmitted, key.Text, "an infant who is admitted as of "+asOf.Text)
		}
	}
}

// bounds are the admissions and discharges of an infant, held and offered, with
// what amends them: all that says whether it is admitted. They are found once, for
// an infant is signed for at each change of shift.
func (a *acceptance) bounds(key string) []*Entry {
	if a.byInfant == nil {
		a.byInfant = map[string][]*Entry{}
		for _, e := range a.offered {
			if e.Infant != "" {
				a.byInfant[e.Infant] = append(a.byInfant[e.Infant], e)
			}
		}
	}
	if found, ok := a.bounded[key]; ok {
		return found
	}
	all := slices.Concat(a.held.Infant(key), a.byInfant[key])
	var out []*Entry
	named := map[string]bool{}
	for _, e := range all {
		as := e.Says()
		if as.Kind == "admission" || as.Kind == "discharge" {
			out, named[e.ID] = append(out, e), true
		}
	}
	for _, e := range all {
		if e.Kind == "retraction" && named[e.Reference("of")] {
			out = append(out, e)
		}
	}
	a.bounded[key] = out
	return out
}

// takesOver holds an acceptance to the handover that it names.
func (a *acceptance) takesOver(e, as *Entry, prefix string) {
	id := as.Reference("handover")
	of := a.find(id)
	if of == nil || of.Kind != "handover" {
		a.add(e, prefix+"handover", CodeNoHandover, id, "the id of a handover of this record")
		return
	}
	for _, key := range as.List("infants") {
		if !a.miscased[key.Text] && !a.handsOver(of, key.Text) {
			a.add(e, prefix+"infants", CodeNotHandedOver, key.Text, "an infant whom the handover names")
		}
	}
}

// handsOver says whether a handover, or a correction of it that is offered with
// it, names an infant.
func (a *acceptance) handsOver(of *Entry, infant string) bool {
	if of.Names("infants", infant) {
		return true
	}
	for _, e := range a.offered {
		if e.Kind == "correction" && e.Reference("of") == of.ID && e.Corrected != nil && e.Corrected.Names("infants", infant) {
			return true
		}
	}
	return false
}
