package fhir

import (
	"slices"
	"time"

	"cotline/fhir/internal/r4"
	"cotline/handover"
	"cotline/handover/entry"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

// infant builds the resources of one infant, entry by entry in the record's
// order.
type infant struct {
	*builder
	record     *entry.Record
	identified []*entry.Standing // entries that say who it is, up to the moment asked for, made when first wanted
	stays      []*entry.Stay
	amended    map[string][]*entry.Entry     // what amends an entry, by the original's id
	settling   []amending                    // what indices stand on, of all stays, made when first wanted
	retaken    map[string]retaken            // by the entry's id, of all stays, made when first wanted
	entries    []*entry.Standing             // of the stay that is built, up to the moment asked for
	settledBy  map[time.Time][]*entry.Record // what indices stand on, by when it was known
	computedAt map[string]handover.IndicesAt // by the reading of SpO2, of the stay that is built, made when first wanted
	id         string
	subject    *models.Reference
	stay       *models.Reference // that is built; nil: none that a receiver could tell
	care       inUse
	sizes      map[sizedKind]*device // interfaces and bonnets, over all stays
	uses       []*r4.Resource
	facts      []*r4.Resource
	origins    []*r4.Resource // Provenance of corrections
	now        []*r4.Resource // what is so at the moment asked for, and what was so before
	course     *handover.Course
	dueOnce    []handover.WasDue // made when first wanted
	out        []*r4.Resource    // all of them, in the order of the export
	built      bool
	err        error
}

// find reads an infant's record; nil where there is no stay.
func (b *builder) find(key string) *infant {
	records := entry.Replay(b.entries[key], b.ask.Known)
	if key == "" || len(records.Infants) == 0 {
		return nil
	}
	i := &infant{builder: b, record: records.Infants[0], amended: amendments(b.entries[key], b.ask.Known),
		id: r4.IDOfInfant(b.policy, key).String(), sizes: map[sizedKind]*device{}}
	if i.stays = i.record.Stays(b.ask.At); len(i.stays) == 0 {
		return nil
	}
	return i
}

func (i *infant) add(id r4.Identifier, r *r4.Model) {
	i.out = append(i.out, &r4.Resource{Type: r.Kind, ID: r.ID, Infant: i.record.Infant, Identifier: id, Model: r})
}

func (i *infant) admitted() bool { return i.stays[len(i.stays)-1].Discharge == nil }

// wanted says whether an infant is of what was asked for: every one who is admitted, and
// every one who left within the policy's time before, closed, so that a receiver who
// was told of a stay is told of its end.
func (i *infant) wanted() bool {
	switch {
	case i.ask.Infant != "":
		return i.record.Infant == i.ask.Infant
	case i.ask.all || i.admitted():
		return true
	}
	return i.lately(i.stays[len(i.stays)-1])
}

// lately says whether a stay that is over ended within the policy's time before.
func (i *infant) lately(stay *entry.Stay) bool {
	return stay.Discharge.At.Add(i.policy.FHIR.Left).After(i.ask.At)
}

// latest is the newest entry of the record that charted a field of identity:
// identity lasts over stays.
func (i *infant) latest(field string) *entry.Standing {
	if i.identified == nil {
		for _, e := range entry.UpTo(i.record.Entries, i.ask.At) {
			if e.Kind == "admission" || e.Kind == "identity" {
				i.identified = append(i.identified, e)
			}
		}
	}
	for _, e := range slices.Backward(i.identified) {
		if e.Has(field) {
			return e
		}
	}
	return nil
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
	return entry.DateOf(m.Time, i.policy.Zone).String(), r4.DateTime(m)
}

func (i *infant) idOf(e *entry.Standing, role string) string {
	id, err := r4.IDOfEntry(e.ID, role)
	if err != nil {
		i.err = err
	}
	return id
}

func (i *infant) restricted() bool {
	e := i.latest("restricted")
	return e != nil && e.Flag("restricted")
}

// visit is the hospital's number of the stay that is built, empty without any.
func (i *infant) visit() (number string) {
	for _, e := range i.entries {
		if (e.Kind == "admission" || e.Kind == "identity") && e.Has("visit") {
			number = e.Text("visit")
		}
	}
	return number
}
