package fhir

import (
	"time"

	"cotline/fhir/internal/r4"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
)

// flags adds a Flag on this infant for each other who could be mistaken for it, and for
// each who is charted with something that only one infant can have. A Flag does not
// name the other; only its id follows from the pair. It begins when the later of the
// two entries that make it hold was charted.
func (i *infant) flags(s *handover.Summary) {
	for _, x := range s.LookAlikes {
		fields := []string{"mother", "family", "born"}
		switch x.Why {
		case "number":
			fields = []string{"mrn"}
		case "name":
			fields = []string{"family"}
		}
		i.flag(lookAlike, r4.FlagsAlike[x.Why], x.Infant, func(r *infant) (since time.Time) {
			for _, f := range fields {
				if e := r.latest(f); e != nil && e.At.After(since) {
					since = e.At.Time
				}
			}
			return since
		})
	}
	for _, x := range s.Conflicts {
		i.flag(conflict+x.What, r4.FlagsConflict[x.What], x.Infant, func(r *infant) (since time.Time) {
			for _, e := range r.record.Entries {
				named := x.What == "driver" && e.Kind == "support" && e.Text("driver") == x.Value ||
					x.What == "cot" && (e.Kind == "move" || e.Kind == "admission") && e.Text("cot") == x.Value ||
					x.What == "number" && (e.Kind == "identity" || e.Kind == "admission") && e.Text("mrn") == x.Value
				if named && !e.At.After(i.ask.At) {
					since = e.At.Time
				}
			}
			return since
		})
	}
}

func (i *infant) flag(about string, what r4.Concept, other string, since func(*infant) time.Time) {
	began := i.stays[len(i.stays)-1].Admission.At.Time
	for _, r := range []*infant{i, i.others[other]} {
		for _, at := range []time.Time{r.stays[len(r.stays)-1].Admission.At.Time, since(r)} {
			if at.After(began) {
				began = at
			}
		}
	}
	id := flagID(i.policy, i.record.Infant, about, other)
	known := i.builder.own(id)
	i.now = append(i.now, &r4.Resource{Type: "Flag", ID: id, Infant: i.record.Infant, Identifier: known, Kind: "flag", Other: other,
		Model: &r4.Model{Kind: "Flag", ID: id, Status: r4.Active, Body: &models.Flag{
			Identifier: []models.Identifier{*r4.IdentifierOf(known.System, known.Value)},
			Category:   []models.CodeableConcept{*i.codes.Concept(r4.Safety)},
			Code:       *i.codes.Concept(what), Subject: *i.subject, Encounter: i.stay, Period: &models.Period{Start: r4.Ptr(i.stamp(began))},
		}}})
}

// What a Flag is about. There is one for a pair who are alike, in whatever ways they
// are; there is one for each thing that only one infant can have.
const (
	lookAlike = "look-alike"
	conflict  = "conflict-"
)

func flagID(p *handover.Policy, infant, about, other string) string {
	return r4.NamedID(r4.IDOfInfant(p, infant), "Flag\n"+about+"\n"+other).String()
}
