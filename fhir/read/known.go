package read

import (
	"slices"
	"strings"
	"time"

	"cotline/fhir/internal/r4"
	"cotline/handover"
	"cotline/handover/entry"
)

// reader reads gathered resources against what is given beside them.
type reader struct {
	*Resources
	Given
	infants  map[string]*known                    // by key
	byNumber map[string]string                    // keys by hospital number; "" where two infants have one
	heard    map[string][]*statement              // of what others observed, by the id of its entry
	former   map[string]string                    // keys by any number that an infant had; "" likewise
	amended  map[string]map[string][]*entry.Entry // by infant, then by the original's id
	met      map[string]bool                      // infants whose Patient was seen
	references
	stays    map[string][]*offered // Encounters in progress by hospital number
	used     map[*offered]bool     // Encounters that were read with their Patient
	sent     map[sending]map[string]*r4.Part
	computed map[string]int      // how often what was sent was computed, by infant
	told     map[string]bool     // changes that were told
	came     map[string]bool     // names of resources of ours that came back
	amends   map[string]*toAmend // what of those is to be charted, by the entry's id
}

// known is an infant as the record holds it.
type known struct {
	key      string
	bounds   []*entry.Standing          // admissions and discharges, in order
	says     map[string]*entry.Standing // what charted a field of its identity last
	numbers  []string                   // that it ever had
	admitted bool
}

// statement is what one Observation says of something observed.
type statement struct {
	o      *offered
	infant string // empty: of nobody known
	status string
	id     string       // of the entry that it becomes
	entry  *entry.Entry // nil: it is withdrawn
}

// toAmend is what is to be charted of one entry, because it came back changed.
type toAmend struct {
	ordinal int
	o       *offered
	at      string            // its moment; empty: as it was
	numbers map[string]string // by field; empty: it was entered in error
}

// sending is what was sent of an infant by a moment.
type sending struct {
	infant string
	known  int64
}

func newReader(r *Resources, g Given) *reader {
	d := &reader{Resources: r, Given: g, infants: map[string]*known{}, byNumber: map[string]string{}, heard: map[string][]*statement{},
		former: map[string]string{}, amended: map[string]map[string][]*entry.Entry{}, met: map[string]bool{}, used: map[*offered]bool{},
		references: references{g.Policy.FHIR.Identifiers["mrn"].System, addresses{}}, stays: map[string][]*offered{},
		sent: map[sending]map[string]*r4.Part{}, computed: map[string]int{},
		told: map[string]bool{}, came: map[string]bool{}, amends: map[string]*toAmend{}}
	if d.Held == nil {
		d.Held = entry.Nothing
	}
	if len(r.bases) > 0 && len(g.Identify) == 0 && g.Sent == nil &&
		!slices.ContainsFunc(r.all, func(o *offered) bool { return !d.ours(o) }) {
		return d // a record's own export: nobody is looked for
	}
	d.index()
	d.Held = holdingToo(d.Held, slices.Concat(g.Beside, r.read.Entries))
	for _, key := range d.Held.Keys() {
		for _, rec := range entry.Replay(d.Held.Infant(key), g.Now).Infants {
			k := knownOf(rec, g.Now)
			d.infants[key] = k
			whose(d.byNumber, k.text("mrn"), key)
			for _, number := range k.numbers {
				whose(d.former, number, key)
			}
		}
	}
	return d
}

// index keeps what resources refer to, so that reading many takes time in proportion to
// their number.
func (d *reader) index() {
	for _, o := range d.all {
		if o.kind == "Patient" {
			d.patients.add(o)
		}
	}
	for _, o := range d.all {
		if o.kind == "Encounter" && o.Text("status") == r4.Ongoing && o.At("modifierExtension") == nil && !d.ours(o) {
			if n, _ := d.subject(o); n != "" {
				d.stays[n] = append(d.stays[n], o)
			}
		}
	}
}

// together is what a record holds with what is offered to it beside.
type together struct {
	entry.Holding
	byID     map[string]*entry.Entry
	byInfant map[string][]*entry.Entry
}

func holdingToo(held entry.Holding, offered []*entry.Entry) entry.Holding {
	t := together{held, map[string]*entry.Entry{}, map[string][]*entry.Entry{}}
	for _, e := range offered {
		if t.Entry(e.ID) == nil {
			t.byID[e.ID] = e
			t.byInfant[e.Infant] = append(t.byInfant[e.Infant], e)
		}
	}
	if len(t.byID) == 0 {
		return held
	}
	return t
}

