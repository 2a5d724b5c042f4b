package handover

import (
	"slices"
	"time"

	"cotline/handover/entry"
)

// SeriesOf is the window of one infant of a compiled handover, read from the
// same entries; false for an infant who is not in it.
func SeriesOf(w Ward, h *Handover, infant string) (Series, bool) {
	r, f, ok := readAgain(w, h, infant)
	if !ok {
		return Series{}, false
	}
	s := Series{Infant: infant, Cot: f.Cot, MRN: f.MRN, Temporary: f.Temporary, Since: r.since, At: r.at, Zone: r.p.Zone}
	s.Clocks = clockChanges(r.since, r.at, r.p.Zone)
	s.Support = r.supportBars()
	s.FiO2, s.Pressure = r.setSteps("fio2Percent"), r.setSteps("pressureCmH2O")
	s.Target, s.SpO2 = r.targets(), r.saturations()
	s.Interface, s.Rotations = r.interfaceBars(), r.rotations()
	s.Skin, s.Episodes, s.Alarms = r.skinSeen(), r.episodesSeen(), r.alarmsFact()
	return s, true
}

// readAgain is the reading that an infant's summary was computed from.
func readAgain(w Ward, h *Handover, infant string) (*reading, *Summary, bool) {
	i := slices.IndexFunc(h.Infants, func(f *Summary) bool { return f.Infant == infant })
	if i < 0 {
		return nil, nil, false
	}
	var entries []*entry.Entry
	for _, e := range w.Entries {
		if e.Infant == infant {
			entries = append(entries, e)
		}
	}
	record := entry.Replay(entries, h.Known).Of(infant)
	stay := record.Admitted(h.At)
	if stay == nil {
		return nil, nil, false
	}
	r := newReading(w.Policy, record, stay, h.At)
	r.since = h.Infants[i].Since
	return r, h.Infants[i], true
}

// clockChanges are the moments after since, up to at, at which a zone's offset
// changes.
func clockChanges(since, at time.Time, zone *time.Location) []ClockChange {
	var out []ClockChange
	for t := since; ; {
		_, end := t.In(zone).ZoneBounds()
		if end.IsZero() || end.After(at) {
			return out
		}
		if !end.After(t) { // on the last day of a leap year to come the bounds that Go 1.26 tells end before it
			t = t.AddDate(0, 0, 1)
			continue
		}
		_, before := t.In(zone).Zone()
		_, after := end.In(zone).Zone()
		if before != after && end.After(since) {
			out = append(out, ClockChange{end, time.Duration(before) * time.Second, time.Duration(after) * time.Second})
		}
		t = end
	}
}
