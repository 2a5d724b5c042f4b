package web

import (
	"slices"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/web/words"
)

// recordNow is the infant's record, or the unit's own, as it stands, with the entries
// that it stands on.
func (c *charting) recordNow(find func(entry.Holding)) (*entry.Record, []*entry.Entry, error) {
	var all []*entry.Entry
	err := c.journal.Holding(c.r.Context(), func(held entry.Holding) {
		all = held.Infant(c.infant)
		if find != nil {
			find(held)
		}
	})
	if err == nil && c.infant == "" {
		all, err = c.units[c.r.unit].ofUnit(c.r.Context())
	}
	if err != nil {
		return nil, nil, err
	}
	known := c.now
	for _, e := range all {
		if e.Charted.After(known) {
			known = e.Charted.Time
		}
	}
	records := entry.Replay(all, known)
	if c.infant == "" {
		return records.Unit, all, nil
	}
	return records.Of(c.infant), all, nil
}

// amending is a request to correct or withdraw an entry of the path.
func (s *Server) amending(r *request) (c *charting, standing *entry.Standing, of *entry.Entry, err error) {
	if c, err = s.charting(r); err != nil {
		return nil, nil, nil, err
	}
	record, _, err := c.recordNow(func(held entry.Holding) { of = held.Entry(r.part("entry")) })
	switch {
	case err != nil:
		return nil, nil, nil, err
	case of == nil || of.Infant != c.infant || of.Kind == "retraction":
		return nil, nil, nil, errNotThere
	}
	i := slices.IndexFunc(record.Entries, func(e *entry.Standing) bool { return e.ID == of.ID })
	if i >= 0 {
		standing = record.Entries[i]
	}
	return c, standing, of, nil
}

func ofAndReason(id, reason string) []entry.Field {
	out := []entry.Field{entry.TextField("of", id)}
	if reason != "" {
		out = append(out, entry.TextField("reason", reason))
	}
	return out
}

// words are an entry in the words of the handover, as it stands.
func (c *charting) words(record *entry.Record, all []*entry.Entry, e *entry.Entry) string {
	id := e.ID
	if e.Amends() {
		id = e.Reference("of")
	}
	standing := &entry.Standing{Entry: e}
	if i := slices.IndexFunc(all, func(x *entry.Entry) bool { return x.ID == id }); i >= 0 {
		standing = &entry.Standing{Entry: all[i]}
	}
	if i := slices.IndexFunc(record.Entries, func(x *entry.Standing) bool { return x.ID == id }); i >= 0 {
		standing = record.Entries[i]
	}
	said := ""
	if tell := handover.Tell(c.policy, record, c.now); tell != nil {
		said = tell.Said(standing)
	} else {
		k, _ := entry.KindOf(standing.Kind)
		said = k.Label + " " + standing.Text("text")
	}
	at := standing.At.In(c.policy.Zone)
	clock, day := at.Format("15:04"), at.Format("Mon 2 Jan")
	switch e.Kind {
	case "correction":
		return words.Say("Corrected: %s, at %s on %s", said, clock, day)
	case "retraction":
		return words.Say("Withdrawn: %s, at %s on %s", said, clock, day)
	}
	return words.Say("%s, at %s on %s", said, clock, day)
}
