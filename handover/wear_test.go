package handover_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// wearsOf tells the wear periods of infant a's last stay: "mask S 24 6:00 to 24 9:00 another, 3.00 h".
func wearsOf(t *testing.T, p *handover.Policy, text, when string) string {
	t.Helper()
	at := instant(t, p, when)
	record := entry.Replay(story(t, p, text), at).Infants[0]
	stays := record.Stays(at)
	var out []string
	for _, w := range handover.Wears(p, record, stays[len(stays)-1], at) {
		size, until := "?", "now"
		if w.Size.Value != nil {
			size = *w.Size.Value
		}
		if !w.Until.IsZero() {
			until = shown(w.Until, p.Zone) + " " + w.Ended
		}
		out = append(out, fmt.Sprintf("%s %s %s to %s, %s h", w.Type, size, shown(w.From, p.Zone), until, w.Hours))
	}
	return strings.Join(out, "\n")
}

func TestWears(t *testing.T) {
	const masked = onCPAP + "24 06:00 interface type=mask size=S reason=first\n"
	p := readPolicy(t, "{}") // breakUpTo is 1 h
	for _, c := range []struct{ name, record, when, want string }{
		{"nobody charted one", onCPAP, "24 12:00", ""},
		{"on", masked, "24 12:00", "mask S 24 06:00 to now, 6.00 h"},
		{"the same again goes on", masked + "24 08:00 interface type=mask size=S\n24 09:00 interface type=mask", "24 12:00",
			"mask S 24 06:00 to now, 6.00 h"},
		{"another size", masked + "24 08:00 interface type=mask size=M", "24 12:00",
			"mask S 24 06:00 to 24 08:00 another, 2.00 h\nmask M 24 08:00 to now, 4.00 h"},
		{"another type, no size", masked + "24 08:20 interface type=prongs", "24 12:00",
			"mask S 24 06:00 to 24 08:20 another, 2.33 h\nprongs ? 24 08:20 to now, 3.67 h"},
		{"off, and the same on again", masked + "24 08:00 interface type=off\n24 08:30 interface type=mask", "24 12:00",
			"mask S 24 06:00 to 24 08:00 off, 2.00 h\nmask S 24 08:30 to now, 3.50 h"},
		{"before the spell it is on, and counts nothing", onCPAP + "24 05:00 interface type=mask size=S", "24 08:00",
			"mask S 24 05:00 to now, 2.00 h"},
		{"a break ends nothing and counts nothing", masked + "24 08:00 support state=stopped\n24 08:30 support state=started mode=cpap",
			"24 12:00", "mask S 24 06:00 to now, 5.50 h"},
		{"the spell's end ends it", masked + "24 08:00 support state=stopped", "24 12:00", "mask S 24 06:00 to 24 08:00 stopped, 2.00 h"},
		{"the next spell goes on", masked + "24 08:00 support state=stopped\n24 10:00 support state=started mode=cpap", "24 12:00",
			"mask S 24 06:00 to 24 08:00 stopped, 2.00 h\nmask S 24 10:00 to now, 2.00 h"},
		{"off between two spells", masked + "24 08:00 support state=stopped\n24 09:00 interface type=off\n" +
			"24 10:30 support state=started mode=cpap", "24 12:00", "mask S 24 06:00 to 24 08:00 stopped, 2.00 h"},
		{"off with the end", masked + "24 08:00 support state=stopped\n24 08:00 interface type=off", "24 12:00",
			"mask S 24 06:00 to 24 08:00 off, 2.00 h"},
		{"discharge", masked + "24 08:00 discharge to=home", "24 12:00", "mask S 24 06:00 to 24 08:00 discharge, 2.00 h"},
		{"hours that have passed, over the clock that goes back", onCPAP + "24 23:00 interface type=mask size=S\n" +
			"25 01:30b interface type=off", "25 06:00", "mask S 24 23:00 to 25 01:30b off, 3.50 h"},
		{"never on support", admitted + "24 06:00 interface type=mask size=S", "24 08:00", "mask S 24 06:00 to now, 0.00 h"},
		{"as it was then", masked + "24 08:00 interface type=off", "24 07:00", "mask S 24 06:00 to now, 1.00 h"},
		{"of one stay", masked + "24 08:00 discharge to=home\n24 09:00 admission born=2026-10-01 cot=8 mrn=4711", "24 12:00", ""},
	} {
		if got := wearsOf(t, p, c.record, c.when); got != c.want {
			t.Errorf("%s:\n%s\nwant\n%s", c.name, got, c.want)
		}
	}
}

