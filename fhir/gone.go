package fhir

import (
	"fmt"
	"maps"
	"slices"
	"time"

	"cotline/fhir/internal/r4"
	"cotline/handover"
	"cotline/handover/entry"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

// What was told in the while before an export, and what no moment yields any more as it is
// known now, is told as entered in error: an entry that was taken back, a value that a
// correction left out, a period of use that began with another entry than was thought. It
// is what it was when it was last told, but for that.

// doubtful is a moment at which something was written down that may have undone what was
// told before it, and which entries tell of what was told.
type doubtful struct {
	at       time.Time
	roots    map[string]bool // entries that were corrected or taken back
	faces    bool            // what the changes between mask and prongs are told of
	readings bool            // what indices are told of
	all      bool            // the stay itself
	worn     bool            // what was in use, or the stay's own resources
}

// besideObservations are the kinds that tell of more than Observations.
var besideObservations = map[string]bool{"task": true, "task-done": true, "plan": true, "calibration": true, "move": true, "identity": true}

func (d *doubtful) join(x *doubtful) {
	maps.Copy(d.roots, x.roots)
	d.faces, d.readings, d.all, d.worn = d.faces || x.faces, d.readings || x.readings, d.all || x.all, d.worn || x.worn
}

// doubts are those of an infant's entries within the while that is told of, in order.
func (b *builder) doubts(infant string) []*doubtful {
	own := slices.Clone(b.entries[infant])
	slices.SortStableFunc(own, func(x, y *entry.Entry) int { return x.Charted.Compare(y.Charted.Time) })
	byID := map[string]*entry.Entry{}
	for _, e := range own {
		byID[e.ID] = e
	}
	var out []*doubtful
	var latest time.Time // of what happened and was known before
	for _, e := range own {
		if e.Charted.After(b.ask.Known) {
			break
		}
		root := e
		for range 2 { // a retraction may be of a correction
			if root != nil && root.Amends() {
				root = byID[root.Reference("of")]
			}
		}
		late := e.Amends() || followed[e.Kind] && !e.At.After(latest)
		if t := versionOf(e).At.Time; t.After(latest) {
			latest = t
		}
		if !late || root == nil || !e.Charted.After(b.window()) {
			continue
		}
		d := &doubtful{at: e.Charted.Time, roots: map[string]bool{}}
		if e.Amends() {
			d.roots[root.ID] = true
		}
		d.all = root.Kind == "admission" || root.Kind == "discharge"
		d.faces = root.Kind == "interface" || root.Kind == "support"
		d.readings = (settlingKinds[root.Kind] || root.Kind == "observations") && !b.leaves("indices")
		d.worn = d.all || followed[root.Kind] || besideObservations[root.Kind]
		if n := len(out); n > 0 && out[n-1].at.Equal(d.at) {
			out[n-1].join(d)
		} else {
			out = append(out, d)
		}
	}
	return out
}

// gone adds to what an infant yields what it yielded and yields no more. Of an infant
// who has no stay any more it is all there was.
func (b *builder) gone(infant string, i *infant) (out []*r4.Resource, err error) {
	doubts := b.doubts(infant)
	if len(doubts) == 0 {
		return nil, nil
	}
	every := &doubtful{roots: map[string]bool{}}
	for _, d := range doubts {
		every.join(d)
	}
	ask := Ask{Known: b.ask.Known, Codes: b.ask.Codes, all: true, from: b.window()}
	still := map[string]bool{}
	if i != nil {
		for _, r := range i.out {
			still[r.Key()] = true
		}
	}
	ask.At = forever
	if ever := b.apartAt(ask).find(infant); ever != nil {
		ever.hasty = true
		for _, r := range ever.yielded(every, nil) {
			still[r.Key()] = true
		}
	}
	last := map[string]*r4.Resource{}
	from := map[string]*builder{}
	var order []string
	for _, d := range doubts {
		ask.At, ask.Known = earlier(b.ask.At, d.at.Add(-1)), d.at.Add(-1)
		then := b.apartAt(ask)
		x := then.find(infant)
		if x == nil {
			continue
		}
		x.hasty = true // most are still there: no more is made of them than which they are
		missing := &doubtful{roots: map[string]bool{}, worn: d.worn}
		some := false
		for _, r := range x.yielded(d, i) {
			if !still[r.Key()] {
				missing.roots[r.Entry], some = true, true
			}
		}
		if !some {
			continue
		}
		then = b.apartAt(ask)
		for _, r := range then.find(infant).yielded(missing, i) {
			key := r.Key()
			if still[key] {
				continue
			}
			if last[key] == nil {
				order = append(order, key)
			}
			last[key], from[key] = r, then
		}
	}
	amended := amendments(b.entries[infant], b.ask.Known)
	for _, key := range order {
		r := last[key]
		var why *entry.Entry
		if all := amended[r.Entry]; len(all) > 0 {
			why = all[len(all)-1]
		}
		if err := b.inError(r, why, b.entries[infant]); err != nil {
			return nil, err
		}
		if err := r.Encode(b.policy); err != nil {
			return nil, err
		}
		b.need(r, from[key])
		out = append(out, r)
	}
	return out, nil
}

// apartAt is a builder of another moment that leaves nothing in the export.
func (b *builder) apartAt(ask Ask) *builder {
	apart := *b
	apart.ask = ask
	apart.drivers, apart.absent, apart.people, apart.cots = map[string]*device{}, map[string]bool{}, map[string]string{}, map[string]bool{}
	return &apart
}

// need keeps of another builder those whom a resource refers to.
func (b *builder) need(r *r4.Resource, from *builder) {
	to := map[string]bool{}
	for _, s := range r.Refs {
		to[string(r.JSON[s.Start:s.End])] = true
	}
	for tag, d := range from.drivers {
		if to["Device/"+d.id] && b.drivers[tag] == nil {
			b.drivers[tag] = d
		}
	}
	for key, name := range from.people {
		if to["Practitioner/"+r4.IDOfPerson(b.system("staff"), key)] {
			b.people[key] = name
		}
	}
	for name := range from.cots {
		if to["Location/"+r4.IDOfCot(b.policy, name)] {
			b.cots[name] = true
		}
	}
}

// yielded is what an infant yielded that may be gone: all but what entries tell that are
// not in doubt. Its Patient is the one that is told of now, where there is one; then it is
// of the stays that are told of now, too.
func (i *infant) yielded(d *doubtful, now *infant) []*r4.Resource {
	i.patient()
	var before time.Time // the end of a stay that is not told of
	if now != nil {
		i.out, i.subject = nil, now.subject
		if earlier, _ := now.told(); len(earlier) > 0 {
			before = earlier[len(earlier)-1].Discharge.At.Time
		}
	}
	for _, stay := range i.stays {
		if stay.Discharge != nil && !stay.Discharge.At.After(before) {
			continue
		}
		if d.worn || !i.hasty {
			i.begin(stay)
			i.devices()
			i.logistics(stay, nil)
		} else { // what was in use tells nothing of these
			i.entries, i.computedAt, i.stay, i.care = i.record.Of(stay, i.ask.At), nil, nil, newInUse(i)
		}
		if !i.sends("Observation") {
			continue
		}
		for _, e := range i.entries {
			switch {
			case d.all || d.roots[e.ID]:
				i.yield(e)
			case d.faces && i.care.turns.found[e.ID]:
				i.rotated(e)
			case d.readings && e.Kind == "observations" && e.Has("spo2Percent"):
				i.indices(e)
			}
		}
	}
	return slices.Concat(i.out, i.uses, i.facts)
}

// inError makes a resource say that it was entered in error, by whom and why: by an entry
// that amends the one it came of, or, for an index, by what settles it. Everything
// else in it stays, so that a receiver finds the one that it holds.
func (b *builder) inError(r *r4.Resource, why *entry.Entry, entries []*entry.Entry) error {
	switch m := r.Model.Body.(type) {
	case *models.Observation:
		r.Model.Status = r4.InError
		if why != nil {
			m.Issued = r4.Ptr(r4.DateTime(why.Charted))
			m.Note = append(m.Note, b.amendedBy(why))
		} else if note := goneFor(r, handover.Ward{Policy: b.policy, Entries: entries}, b.ask.Known); note != nil {
			m.Issued, m.Note = note.Time, append(m.Note, *note)
		}
	case *models.DeviceUseStatement:
		r.Model.Status = r4.InError
		if why != nil {
			m.RecordedOn = r4.Ptr(r4.DateTime(why.Charted))
			m.Note = append(m.Note, b.amendedBy(why))
		}
	case *models.Task:
		r.Model.Status = r4.Cancelled
		if why != nil {
			m.LastModified = r4.Ptr(laterOf(*m.AuthoredOn, r4.DateTime(why.Charted)))
			m.Note = append(m.Note, b.amendedBy(why))
		}
	case *models.Encounter, *models.Flag:
		r.Model.Status = r4.InError
	case *models.DeviceMetric:
		m.OperationalStatus = r4.Ptr(models.DeviceMetricOperationalStatusEnteredInError)
	case *models.Device:
		r.Model.Status = r4.InError
	case *models.Patient:
		m.Active = r4.Ptr(false) // the type has no status
	default:
		return fmt.Errorf("%s cannot be withdrawn", r.Type)
	}
	return nil
}
