package page

import (
	"strings"
	"testing"
	"time"

	"cotline/handover"
)

// A trend says which way the set oxygen went since it was handed over; what was not
// charted, came late or was put right is no direction, and never steady.
func TestTrend(t *testing.T) {
	since := clockOf("2026-10-24T20:05:00+01:00")
	value := func(s string) *handover.ChangeValue { return &handover.ChangeValue{Text: s, Bare: true} }
	window := func(low, high string, rises int) handover.Maybe[handover.FiO2Window] {
		return charted(handover.FiO2Window{MinPercent: dec(low), MaxPercent: dec(high), Rises: rises, Throughout: true})
	}
	type made struct {
		now    string // empty: nothing set
		window handover.Maybe[handover.FiO2Window]
		change *handover.Change
		new    bool
		began  time.Duration // of the mode, after the window
	}
	revised := &handover.Change{Path: "settings.fio2Percent", From: value("62"), To: value("40"), Why: "happened", Revised: true}
	change := func(from, to *handover.ChangeValue, why string) *handover.Change {
		return &handover.Change{Path: "settings.fio2Percent", From: from, To: to, Why: why}
	}
	for _, c := range []struct {
		made
		mark, said string
	}{
		{made{now: "31", window: window("26", "31", 2), change: change(value("26"), value("31"), "happened")}, "▲",
			"up from 26, 26 to 31 in the window, raised twice"},
		{made{now: "26", window: window("26", "31", 0), change: change(value("31"), value("26"), "happened")}, "▼",
			"down from 31, 26 to 31 in the window"},
		{made{now: "26", window: window("26", "40", 1)}, "", "26 to 40 in the window, raised once"}, // and came back
		{made{now: "26", window: window("26", "26", 0)}, "=", "unchanged"},
		{made{now: "26", window: window("26", "26", 0), change: change(nil, value("26"), "happened")}, "", "handed over as not charted"},
		{made{now: "26", window: window("26", "26", 0), change: change(value("30"), value("26"), "late")}, "",
			"handed over as 30 (ARRIVED LATE)"},
		{made{now: "26", window: window("26", "26", 0), change: change(value("62"), value("26"), "corrected")}, "",
			"handed over as 62 (CORRECTED)"},
		{made{now: "40", window: window("26", "40", 1), change: revised}, "", // 62 was a slip for 26
			"handed over as 62, put right since, 26 to 40 in the window, raised once"},
		{made{now: "26", window: charted(handover.FiO2Window{MinPercent: dec("26"), MaxPercent: dec("26")})}, "", // a break
			"no other charted"},
		{made{now: "26", window: window("26", "26", 0), new: true}, "", "no other charted"},
		{made{now: "26", window: window("26", "26", 0), began: time.Hour}, "", "no other charted"},
		{made{window: window("26", "31", 1)}, "", ""},
		{made{window: handover.Maybe[handover.FiO2Window]{Applies: true}}, "", ""},
	} {
		f := &handover.Summary{Since: since, New: c.new, FiO2: c.window, Settings: []handover.Setting{{Field: "fio2Percent"}},
			Support: handover.Support{State: "on", ModeSince: since.Add(c.began)}}
		if c.now != "" {
			f.Settings[0].Fact = numberFact(c.now, handover.Source{})
		}
		if c.change != nil {
			f.Changes = []handover.Change{*c.change}
		}
		if got := fio2Trend(f); got.Mark != c.mark || Plain(got.Said) != c.said {
			t.Errorf("%q %q, want %q %q", got.Mark, Plain(got.Said), c.mark, c.said)
		}
	}
}

// Of two pressures each is told, and one is not held against the lower of two.
func TestPressureTrend(t *testing.T) {
	for _, c := range []struct {
		now        map[string]string // by field
		changes    string            // path from to, apart by commas
		mark, said string
	}{
		{map[string]string{lower: "7"}, lower + " 6 7", "▲", "up from 6"},
		{map[string]string{lower: "5"}, lower + " 6 5", "▼", "down from 6"},
		{map[string]string{lower: "6"}, "", "", ""},
		{map[string]string{lower: "5", upper: "10"}, upper + " 8 10", "▲", "upper up from 8"},
		{map[string]string{lower: "6", upper: "10"}, lower + " 5 6," + upper + " 8 10", "▲", "upper up from 8, lower up from 5"},
		{map[string]string{lower: "5", upper: "10"}, lower + " 6 5," + upper + " 8 10", "", "upper up from 8, lower down from 6"},
		{map[string]string{lower: "5", upper: "8"}, lower + " 6 5,support.mode cpap bilevel", "", "lower handed over as 6 on CPAP"},
		{map[string]string{lower: "6"}, lower + " 5 6,support.mode bilevel cpap", "", "handed over as 5 on bilevel"},
	} {
		f := &handover.Summary{}
		for field, v := range c.now {
			f.Settings = append(f.Settings, handover.Setting{Field: field, Fact: numberFact(v, handover.Source{})})
		}
		for _, one := range strings.FieldsFunc(c.changes, func(r rune) bool { return r == ',' }) {
			words := strings.Fields(one)
			path := words[0]
			if path != "support.mode" {
				path = "settings." + path
			}
			f.Changes = append(f.Changes, handover.Change{Path: path, Why: "happened",
				From: &handover.ChangeValue{Text: words[1]}, To: &handover.ChangeValue{Text: words[2]}})
		}
		if got := pressureTrend(f); got.Mark != c.mark || Plain(got.Said) != c.said {
			t.Errorf("%v, %s: %q %q, want %q %q", c.now, c.changes, got.Mark, Plain(got.Said), c.mark, c.said)
		}
	}
}

const lower, upper = "pressureCmH2O", "upperPressureCmH2O"
