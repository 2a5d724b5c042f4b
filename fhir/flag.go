package fhir

import (
	"slices"
	"time"

	"cotline/fhir/internal/r4"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
)

// flags adds a Flag on this infant for each other who could be mistaken for it, and for
// each who is charted with something that only one infant can have. A Flag does not
// name the other; only its id follows from the pair. It begins when the later of the
// two entries that make it hold happened, and ends as wasTogether says.
func (i *infant) flags(s *handover.Summary) {
	for _, x := range s.LookAlikes {
		i.now = append(i.now, i.flagBetween("", "", x.Why, x.Infant, i.ask.At))
	}
	for _, x := range s.Conflicts {
		i.now = append(i.now, i.flagBetween(x.What, x.Value, "", x.Infant, i.ask.At))
	}
}

// flagBetween is the Flag of a conflict about something, or of a look-alike and why, as
// of a moment.
func (i *infant) flagBetween(what, value, why, other string, at time.Time) *r4.Resource {
	about, code := conflict+what, r4.FlagsConflict[what]
	if what == "" {
		about, code = lookAlike, r4.FlagsAlike[why]
	}
	began := i.admittedAt(at)
	for _, r := range []*infant{i, i.others[other]} {
		if r == nil {
			continue
		}
		for _, t := range []time.Time{r.admittedAt(at), r.charted(what, value, why, at)} {
			if t.After(began) {
				began = t
			}
		}
	}
	id := r4.IDOfFlag(i.policy, i.record.Infant, about, other)
	known := i.builder.own(id)
	return &r4.Resource{Type: "Flag", ID: id, Infant: i.record.Infant, Identifier: known, Kind: "flag",
		Model: &r4.Model{Kind: "Flag", ID: id, Status: r4.Active, Body: &models.Flag{
			Identifier: []models.Identifier{*r4.IdentifierOf(known.System, known.Value)},
			Category:   []models.CodeableConcept{*i.codes.Concept(r4.Safety)},
			Code:       *i.codes.Concept(code), Subject: *i.subject, Encounter: i.stay,
			Period: &models.Period{Start: r4.Ptr(i.stamp(began))},
		}}}
}

// admittedAt is when the stay of a moment began.
func (i *infant) admittedAt(at time.Time) time.Time {
	last := i.stays[0].Admission.At.Time
	for _, stay := range i.stays {
		if t := stay.Admission.At.Time; !t.After(at) {
			last = t
		}
	}
	return last
}

// charted is the moment for which an infant was last charted with what makes a Flag hold.
func (i *infant) charted(what, value, why string, at time.Time) (since time.Time) {
	fields := map[string][]string{"number": {"mrn"}, "name": {"family"}, "sibling": {"mother", "family", "born"}}[why]
	for _, e := range i.record.Entries {
		if e.At.After(at) {
			break
		}
		identity := e.Kind == "identity" || e.Kind == "admission"
		if identity && slices.ContainsFunc(fields, e.Has) ||
			what == "driver" && e.Kind == "support" && e.Text("driver") == value ||
			what == "cot" && (e.Kind == "move" || e.Kind == "admission") && e.Text("cot") == value ||
			what == "number" && identity && e.Text("mrn") == value {
			since = e.At.Time
		}
	}
	return since
}

// What a Flag is about. There is one for a pair who are alike, in whatever ways they
// are; there is one for each thing that only one infant can have.
const (
	lookAlike = "look-alike"
	conflict  = "conflict-"
)

// wasTogether adds a Flag that is over: the two can be mistaken no longer, or no longer
// share what only one can have (handover.WasTogether says since when). The Flags of
// infants who are held back end in flag_held.go.
func (i *infant) wasTogether(x handover.WasTogether) {
	r := i.flagBetween(x.What, x.Value, x.Why, x.Other, x.Last)
	endFlag(r, i.stamp(x.At))
	i.now = append(i.now, r)
}

// endFlag makes a Flag say since when it is over.
func endFlag(r *r4.Resource, at string) {
	m := r.Model.Body.(*models.Flag)
	r.Model.Status = r4.Inactive
	m.Period.End = r4.Ptr(laterOf(*m.Period.Start, at))
}
