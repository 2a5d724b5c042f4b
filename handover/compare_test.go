package handover

import (
	"math/rand/v2"
	"reflect"
	"testing"
	"time"

	"cotline/handover/entry"
	"cotline/internal/ward"
)

// Changes are told from less than is told of an infant now, and mostly without a second
// replay: they are those that a whole summary of the record, replayed as the last nurse
// was told of it, gives.
func TestChangesAreThoseOfAWholeSummary(t *testing.T) {
	v, _ := entry.ParseJSON([]byte(`{}`))
	policy, issues := DecodePolicy(v, time.LoadLocation)
	if len(issues) > 0 {
		t.Fatal(issues)
	}
	changes, replayed, late := 0, 0, 0
	for seed := range uint64(12) {
		w := Ward{Policy: policy, Signed: map[string]int64{}}
		for line := range ward.Random(seed, 3, 2) {
			v, _ := entry.ParseJSON(line)
			e, issues := entry.Decode(v)
			if len(issues) > 0 {
				t.Fatal(issues)
			}
			w.Entries = append(w.Entries, &e)
		}
		r := rand.New(rand.NewPCG(seed, 0))
		for i := range w.Entries {
			w.Positions = append(w.Positions, int64(1+(i+r.IntN(30))/20*20))
		}
		for range 40 {
			at := w.Entries[r.IntN(len(w.Entries))].At.Time
			known := at
			if r.IntN(4) == 0 {
				known = w.Entries[r.IntN(len(w.Entries))].At.Time
			}
			for _, s := range Compile(w, at, known, time.Time{}).Infants {
				got, otherwise, unheld := changesAnew(w, s, at, known)
				if !reflect.DeepEqual(s.Changes, got) {
					t.Errorf("seed %d, %s at %v as known %v: told %v, a whole summary gives %v", seed, s.Infant, at, known, s.Changes, got)
				}
				changes += len(got)
				if otherwise {
					replayed++
				}
				late += unheld
			}
		}
	}
	if changes == 0 || replayed == 0 || late == 0 {
		t.Errorf("%d changes, %d after an amendment, %d of late entries were looked at: too few", changes, replayed, late)
	}
}

// changesAnew are an infant's changes by their definition.
func changesAnew(w Ward, s *Summary, at, known time.Time) (out []Change, amended bool, arrived int) {
	var entries, unit []*entry.Entry
	for _, e := range w.Entries {
		switch e.Infant {
		case s.Infant:
			entries = append(entries, e)
		case "":
			unit = append(unit, e)
		}
	}
	record := entry.Replay(entries, known).Of(s.Infant)
	r := newReading(w.Policy, record, record.Admitted(at), at)
	r.since = s.Since
	r.from = newUnitReading(w, entry.Replay(unit, known).Unit, at).accepted(s.Infant, r.stay, at)
	late := r.untold()
	var told []*entry.Entry
	for _, e := range entries {
		if !late(e) {
			told = append(told, e)
			continue
		}
		if !e.Charted.After(r.toldBy()) {
			arrived++
		}
		amended = amended || e.Amends() && !e.Charted.After(known)
	}
	before := entry.Replay(told, r.toldBy()).Of(s.Infant)
	stay := before.Admitted(r.since)
	if stay == nil {
		return []Change{}, amended, arrived
	}
	then := newReading(w.Policy, before, stay, r.since)
	then.since = r.since
	return r.changesOf(r.comparable(r.summary()), then.comparable(then.summary()), before, amended, late), amended, arrived
}
