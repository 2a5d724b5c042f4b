package handover

import (
	"slices"
	"time"

	"cotline/handover/entry"
)

// beforeSpell is how long before a spell its settings may be charted (both ends in).
const beforeSpell = 30 * time.Minute

// settingsFrom is since when settings count for a spell: up to 30 min before it,
// but after the one before.
func (r *reading) settingsFrom(s *spell) time.Time {
	from := s.start.Add(-beforeSpell)
	if i := slices.Index(r.spells, s); i > 0 {
		from = latestOf(from, r.spells[i-1].end)
	}
	return from
}

// settingsOf are the settings entries of a spell that carry a field, breaks too:
// those of the spell, and those that count for it before.
func (r *reading) settingsOf(s *spell, field string) []*entry.Standing {
	out := since(r.settings(field), r.settingsFrom(s))
	if !s.end.IsZero() {
		out = before(out, s.end)
	}
	return out
}

// settings are those of the stay that carry a field.
func (r *reading) settings(field string) []*entry.Standing {
	if r.carrying == nil {
		r.carrying = few[*entry.Standing]{}
		for _, e := range r.own["settings"] {
			r.carry(e)
		}
	}
	return *r.carrying.of(field)
}

// carry adds the next entry of settings.
func (r *reading) carry(e *entry.Standing) {
	for i := range e.Fields {
		if f := &e.Fields[i]; f.Value.Type != entry.Absent {
			of := r.carrying.of(f.Name)
			*of = append(*of, e)
		}
	}
}

// setAt is the entry that sets a field at a moment of a spell, nil when nothing
// was set. A set pressure holds only while the mode has one; a change back needs
// a new one, from 30 min before it on. It looks back from the latest, so that a
// long stay costs no more than a short one.
func (r *reading) setAt(s *spell, field string, t time.Time) *entry.Standing {
	from := r.settingsFrom(s)
	if field == "pressureCmH2O" {
		since, ok := s.pressureFrom(t)
		if !ok {
			return nil
		}
		if since.After(s.start) {
			from = latestOf(from, since.Add(-beforeSpell))
		}
	}
	all := entry.UpTo(r.settings(field), t)
	if !s.end.IsZero() {
		all = before(all, s.end)
	}
	if n := len(all); n > 0 && !all[n-1].At.Before(from) {
		return all[n-1]
	}
	return nil
}

// settingsFact lists the settings that apply, in the record's order.
func (r *reading) settingsFact() []Setting {
	if r.spell == nil {
		return nil
	}
	var out []Setting
	kind, _ := entry.KindOf("settings")
	for _, spec := range kind.Fields {
		field := spec.Name
		e := r.appliesAt(r.spell, field, r.at)
		switch field {
		case "pressureCmH2O":
			if !r.in(pressureModes) {
				continue
			}
		case "upperPressureCmH2O", "rateMin", "inspiratoryS":
			if !r.in(ratedModes) || e == nil {
				continue
			}
		}
		s := Setting{Field: field}
		if e != nil {
			v, _ := e.Number(field)
			s.Fact = &NumberFact{Value: v, Source: r.source(e)}
		}
		out = append(out, s)
	}
	return out
}

// appliesAt is the entry that a setting or a bound of SpO2 is from, nil where there is none.
func (r *reading) appliesAt(s *spell, field string, t time.Time) *entry.Standing {
	if field == "spo2LowPercent" || field == "spo2HighPercent" {
		return r.targetAt(field, t)
	}
	return r.setAt(s, field, t)
}

// targetAt is the SpO2 bound charted last in the stay at a moment, whenever.
func (r *reading) targetAt(field string, t time.Time) *entry.Standing {
	return latest(entry.UpTo(r.settings(field), t), always)
}
