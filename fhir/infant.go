package fhir

import (
	"time"

	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
	"cotline/handover/entry"
)

// infant builds the resources of one infant, entry by entry in the record's
// order.
type infant struct {
	*builder
	record   *entry.Record
	stays    []*entry.Stay
	amended  map[string][]*entry.Entry // what amends an entry, by the original's id
	settling []amending                // what indices stand on, of all stays, made when first wanted
	retaken  map[string]retaken        // by the entry's id, of all stays, made when first wanted
	entries  []*entry.Standing         // of the stay that is built, up to the moment asked for
	settled  []*entry.Entry            // those of them that indices stand on, made when first wanted
	id       string
	subject  *r4.Reference
	care     inUse
	sizes    map[string]*device // by type and size, over all stays
	uses     []*Resource
	facts    []*Resource
	origins  []*Resource // Provenance of corrections
	now      []*Resource // what is so at the moment asked for
	err      error
}

// find reads an infant's record; nil where there is no stay.
func (b *builder) find(key string) *infant {
	records := entry.Replay(b.entries[key], b.ask.Known)
	if key == "" || len(records.Infants) == 0 {
		return nil
	}
	i := &infant{builder: b, record: records.Infants[0], amended: amendments(b.entries[key], b.ask.Known), id: ofInfant(b.policy, key).String(), sizes: map[string]*device{}}
	if i.stays = i.record.Stays(b.ask.At); len(i.stays) == 0 {
		return nil
	}
	return i
}

func (i *infant) admitted() bool { return i.stays[len(i.stays)-1].Discharge == nil }

// build adds what the entries of the latest stay yield, with the heads and weights of
// earlier ones, or those of all.
func (i *infant) build(s *handover.Summary) error {
	i.patient()
	stays := i.stays
	if !i.ask.all {
		i.grown(stays[:len(stays)-1])
		stays = stays[len(stays)-1:]
	}
	for _, stay := range stays {
		i.entries, i.settled = i.record.Of(stay, i.ask.At), nil
		i.care = newInUse(i)
		for _, e := range i.entries {
			i.care.follow(e)
		}
		if stay.Discharge != nil {
			i.care.follow(stay.Discharge) // ends what began at its very moment, too
		}
		i.devices()
		if i.sends("Observation") {
			for _, e := range i.entries {
				i.yield(e)
			}
		}
		i.logistics(stay, s)
		if i.sends("Provenance") {
			i.provenances()
		}
	}
	for _, d := range i.sizes {
		if d.sent != nil {
			d.sent.status = d.status() // it may have come back in a later stay
		}
	}
	i.out = append(i.out, i.uses...)
	i.out = append(i.out, i.facts...)
	i.out = append(i.out, i.now...)
	i.out = append(i.out, i.origins...)
	return i.err
}

// grown adds the heads and weights of earlier stays: they are facts of a later one
// too, and the handover tells them.
func (i *infant) grown(stays []*entry.Stay) {
	for _, stay := range stays {
		i.entries = nil
		for _, e := range i.record.Of(stay, i.ask.At) {
			if e.Kind == "head" || e.Kind == "weight" {
				i.entries = append(i.entries, e)
				if i.sends("Observation") {
					i.yield(e)
				}
			}
		}
		if i.sends("Provenance") {
			i.provenances()
		}
	}
}

// logistics adds what is no observation: the stay, the state of the sensor, what is
// to be done, what to mind. The summary is of an infant who is here; nil: not here,
// or not wanted.
func (i *infant) logistics(stay *entry.Stay, s *handover.Summary) {
	if i.sends("Encounter") {
		i.encounter(stay)
	}
	if i.sends("DeviceMetric") {
		i.metric(stay)
	}
	here := stay == i.stays[len(i.stays)-1] && s != nil
	if !here {
		s = nil
	}
	if i.sends("Task") {
		i.tasks(stay, s)
		if here {
			i.due(s)
		}
	}
	if i.sends("Flag") && here {
		i.flags(s)
	}
}

// fact is what an entry says, as one Observation. Its role names it within the
// entry: id and business identifier come of both.
type fact struct {
	role       string
	category   concept
	code       *r4.CodeableConcept
	value      value
	components []component
	site       *r4.CodeableConcept
	method     *r4.CodeableConcept
	device     *device
	focus      *device
	members    []string // roles of the same entry
	derived    []string // ids of other Observations
	from       string   // effective, where it is not the entry's at
	until      string   // and its end, where it has one
	note       string
	anew       another // than had been told, by other entries
}

