package fhir

import (
	"maps"
	"slices"
	"time"

	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
)

// flags adds, for each infant whom this one could be mistaken for and for each who
// is charted with what only one can have, a Flag on this one. It names the other by
// nothing: the id alone is of the pair. It begins when the later of what makes it
// hold was charted to be so.
func (i *infant) flags(s *handover.Summary) {
	for _, x := range s.LookAlikes {
		fields := []string{"mother", "family", "born"}
		switch x.Why {
		case "number":
			fields = []string{"mrn"}
		case "name":
			fields = []string{"family"}
		}
		i.flag(lookAlike, flagsAlike[x.Why], x.Infant, func(r *infant) (since time.Time) {
			for _, f := range fields {
				if e := r.latest(f); e != nil && e.At.After(since) {
					since = e.At.Time
				}
			}
			return since
		})
	}
	for _, x := range s.Conflicts {
		i.flag(conflict+x.What, flagsConflict[x.What], x.Infant, func(r *infant) (since time.Time) {
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

func (i *infant) flag(about string, what concept, other string, since func(*infant) time.Time) {
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
	i.now = append(i.now, &Resource{Type: "Flag", ID: id, Infant: i.record.Infant, Identifier: known, kind: "flag", other: other,
		model: &resource{kind: "Flag", id: id, status: active, body: &r4.Flag{
			Identifier: []r4.Identifier{*identifier(known.System, known.Value)}, Category: []r4.CodeableConcept{*i.codes.concept(safety)},
			Code: *i.codes.concept(what), Subject: *i.subject, Period: &r4.Period{Start: ptr(i.stamp(began))},
		}}})
}

// What a Flag is about: one of a pair, whatever makes them alike; one for each thing
// that only one can have.
const (
	lookAlike = "look-alike"
	conflict  = "conflict-"
)

func flagID(p *handover.Policy, infant, about, other string) string {
	return named(ofInfant(p, infant), "Flag\n"+about+"\n"+other).String()
}

// summaries are the ward as it is at the moment that is asked for, by infant: what
// is due and who could be mistaken. Nil where nothing that is sent needs them.
func (b *builder) summaries(w handover.Ward) map[string]*handover.Summary {
	if !b.sends("Task") && !b.sends("Flag") || b.ask.ever {
		return nil
	}
	out := map[string]*handover.Summary{}
	for _, s := range handover.Compile(w, b.ask.At, b.ask.Known, b.ask.At).Infants {
		out[s.Infant] = s
	}
	return out
}

// visitsOf counts the stays that have each visit number.
func visitsOf(infants map[string]*infant, at time.Time) map[string]int {
	out := map[string]int{}
	for _, key := range slices.Sorted(maps.Keys(infants)) {
		i := infants[key]
		for _, stay := range i.stays {
			i.entries = i.record.Of(stay, at)
			if v := i.visit(); v != "" {
				out[v]++
			}
		}
	}
	return out
}

func (b *builder) stamp(t time.Time) string { return stamp(t.In(b.policy.Zone)) }

func narrateFlag(m *r4.Flag, status string) *r4.Narrative {
	p := newPage()
	p.line(textOf(&m.Code), saidPeriod(m.Period), status)
	return p.done()
}
