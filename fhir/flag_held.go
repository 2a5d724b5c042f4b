package fhir

import (
	"slices"
	"time"

	"cotline/fhir/internal/r4"
	"cotline/handover"
)

// flagsOver are the Flags that a receiver holds of infants who are held back, or were at
// since, and that ended since. They end like any other, also while the infant is held back.
func (d *Export) flagsOver(w handover.Ward, then *Export, held map[string]bool, since time.Time, ask Ask) ([]*r4.Resource, error) {
	var over []*r4.Resource
	if !slices.Contains(w.Policy.FHIR.Send, "Flag") || len(then.Held)+len(held) == 0 {
		return nil, nil
	}
	flags, err := d.flagsBefore(w, then.Held, since, ask)
	if err != nil {
		return nil, err
	}
	for _, r := range then.Resources {
		if r.Kind == "flag" && held[r.Infant] {
			flags = append(flags, r)
		}
	}
	ended := map[string]time.Time{}
	for _, x := range w.WasTogether(since.Add(-1), ask.At, ask.Known) {
		about := lookAlike
		if x.What != "" {
			about = conflict + x.What
		}
		ended[r4.IDOfFlag(w.Policy, x.Infant, about, x.Other)] = x.At
	}
	for _, r := range flags {
		at, is := ended[r.ID]
		told := func(o *r4.Resource) bool { return o.Key() == r.Key() }
		if !is || r.Model.Status != r4.Active || slices.ContainsFunc(d.Resources, told) {
			continue
		}
		endFlag(r, (&builder{policy: w.Policy}).stamp(at))
		if err := r.Encode(w.Policy); err != nil {
			return nil, err
		}
		over = append(over, r)
	}
	return over, nil
}

// flagsBefore are the Flags that a receiver holds of infants who were held back at since:
// those of the last moment at which each was not.
func (d *Export) flagsBefore(w handover.Ward, back []Held, since time.Time, ask Ask) (flags []*r4.Resource, err error) {
	if len(back) == 0 {
		return nil, nil
	}
	moments := identityMoments(w, since)
	for _, h := range back {
		for _, t := range slices.Backward(moments) {
			t = t.Add(-1)
			_, then := assemble(w, Ask{At: t, Known: t, all: true})
			if slices.ContainsFunc(then.Held, func(o Held) bool { return o.Infant == h.Infant }) {
				continue
			}
			x, err := New(w, Ask{At: t, Known: t, Infant: h.Infant, Codes: ask.Codes, all: true})
			if err != nil {
				return nil, err
			}
			for _, r := range x.Resources {
				if r.Kind == "flag" {
					flags = append(flags, r)
				}
			}
			for k, r := range x.pool {
				if d.pool[k] == nil {
					d.pool[k] = r
				}
			}
			break
		}
	}
	return flags, nil
}

// identityMoments are those up to since at which it may have changed who is held back:
// when entries that say who is there, and under which number, happened or were charted.
func identityMoments(w handover.Ward, since time.Time) (moments []time.Time) {
	for _, e := range w.Entries {
		if !e.Amends() && e.Kind != "admission" && e.Kind != "identity" && e.Kind != "discharge" {
			continue
		}
		for _, t := range []time.Time{e.Charted.Time, e.Says().At.Time} {
			if !t.After(since) {
				moments = append(moments, t)
			}
		}
	}
	slices.SortFunc(moments, time.Time.Compare)
	return slices.CompactFunc(moments, time.Time.Equal)
}