func (t together) Entry(id string) *entry.Entry {
	if e := t.byID[id]; e != nil {
		return e
	}
	return t.Holding.Entry(id)
}

func (t together) Infant(key string) []*entry.Entry {
	return append(t.Holding.Infant(key), t.byInfant[key]...)
}

func (t together) Stays(key string) []*entry.Entry { return t.Infant(key) }

func (t together) Like(key string) string {
	for known := range t.byInfant {
		if strings.EqualFold(known, key) {
			return known
		}
	}
	return t.Holding.Like(key)
}

func (t together) Keys() []string {
	keys := t.Holding.Keys()
	for key := range t.byInfant {
		if key != "" && !slices.Contains(keys, key) {
			keys = append(keys, key)
		}
	}
	return keys
}

// whose keeps whose a hospital number is.
func whose(keys map[string]string, number, key string) {
	if number == "" {
		return
	}
	if was, ok := keys[number]; ok && was != key {
		key = ""
	}
	keys[number] = key
}

// knownOf is an infant as its record tells it.
func knownOf(r *entry.Record, now time.Time) *known {
	k := &known{key: r.Infant, says: map[string]*entry.Standing{}, admitted: r.Admitted(now) != nil}
	for _, e := range r.Entries {
		k.charts(e)
	}
	return k
}

// charts keeps what an entry says of who the infant is, and where. The latest of each
// field of identity holds; the number of a visit holds for its stay only.
func (k *known) charts(e *entry.Standing) {
	switch e.Kind {
	case "admission", "identity":
		for _, f := range e.Fields {
			k.says[f.Name] = e
			if f.Name == "mrn" {
				k.numbers = append(k.numbers, f.Value.Text)
			}
		}
	case "discharge":
		delete(k.says, "visit")
	}
	if e.Kind == "admission" || e.Kind == "discharge" {
		k.bounds = append(k.bounds, e)
	}
}

// text is a field of the infant's identity as it stands, empty without any.
func (k *known) text(field string) string {
	e := k.says[field]
	if e == nil {
		return ""
	}
	if n, ok := e.Number(field); ok {
		return n.String()
	}
	return e.Text(field)
}

// away says whether the infant had left by a moment and had not come back.
func (k *known) away(at time.Time) bool {
	left := false
	for _, e := range k.bounds {
		switch {
		case e.Kind == "discharge" && e.At.Before(at):
			left = true
		case e.Kind == "admission" && !e.At.After(at):
			left = false
		}
	}
	return left
}

// ours says whether a resource comes from a record like this one. It was charted there,
// and is never charted again from a resource.
func (d *reader) ours(o *offered) bool {
	return slices.ContainsFunc(identifiers(o.Part), func(id *r4.Part) bool { return d.ownSystem(id.Text("system")) }) ||
		o.carries || len(d.bases) > 0 && o.kind == "Provenance" || d.shared(o)
}

// shared says whether a resource is a person or a driver that such a record sends beside
// what it charted. They have the hospital's identifiers: ours are told by an id that
// follows from the identifier or, where the receiver gave another one, by what the
// policy says of it.
func (d *reader) shared(o *offered) bool {
	idOf, listed := r4.IDOfPerson, func(system, key string) bool {
		return system == d.Policy.FHIR.Identifiers["staff"].System &&
			slices.ContainsFunc(d.Policy.Staff, func(s handover.Staff) bool { return s.Key == key })
	}
	switch o.kind {
	case "Practitioner":
	case "Device":
		idOf, listed = r4.IDOfDriver, func(system, _ string) bool {
			return system == d.Policy.FHIR.Identifiers["device"].System && d.at(o.At("type"), r4.DriverDevice)
		}
	default:
		return false
	}
	return slices.ContainsFunc(identifiers(o.Part), func(id *r4.Part) bool {
		system, value := id.Text("system"), id.Text("value")
		if system == "" || value == "" {
			return false
		}
		own := idOf(system, value)
		return o.Text("id") == own || o.url == "urn:uuid:"+own || listed(system, value)
	})
}

func (d *reader) ownSystem(system string) bool {
	base, own := strings.CutSuffix(system, r4.OwnIDPath)
	return own && (d.bases[base] || base == d.Policy.FHIR.Base)
}
