package fhir

import (
	"slices"
	"time"

	"cotline/handover/entry"
)

// What an entry leaves out is taken over from the entries before it: the size of a mask
// that was put on again, the tube that a mark is of. When one of those is charted late,
// corrected or taken back, the entry comes to say something else than what was told.
// Its Observation is then amended: R4 lets a final one change in no other way.

// takenAnew tells whoever held it before why it changed.
const takenAnew = "Taken over anew: what was on then was charted, corrected or taken back later"

// taken is what an entry took over, as known at a moment.
type taken struct {
	at     time.Time // when the entry happened
	device string    // what it is about, as it is told
	site   string
	turned bool // it changed between mask and prongs
}

// followed are the kinds of which some take over from others.
var followed = map[string]bool{"admission": true, "discharge": true, "support": true, "interface": true, "circuit": true,
	"bonnet": true, "tube": true}

// among are those of them that take over from one another, within the bounds of a stay: what
// is written down of one of these changes nothing that is taken over among the others.
var among = [][]string{{"support", "interface"}, {"circuit"}, {"bonnet"}, {"tube"}}

// anewOf is when what an entry took over last changed.
func (i *infant) anewOf(e *entry.Standing) retaken {
	if i.retaken == nil {
		i.retaken = i.takenAgain()
	}
	return i.retaken[e.ID]
}

// takenAgain finds every time at which something was written down about what lies
// before other entries, and compares what was known before it and after it.
func (i *infant) takenAgain() map[string]retaken {
	out := map[string]retaken{}
	all := i.amendingOf(followed)
	late := i.lateOf(all)
	for _, kinds := range among {
		i.takenAgainAmong(slices.DeleteFunc(slices.Clone(all), func(x amending) bool {
			return !slices.Contains(kinds, x.kind) && x.kind != "admission" && x.kind != "discharge"
		}), late, out)
	}
	return out
}

// takenAgainAmong adds what some entries took over from one another.
func (i *infant) takenAgainAmong(some []amending, late []time.Time, out map[string]retaken) {
	turned := map[string]bool{}
	before, after := map[string]taken{}, map[string]taken{}
	var entries []*entry.Entry
	for _, x := range some {
		entries = append(entries, x.Entry)
	}
	for _, late := range late {
		if !slices.ContainsFunc(entries, func(e *entry.Entry) bool { return e.Charted.Equal(late) }) {
			continue // none of them was written down then, so none changed
		}
		i.takenKnown(entries, late.Add(-1), before)
		i.takenKnown(entries, late, after)
		for id, was := range before {
			is, there := after[id]
			turned[id] = turned[id] || was.turned
			if !there || !is.at.Before(late) { // withdrawn, or told of no one yet
				continue
			}
			r := out[id]
			if was.device != is.device {
				r.device = change{late, takenAnew}
			}
			if was.site != is.site {
				r.site = change{late, takenAnew}
			}
			if is.turned && turned[id] && (!was.turned || was.device != is.device) {
				r.turn = change{late, takenAnew}
			}
			out[id] = r
		}
	}
}

// lateOf are the moments at which something was written down of a time before that of
// an entry that was already there.
func (i *infant) lateOf(all []amending) (late []time.Time) {
	all = slices.Clone(all)
	slices.SortStableFunc(all, func(a, b amending) int { return a.Charted.Compare(b.Charted.Time) })
	var latest time.Time // that was told of before
	n := 0
	for _, x := range all {
		if x.Charted.After(i.ask.Known) {
			break
		}
		for ; all[n].Charted.Before(x.Charted.Time); n++ {
			if t := all[n].Says().At.Time; t.After(latest) {
				latest = t
			}
		}
		if !x.from.After(latest) {
			late = append(late, x.Charted.Time)
		}
	}
	return slices.CompactFunc(late, time.Time.Equal)
}

// takenKnown finds what each entry took over, as far as it was written down by a moment.
func (i *infant) takenKnown(entries []*entry.Entry, known time.Time, out map[string]taken) {
	clear(out)
	apart := *i.builder // what was known then leaves nothing in the export
	apart.drivers, apart.absent = map[string]*device{}, map[string]bool{}
	for _, record := range entry.Replay(entries, known).Infants {
		then := &infant{builder: &apart, record: record, sizes: map[sizedKind]*device{}}
		for _, stay := range record.Stays(i.ask.At) {
			own := record.Of(stay, i.ask.At)
			care := newInUse(then, own)
			for _, e := range own {
				t := taken{at: e.At.Time, turned: care.rotated[e.ID]}
				if d := care.at[e.ID]; d != nil {
					t.site = d.site.Code
					if i.sendsDevices() {
						t.device = d.id
					}
					if d.entry == "" { // of a type and size: a tube's own may be charted later
						t.device += "\n" + d.size
					}
				}
				out[e.ID] = t
			}
		}
	}
}
