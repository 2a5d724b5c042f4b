package handover_test

import (
	"fmt"
	"maps"
	"testing"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/wardtest"
)

// What is told of a course is what the handover of each moment tells: nothing that was
// due is missed, and each was so last and then no more when it is said.
func TestCourseTellsWhatWasDue(t *testing.T) {
	found := 0
	for seed := range uint64(4) {
		w := wardtest.Random(t, seed, 3, 3)
		last := w.At
		own := map[string][]*entry.Entry{}
		for _, e := range w.Entries {
			own[e.Infant] = append(own[e.Infant], e)
		}
		delete(own, "")
		for infant, entries := range own {
			alone := handover.Ward{Policy: w.Policy, Entries: entries}
			due := func(at time.Time) map[string]bool {
				out := map[string]bool{}
				for _, s := range handover.Compile(alone, at, at, at).Infants {
					for _, d := range s.Due {
						if d.Task == "" {
							out[dueKey(d)] = true
						}
					}
				}
				return out
			}
			from, at := last.Add(-48*time.Hour), last.Add(-time.Hour)
			ever, now := map[string]bool{}, due(at)
			for t := from.Add(time.Minute); t.Before(at); t = t.Add(7 * time.Minute) {
				maps.Copy(ever, due(t))
			}
			was := map[string]bool{}
			for _, d := range handover.NewCourse(w.Policy, infant, entries).WasDue(from, at, at) {
				was[dueKey(d.Due)] = true
				if now[dueKey(d.Due)] || !due(d.Last)[dueKey(d.Due)] || due(d.Seen)[dueKey(d.Due)] {
					t.Errorf("ward %d, %s: %s is due at %s, was so at %s: %v, is so at %s: %v", seed, infant, dueKey(d.Due), at, d.Last,
						due(d.Last)[dueKey(d.Due)], d.Seen, due(d.Seen)[dueKey(d.Due)])
				}
				found++
			}
			for key := range ever {
				if !now[key] && !was[key] {
					t.Errorf("ward %d, %s: nobody tells that %s was due", seed, infant, key)
				}
			}
		}
	}
	if found < 100 {
		t.Errorf("only %d were due", found)
	}
}

func dueKey(d handover.Due) string {
	return fmt.Sprintf("%s %s %s %s", d.What, d.Care, d.At.UTC().Format(time.RFC3339Nano), d.On)
}

// The same of what two infants have between them.
func TestWardTellsWhoWasTogether(t *testing.T) {
	found := 0
	for seed := range uint64(6) {
		w := wardtest.Random(t, seed, 6, 4)
		together := func(at time.Time) map[string]bool {
			out := map[string]bool{}
			for _, s := range handover.Compile(w.Ward, at, at, at).Infants {
				for _, x := range s.LookAlikes {
					out[s.Infant+" "+x.Infant+" "] = true
				}
				for _, x := range s.Conflicts {
					out[s.Infant+" "+x.Infant+" "+x.What] = true
				}
			}
			return out
		}
		from, at := w.At.Add(-80*time.Hour), w.At.Add(-time.Hour)
		ever, now, was := map[string]bool{}, together(at), map[string]bool{}
		for t := from.Add(time.Minute); t.Before(at); t = t.Add(53 * time.Minute) {
			maps.Copy(ever, together(t))
		}
		for _, x := range w.WasTogether(from, at, at) {
			key := x.Infant + " " + x.Other + " " + x.What
			was[key] = true
			if now[key] || !together(x.Last)[key] || together(x.Seen)[key] || x.At.After(x.Seen) {
				t.Errorf("ward %d: %q is so at %s, was so at %s: %v, is so at %s: %v", seed, key, at, x.Last, together(x.Last)[key],
					x.Seen, together(x.Seen)[key])
			}
			found++
		}
		for key := range ever {
			if !now[key] && !was[key] {
				t.Errorf("ward %d: nobody tells of %q", seed, key)
			}
		}
	}
	if found < 4 {
		t.Errorf("only %d were together", found)
	}
}