// The entry that put it on is the source, as it stands.
func TestWearsTellTheirSource(t *testing.T) {
	p := readPolicy(t, "{}")
	at := instant(t, p, "24 12:00")
	entries := story(t, p, onCPAP+"#3 24 07:00 interface type=mask size=S reason=soiled\n#4 24 09:00 correction of=#3 reason=misread "+
		"by=m -> 24 08:00 interface type=prongs size=M reason=leak")
	record := entry.Replay(entries, at).Infants[0]
	w := handover.Wears(p, record, record.Admitted(at), at)
	if len(w) != 1 || w[0].Type != "prongs" || w[0].Reason != "leak" || w[0].Entry != entryID(3) || w[0].By != "m" ||
		w[0].Corrected == nil || !w[0].From.Equal(instant(t, p, "24 08:00")) {
		t.Errorf("%+v", w)
	}
}

// The hours of random stays are those found another way: at each change, what the entries up to then say is on the face,
// and whether the latest word on support says that it runs.
func TestWearHoursOfRandomStays(t *testing.T) {
	p := inventedPolicy(t, "Europe/Vienna")
	periods := 0
	for seed := range uint64(40) {
		entries := randomEntries(t, seed)
		at := entries[0].At.Time
		for _, e := range entries {
			if e.At.After(at) {
				at = e.At.Time
			}
		}
		for _, r := range entry.Replay(entries, at.Add(time.Hour)).Infants {
			for _, stay := range r.Stays(at) {
				got, count := map[string]float64{}, map[string]int{}
				var last time.Time
				for _, w := range handover.Wears(p, r, stay, at) {
					key := w.Type
					if w.Size.Value != nil {
						key += " " + *w.Size.Value
					}
					got[key] += w.Hours.Float()
					count[key]++
					if w.From.Before(last) {
						t.Fatalf("seed %d, %s: a period begins before the one before it ends", seed, r.Infant)
					}
					last = w.Until
					periods++
				}
				want := hoursOnFace(r.Of(stay, at), at)
				for _, key := range slices.Concat(keysOf(got), keysOf(want)) {
					if math.Abs(got[key]-want[key]) > 0.005*float64(max(count[key], 1))+1e-9 {
						t.Errorf("seed %d, %s, %s: %.3f h, want %.3f h", seed, r.Infant, key, got[key], want[key])
					}
				}
			}
		}
	}
	if periods < 400 {
		t.Errorf("only %d periods looked at", periods)
	}
}

func keysOf(m map[string]float64) (out []string) {
	for k := range m {
		out = append(out, k)
	}
	return out
}

func hoursOnFace(entries []*entry.Standing, at time.Time) map[string]float64 {
	out := map[string]float64{}
	cuts := []time.Time{at}
	for _, e := range entries {
		if e.Kind == "interface" || e.Kind == "support" || e.Kind == "discharge" {
			cuts = append(cuts, e.At.Time)
		}
	}
	slices.SortFunc(cuts, time.Time.Compare)
	for i, from := range cuts[:len(cuts)-1] {
		on, size, was := "", "", ""
		supported := false
		for _, e := range entries {
			if e.At.After(from) {
				break
			}
			switch e.Kind {
			case "discharge":
				on = ""
			case "support":
				supported = e.Text("state") == "started" || supported && e.Text("state") == "changed"
			case "interface":
				on = e.Text("type")
				if on == "off" {
					continue
				}
				if s := e.Text("size"); s != "" || on != was {
					size = s
				}
				was = on
			}
		}
		if supported && on != "" && on != "off" {
			out[strings.TrimSpace(on+" "+size)] += cuts[i+1].Sub(from).Hours()
		}
	}
	return out
}
