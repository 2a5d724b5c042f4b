package journal

import (
	"slices"
	"time"

	"cotline/handover/entry"
)

// A span says when an infant may have been here, or a task undone, whatever is
// known: from the first moment that any entry on it names to the last one, or
// without end while, by all that is held, it still is. Those without end stand in
// the stream SET/open, which is written anew when one comes or goes; the others in
// SET/MONTH for each month of the span, where they stay. So the candidates for a
// moment are those open and those of its month: nobody is missed who was here then,
// by what was known then or later, and nobody is read who had left months before.
// Who of the candidates was here is not said; the engine says it.

// mostMonths is the longest span that is kept by months; a longer one stays open.
const mostMonths = 240

// forever is a moment after every charted one.
var forever = time.Date(9999, 1, 1, 0, 0, 0, 0, time.UTC)

func (x index) spanInfant(key string) error {
	all, err := x.stream("who/" + key)
	if err != nil {
		return err
	}
	open := true
	for _, r := range entry.Replay(entriesOf(all), forever).Infants {
		open = r.Admitted(forever) != nil
	}
	return x.span("here", all[0], all, open)
}

func (x index) spanTask(id string) error {
	all, err := x.stream("task/" + id)
	if err != nil {
		return err
	}
	i := slices.IndexFunc(all, func(h *held) bool { return h.ID == id })
	if i < 0 {
		return nil // done before it came
	}
	open := false
	done := false
	for _, e := range entry.Replay(entriesOf(all), forever).Unit.Entries {
		open = open || e.ID == id
		done = done || e.Kind == "task-done" && e.Reference("task") == id
	}
	return x.span("todo", all[i], all, open && !done)
}

// span keeps the span of what a set knows by its root.
func (x index) span(set string, root *held, all []*held, open bool) error {
	months := monthsOf(all)
	open = open || months == nil
	now, err := x.stream(set + "/open")
	if err != nil {
		return err
	}
	is := func(h *held) bool { return h.position == root.position }
	was := slices.ContainsFunc(now, is)
	switch {
	case open && !was:
		return x.append(set+"/open", root)
	case open:
		return nil
	case was:
		if err := x.replace(set+"/open", slices.DeleteFunc(slices.Clone(now), is)); err != nil {
			return err
		}
	}
	for _, m := range months {
		there, err := x.stream(set + "/" + m)
		if err != nil {
			return err
		}
		if !slices.ContainsFunc(there, is) {
			if err := x.append(set+"/"+m, root); err != nil {
				return err
			}
		}
	}
	return nil
}

// monthsOf are the months from the first moment of entries to the last, nil for
// too many.
func monthsOf(all []*held) []string {
	first, last := all[0].At.Time, all[0].At.Time
	for _, h := range all {
		moments := []time.Time{h.At.Time, h.Charted.Time}
		if h.Corrected != nil {
			moments = append(moments, h.Corrected.At.Time)
		}
		for _, t := range moments {
			if t.Before(first) {
				first = t
			}
			if t.After(last) {
				last = t
			}
		}
	}
	return months(first, last)
}

// months are those from one moment to another, nil for too many.
func months(from, to time.Time) (out []string) {
	from = from.UTC()
	for t := time.Date(from.Year(), from.Month(), 1, 0, 0, 0, 0, time.UTC); !t.After(to); t = t.AddDate(0, 1, 0) {
		if out = append(out, month(t)); len(out) > mostMonths {
			return nil
		}
	}
	return out
}

func entriesOf(all []*held) []*entry.Entry {
	out := make([]*entry.Entry, len(all))
	for i, h := range all {
		out[i] = h.Entry
	}
	return out
}