// another says when a fact last became another than had been told, and why; zero:
// never.
type another struct {
	at  time.Time
	why string
}

// observe adds a fact of an entry. Effective is when it happened; issued is since
// when the version that stands has stood; a corrected one keeps its id and says so.
// A computed fact also stands on other entries: it is issued with the last of them.
func (i *infant) observe(e *entry.Standing, f fact, also ...*entry.Standing) {
	id, err := ofEntry(e.ID, f.role)
	if err != nil {
		i.err = err
		return
	}
	known := i.builder.own(e.ID + "." + f.role)
	o := &r4.Observation{
		Identifier: []r4.Identifier{*identifier(known.System, known.Value)},
		Category:   []r4.CodeableConcept{*i.codes.concept(f.category)},
		Code:       *f.code, Subject: i.subject,
		ValueQuantity: f.value.quantity, ValueCodeableConcept: f.value.concept, ValueString: f.value.text,
		ValueBoolean: f.value.truth, ValueInteger: f.value.whole, DataAbsentReason: f.value.absent,
		BodySite: f.site, Method: f.method,
	}
	if f.from == "" {
		f.from = dateTime(e.At)
	}
	if f.until == "" {
		o.EffectiveDateTime = &f.from
	} else {
		o.EffectivePeriod = &r4.Period{Start: &f.from, End: &f.until}
	}
	for _, c := range f.components {
		o.Component = append(o.Component, c.model())
	}
	for _, role := range f.members {
		member, _ := ofEntry(e.ID, role)
		o.HasMember = append(o.HasMember, *literal("Observation", member))
	}
	for _, of := range f.derived {
		o.DerivedFrom = append(o.DerivedFrom, *literal("Observation", of))
	}
	if f.device != nil {
		o.Device = i.refer(f.device)
	}
	if f.focus != nil {
		if to := i.refer(f.focus); to != nil {
			o.Focus = []r4.Reference{*to}
		}
	}
	if f.note != "" {
		o.Note = []r4.Annotation{{Text: f.note}}
	}
	status := final
	issued, by := i.version(e)
	o.Performer = []r4.Reference{*i.staff(by)}
	told := map[string]bool{} // one entry may have set both of what a figure is of
	for _, s := range append(also, e) {
		if since, _ := i.version(s); since.After(issued.Time) {
			issued = since
		}
		if why := i.why(s); len(why) > 0 && !told[s.ID] {
			told[s.ID] = true
			status = corrected
			o.Note = append(o.Note, why...)
		}
	}
	if !f.anew.at.IsZero() && (status == final || f.anew.at.After(issued.Time)) { // else the correction says why
		if status == final {
			status = amended
		}
		o.Note = append(o.Note, r4.Annotation{Time: ptr(i.stamp(f.anew.at)), Text: f.anew.why})
		if f.anew.at.After(issued.Time) {
			issued = entry.Moment{Time: f.anew.at.In(i.policy.Zone)}
		}
	}
	o.Issued = ptr(dateTime(issued))
	i.facts = append(i.facts, &Resource{Type: "Observation", ID: id, Infant: i.record.Infant, Identifier: known, kind: e.Kind, entry: e.ID,
		model: &resource{kind: "Observation", id: id, status: status, body: o}})
}

// version is when what stands of an entry was charted, and by whom.
func version(e *entry.Standing) (charted entry.Moment, by string) {
	if e.Correction != nil {
		return e.Correction.Charted, e.Correction.By
	}
	return e.Charted, e.By
}

// latest is the newest entry of the record that charted a field of identity:
// identity lasts over stays.
func (i *infant) latest(field string) *entry.Standing {
	var found *entry.Standing
	for _, e := range i.record.Entries {
		if e.At.After(i.ask.At) {
			break
		}
		if (e.Kind == "admission" || e.Kind == "identity") && e.Has(field) {
			found = e
		}
	}
	return found
}

func (i *infant) identity(field string) string {
	if e := i.latest(field); e != nil {
		return e.Text(field)
	}
	return ""
}

// born is the birth date, a civil day of the unit's zone, and the moment if it
// was charted.
func (i *infant) born() (date, moment string) {
	text := i.identity("born")
	m, err := entry.ParseMoment(text)
	if err != nil {
		return text, ""
	}
	return entry.DateOf(m.Time, i.policy.Zone).String(), dateTime(m)
}

// withinBreak says whether support that stopped and began again has gone on.
func (b *builder) withinBreak(stopped, began time.Time) bool {
	return began.Sub(stopped) <= b.policy.BreakUpTo
}
