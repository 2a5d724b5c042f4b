package web

import (
	"cmp"
	"maps"
	"slices"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/journal"
)

// Snapshot is a unit as it stood at a moment. What it tells never changes: pages are made
// from it while the next one is.
type Snapshot struct {
	At       time.Time
	Head     journal.Head
	handover *handover.Handover // of everybody, by cot
	policy   *handover.Policy
	infants  map[string]compiled
	oldest   time.Time // the moment that any of it was compiled for
	lines    *drawnLines
	clock    journal.Clock // that took what it tells
}

// compiled is one infant: its summary, the moment that it was made for, and the entries
// that it was made from, for pictures.
type compiled struct {
	at      time.Time
	summary *handover.Summary
	entries entries
	late    []handover.Late
}

// compile compiles everybody.
func (k *kept) compile(at time.Time) *Snapshot {
	h := handover.Compile(k.ward(nil, nil), at, at, time.Time{})
	k.drop(h, at)
	s := &Snapshot{At: at, Head: k.reading.Head, policy: k.policy, infants: map[string]compiled{}, oldest: at,
		lines: newLines(), clock: k.reading.Clock}
	for _, f := range h.Infants {
		s.infants[f.Infant] = k.compiled(h, f, at)
	}
	k.reading.Tell(h)
	s.handover = h
	return s
}

func (k *kept) compiled(h *handover.Handover, f *handover.Summary, at time.Time) compiled {
	c := compiled{at: at, summary: f, entries: *k.infants[f.Infant]}
	for _, l := range h.Late {
		if l.Infant == f.Infant {
			c.late = append(c.late, l)
		}
	}
	return c
}

// leftFor is how long those who left are told of.
const leftFor = 72 * time.Hour

// drop forgets those who left a while ago: the list of who left goes back to each one's
// last handover, which of them is never followed by another, and what is read goes back to
// everybody who was here in these months.
func (k *kept) drop(h *handover.Handover, at time.Time) {
	before := at.Add(-leftFor)
	h.Left = slices.DeleteFunc(h.Left, func(l handover.Left) bool { return l.At.Before(before) })
	told := map[string]bool{}
	for _, f := range h.Infants {
		told[f.Infant] = true
	}
	for _, l := range h.Left {
		told[l.Infant] = true
	}
	gone := map[string]bool{}
	for key, x := range k.infants {
		if told[key] || x.newer(before) { // who comes this minute is not told of yet
			continue
		}
		gone[key] = true
		for _, all := range [][]*entry.Entry{x.who, x.care} {
			for _, e := range all {
				delete(k.places, e.ID)
			}
		}
		delete(k.infants, key)
	}
	k.shared = slices.DeleteFunc(slices.Clone(k.shared), func(x placed) bool { return gone[x.entry.Infant] })
}

// newer says whether anything was charted, or happened, after a moment.
func (x *entries) newer(moment time.Time) bool {
	return slices.ContainsFunc(slices.Concat(x.who, x.care), func(e *entry.Entry) bool {
		return e.Charted.After(moment) || e.At.After(moment)
	})
}

// ward is what a handover of some infants is compiled from, in the record's order, nil: of
// everybody. Of the others, nil: all of them, it has who and where they are.
func (k *kept) ward(only []string, others map[string]bool) handover.Ward {
	var all []placed
	for _, x := range k.shared {
		key := x.entry.Infant
		if x.tells(only) && (key == "" || others == nil || others[key] || slices.Contains(only, key)) {
			all = append(all, x)
		}
	}
	for key, x := range k.infants {
		switch {
		case only == nil:
			all = append(all, x.placed...)
		case slices.Contains(only, key):
			all = merged(all, x.placed)
		}
	}
	if only == nil {
		slices.SortFunc(all, func(a, b placed) int { return cmp.Compare(a.at, b.at) })
	}
	w := handover.Ward{Policy: k.policy, Signed: k.signed, Only: only, Entries: make([]*entry.Entry, len(all)),
		Positions: make([]int64, len(all))}
	for n, x := range all {
		w.Entries[n], w.Positions[n] = x.entry, x.at
	}
	return w
}

// merged are two lists in the record's order as one.
func merged(a, b []placed) []placed {
	out := make([]placed, 0, len(a)+len(b))
	for len(a) > 0 && len(b) > 0 {
		if a[0].at < b[0].at {
			out, a = append(out, a[0]), a[1:]
		} else {
			out, b = append(out, b[0]), b[1:]
		}
	}
	return append(append(out, a...), b...)
}

// beside are those from whom some infants must be told apart, nil: perhaps anybody. Who was
// found like none of them at a moment is so at that moment still: all are compiled when
// anything about who or where somebody is was charted.
func (s *Snapshot) beside(infants []string, at time.Time) map[string]bool {
	others := map[string]bool{}
	for _, key := range infants {
		c := s.infants[key]
		if !c.at.Equal(at) {
			return nil
		}
		for _, l := range c.summary.LookAlikes {
			others[l.Infant] = true
		}
		for _, x := range c.summary.Conflicts {
			others[x.Infant] = true
		}
	}
	return others
}

// renew compiles anew those of whom something is new, and what belongs to the whole unit.
func (k *kept) renew(from *Snapshot, at time.Time, again again) *Snapshot {
	only := slices.DeleteFunc(slices.Sorted(maps.Keys(again.infants)), func(key string) bool { return k.infants[key] == nil })
	if only == nil {
		only = []string{} // nobody, not everybody
	}
	h := handover.Compile(k.ward(only, from.beside(only, at)), at, at, time.Time{})
	s := &Snapshot{At: at, Head: k.reading.Head, policy: k.policy, infants: maps.Clone(from.infants), oldest: at,
		lines: newLines(), clock: k.reading.Clock}
	if from.At.Equal(at) {
		s.lines = from.lines.clone()
	}
	for _, f := range h.Infants {
		delete(s.lines.of, from.infants[f.Infant].summary)
		s.infants[f.Infant] = k.compiled(h, f, at)
	}
	h.Late, h.Left, h.Elsewhere = []handover.Late{}, from.handover.Left, nil
	h.Infants = make([]*handover.Summary, len(from.handover.Infants))
	for i, f := range from.handover.Infants { // nobody came, left or moved
		c := s.infants[f.Infant]
		h.Infants[i], h.Late = c.summary, append(h.Late, c.late...)
		if c.at.Before(s.oldest) {
			s.oldest = c.at
		}
	}
	k.reading.Tell(h)
	s.handover = h
	return s
}

// Ward is the handover of everybody, by cot.
func (s *Snapshot) Ward() *handover.Handover { return s.handover }

// Infant is a handover in which one infant is told of, with what its pictures are drawn
// from; the others stand beside it for their names. False where it is not here.
func (s *Snapshot) Infant(key string) (*handover.Handover, handover.Ward, *handover.Summary, bool) {
	c, here := s.infants[key]
	if !here {
		return nil, handover.Ward{}, nil, false
	}
	h := *s.handover
	h.At, h.Known = c.at, c.at
	return &h, handover.Ward{Entries: slices.Concat(c.entries.who, c.entries.care), Policy: s.policy}, c.summary, true
}
