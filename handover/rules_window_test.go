package handover_test

import (
	"slices"
	"testing"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// The window starts with the shift: the latest that began at least 60 minutes ago.
func TestWindowByShift(t *testing.T) {
	rules(t, "", admitted, []rule{ // 07:30 and 19:30
		{"exactly an hour into it", "", "24 08:30", "since = 24 07:30"},
		{"a minute less", "", "24 08:29", "since = 23 19:30"},
		{"at night", "", "24 03:00", "since = 23 19:30"},
		{"after the clock went back: 13 hours", "", "25 07:30", "since = 24 19:30"},
		{"given", "", "24 08:30 since 23 12:00", "since = 23 12:00"},
	})
	rules(t, `{"shifts":["01:30"]}`, admitted, []rule{
		{"a start that comes twice counts the first time", "", "25 03:00", "since = 25 01:30"},
		{"an hour into it, by the clock still the same", "", "25 01:30b", "since = 25 01:30"},
		{"not yet an hour", "", "25 01:29b", "since = 24 01:30"},
	})
	rules(t, `{"shifts":["01:30"]}`, "2026-03-01T12:00:00Z admission born=2026-03-01 cot=7 mrn=1", []rule{
		// On 29 March 01:30 is skipped: it is 02:30 by summer time.
		{"a start that never comes moves forward by the gap", "", "2026-03-29T03:30:00+01:00", "since = 2026-03-29T02:30:00+01:00"},
		{"a minute less than an hour into it", "", "2026-03-29T03:29:00+01:00", "since = 2026-03-28T01:30:00+00:00"},
	})
	rules(t, `{"shifts":["02:10"],"timezone":"Australia/Lord_Howe"}`, "2026-09-01T12:00:00Z admission born=2026-09-01 cot=7 mrn=1", []rule{
		// On 4 October 02:00 becomes 02:30: 02:10 is 02:40.
		{"a gap of half an hour", "", "2026-10-04T04:00:00+11:00", "since = 4 02:40"},
	})
}

// Paper is kept to the end of the shift that it is read in; what is printed in the
// last hour of a shift is for the next.
func TestShiftEnd(t *testing.T) {
	for _, c := range []struct{ policy, at, want string }{ // 07:30 and 19:30, Europe/Dublin
		{`{}`, "2026-10-24T07:30:00+01:00", "2026-10-24T19:30:00+01:00"},
		{`{}`, "2026-10-24T06:30:00+01:00", "2026-10-24T19:30:00+01:00"},
		{`{}`, "2026-10-24T06:29:59+01:00", "2026-10-24T07:30:00+01:00"},
		{`{}`, "2026-10-24T12:00:00+01:00", "2026-10-24T19:30:00+01:00"},
		{`{}`, "2026-10-24T19:25:00+01:00", "2026-10-25T07:30:00Z"}, // the night has 13 hours
		{`{"shifts":["07:00","14:00","21:00"]}`, "2026-10-24T14:10:00+01:00", "2026-10-24T21:00:00+01:00"},
		{`{"shifts":["08:00"]}`, "2026-10-24T07:50:00+01:00", "2026-10-25T08:00:00Z"},
		{`{"shifts":["00:15"]}`, "2026-10-24T23:30:00+01:00", "2026-10-26T00:15:00Z"},
	} {
		at, err := time.Parse(time.RFC3339, c.at)
		if err != nil {
			t.Fatal(err)
		}
		p := readPolicy(t, c.policy)
		if got := p.ShiftEnd(at).In(p.Zone).Format(time.RFC3339); got != c.want {
			t.Errorf("%s at %s: %s, want %s", c.policy, c.at, got, c.want)
		}
	}
}

// The window starts with the handover that was accepted for the infant last.
func TestWindowByHandover(t *testing.T) {
	const signed = "#20 24 05:00 handover to=m asOf=\"24 04:50\" infants=a,b\n"
	const accepted = "24 05:05 acceptance handover=#20 infants=a,b\n"
	const ward = admitted + "@b 1 06:00 admission born=2026-10-01 cot=8 mrn=4800\n"
	rules(t, "", ward, []rule{
		{"accepted", signed + accepted, "24 06:00", "since = 24 04:50\ninfants.b.since = 24 04:50"},
		{"not accepted", signed, "24 06:00", "since = 23 19:30"},
		{"accepted at that very moment", signed + accepted, "24 05:05", "since = 24 04:50"},
		{"accepted a minute later", signed + accepted, "24 05:04", "since = 23 19:30"},
		{"accepted in part", signed + "24 05:05 acceptance handover=#20 infants=b", "24 06:00",
			"since = 23 19:30\ninfants.b.since = 24 04:50"},
		{"the rest accepted later", signed + "24 05:05 acceptance handover=#20 infants=b\n24 05:30 acceptance handover=#20 infants=a",
			"24 06:00", "since = 24 04:50"},
		{"corrected afterwards to name one", signed + "24 05:05 acceptance handover=#20 infants=a,b\n" +
			"@- 24 05:30 correction of=#20 reason=slip -> 24 05:00 handover to=m asOf=\"24 04:50\" infants=b", "24 06:00",
			"since = 23 19:30\ninfants.b.since = 24 04:50"},
		{"cover for a break moves nothing", "#20 24 05:00 handover to=m asOf=\"24 04:50\" infants=a,b cover=true\n" + accepted, "24 06:00",
			"since = 23 19:30"},
		{"the greatest asOf", signed + accepted + "#21 24 05:20 handover to=m asOf=\"24 04:40\" infants=a,b\n" +
			"24 05:25 acceptance handover=#21 infants=a,b", "24 06:00", "since = 24 04:50"},
		{"before the moment itself", "#20 24 04:00 handover to=m asOf=\"24 05:00\" infants=a,b\n24 04:05 acceptance handover=#20 " +
			"infants=a,b", "24 05:00", "since = 23 19:30"},
		{"a minute after it", "#20 24 04:00 handover to=m asOf=\"24 05:00\" infants=a,b\n24 04:05 acceptance handover=#20 infants=a,b",
			"24 05:01", "since = 24 05:00"},
		{"the acceptance withdrawn", signed + "#21 24 05:05 acceptance handover=#20 infants=a,b\n" +
			"@- 24 05:10 retraction of=#21 reason=slip", "24 06:00", "since = 23 19:30"},
		{"the acceptance corrected", signed + "#21 24 05:05 acceptance handover=#20 infants=b\n@- 24 05:10 correction of=#21 " +
			"reason=slip -> 24 05:05 acceptance handover=#20 infants=a", "24 06:00", "since = 24 04:50\ninfants.b.since = 23 19:30"},
		{"days ago", "#20 3 05:00 handover to=m asOf=\"3 04:50\" infants=a,b\n3 05:05 acceptance handover=#20 infants=a,b", "24 06:00",
			"since = 3 04:50"},
		{"given since goes first", signed + accepted, "24 06:00 since 24 03:00", "since = 24 03:00"},
		{"of an earlier stay", signed + accepted + "24 05:30 discharge to=ward\n24 05:40 admission born=2026-10-01 cot=7 mrn=4711",
			"24 06:00", "since = 23 19:30\ninfants.b.since = 24 04:50"},
	})
}

// Who left since the last handover stands in a list of their own.
func TestLeft(t *testing.T) {
	const two = admitted + "@b 1 06:00 admission born=2026-10-01 cot=8 mrn=4800 family=Larch given=Ember\n"
	rules(t, "", two, []rule{
		{"in the window", "#9 @b 24 08:00 discharge to=hospital place=\"Heather ward\"", "24 12:00", `
			left.b.cot = 8
			left.b.mrn = 4800
			left.b.family = Larch
			left.b.given = Ember
			left.b.to = hospital
			left.b.place = Heather ward
			left.b.source = #9 24 08:00 n
			only infants.b`},
		{"at its very start: told before", "@b 24 07:30 discharge to=home", "24 12:00", "only left\nonly infants.b"},
		{"at this very moment", "@b 24 12:00 discharge to=home", "24 12:00", "left.b.to = home"},
		{"not yet", "@b 24 12:01 discharge to=home", "24 12:00", "only left\ninfants.b.cot = 8"},
		{"since that infant's last handover", "@b 24 03:00 discharge to=home\n#20 24 02:00 handover to=m asOf=\"24 02:00\" infants=b\n" +
			"24 02:10 acceptance handover=#20 infants=b", "24 12:00", "left.b.to = home"},
		{"no name that is not to be shown", "@b 24 07:40 identity restricted=true\n@b 24 08:00 discharge to=home", "24 12:00",
			"left.b.restricted = true\nleft.b.family = -\nleft.b.given = -\nleft.b.mrn = 4800"},
		{"without a number, the label", "@c 1 06:00 admission born=2026-10-01 cot=3 temporary=\"T 3\"\n@c 24 08:00 discharge to=ward",
			"24 12:00", "left.c.temporary = T 3\nleft.c.mrn = -"},
		{"with a number, no label", "@c 1 06:00 admission born=2026-10-01 cot=3 temporary=\"T 3\"\n@c 2 06:00 identity mrn=33\n" +
			"@c 24 08:00 discharge to=ward", "24 12:00", "left.c.temporary = -\nleft.c.mrn = 33"},
		{"the discharge withdrawn", "#9 @b 24 08:00 discharge to=home\n@b 24 09:00 retraction of=#9 reason=slip", "24 12:00",
			"only left\ninfants.b.cot = 8"},
	})
}

func TestLeftInTheOrderOfCots(t *testing.T) {
	h := compiled(t, readPolicy(t, `{}`), `
@a 2 06:00 admission born=2026-10-01 cot=10 mrn=1
@b 2 06:00 admission born=2026-10-01 cot=9 mrn=2
@c 2 06:00 admission born=2026-10-01 cot=9a mrn=3
@a 24 08:00 discharge to=home
@b 24 09:00 discharge to=home
@c 24 08:30 discharge to=home`, "24 12:00")
	var got []string
	for _, l := range h.Left {
		got = append(got, l.Cot)
	}
	if want := []string{"9", "9a", "10"}; !slices.Equal(got, want) {
		t.Errorf("%v, want %v", got, want)
	}
}

// What arrived late is a change too, and a note to be read out that arrived late was not
// told: the sheet of the handover before held neither. A plain file tells no such thing.
func TestArrivedLateWasNotTold(t *testing.T) {
	p := readPolicy(t, `{}`)
	entries := story(t, p, admitted+`
#2 24 03:00 support state=started mode=cpap
#3 24 03:00 settings pressureCmH2O=6 fio2Percent=28
#11 24 04:00 settings fio2Percent=40
#12 24 04:10 note text="look at it" readOut=true
#20 24 05:00 handover to=m asOf="24 04:50" infants=a
#21 24 05:05 acceptance handover=#20 infants=a`)
	positions := taken(entries, 1, 2, 3, 20, 21, 11, 12)
	at := instant(t, p, "24 06:00")
	for name, c := range map[string]struct {
		positions []int64
		changes   int
		readOut   bool
	}{"stored": {positions, 1, true}, "a plain file": {nil, 0, false}} {
		h := handover.Compile(handover.Ward{Entries: entries, Policy: p, Positions: c.positions}, at, at, time.Time{})
		s := h.Infants[0]
		if len(s.Changes) != c.changes || c.changes == 1 &&
			(s.Changes[0].Path != "settings.fio2Percent" || s.Changes[0].From.Text != "28" || s.Changes[0].To.Text != "40" ||
				s.Changes[0].Why != "late") {
			t.Errorf("%s: %+v", name, s.Changes)
		}
		if got := slices.ContainsFunc(s.Attention, func(a handover.Attention) bool { return a.What == "read-out" }); got != c.readOut {
			t.Errorf("%s: to be read out: %v", name, got)
		}
	}
}

// taken are the positions of entries that were taken in an order, by their numbers; 0 for
// others.
func taken(entries []*entry.Entry, order ...int) []int64 {
	out := make([]int64, len(entries))
	for i, n := range order {
		at := slices.IndexFunc(entries, func(e *entry.Entry) bool { return e.ID == entryID(n) })
		out[at] = int64(i + 1)
	}
	return out
}

// An entry written in time, whose position lies after the one that the handover was
// cut at, arrived late.
func TestArrivedLate(t *testing.T) {
	p := readPolicy(t, `{}`)
	entries := story(t, p, admitted+`
#11 24 04:00 weight weightG=1000
#12 24 04:10 weight weightG=1010
#13 24 04:40 weight weightG=1020 charted="24 04:51"
#14 24 04:45 weight weightG=1030 charted="24 04:50"
#20 24 05:00 handover to=m asOf="24 04:50" infants=a
#21 24 05:05 acceptance handover=#20 infants=a`)
	slices.Reverse(entries) // they are listed in the record's order all the same
	positions := taken(entries, 1, 11, 20, 21, 12, 13, 14)
	at := instant(t, p, "24 06:00")
	for name, c := range map[string]struct {
		ward handover.Ward
		want string
	}{
		"cut at its own position": {handover.Ward{Positions: positions},
			"late.0 = a arrived #12, weight of 24 04:10 by n, charted 24 04:10: Weight: 1010 g\nlate.1 = a arrived #13, weight of 24 " +
				"04:40 by n, charted 24 04:51: Weight: 1020 g\nlate.2 = a arrived #14, weight of 24 04:45 by n, charted 24 04:50: " +
				"Weight: 1030 g\nonly late"},
		"cut where it was signed": {handover.Ward{Positions: positions, Signed: map[string]int64{entryID(20): 1}},
			"late.0 = a arrived #11, weight of 24 04:00 by n, charted 24 04:00: Weight: 1000 g\nlate.1 = a arrived #12, weight of 24 " +
				"04:10 by n, charted 24 04:10: Weight: 1010 g\nlate.2 = a arrived #13, weight of 24 04:40 by n, charted 24 04:51: " +
				"Weight: 1020 g\nlate.3 = a arrived #14, weight of 24 04:45 by n, charted 24 04:50: Weight: 1030 g\nonly late"},
		"a plain file": {handover.Ward{}, "only late"},
	} {
		t.Run(name, func(t *testing.T) {
			c.ward.Entries, c.ward.Policy = entries, p
			holds(t, handover.Compile(c.ward, at, at, time.Time{}), c.want)
		})
	}
	t.Run("known by then only", func(t *testing.T) {
		w := handover.Ward{Entries: entries, Policy: p, Positions: positions}
		entries := append(slices.Clone(entries), story(t, p, admitted+"#15 24 04:46 weight weightG=1040")[1])
		w.Entries, w.Positions = entries, append(slices.Clone(positions), 8)
		holds(t, handover.Compile(w, at, instant(t, p, "24 05:05"), time.Time{}),
			"late.0 = a arrived #12, weight of 24 04:10 by n, charted 24 04:10: Weight: 1010 g\nlate.1 = a arrived #13, weight of 24 "+
				"04:40 by n, charted 24 04:51: Weight: 1020 g\nlate.2 = a arrived #14, weight of 24 04:45 by n, charted 24 04:50: "+
				"Weight: 1030 g\nlate.3 = a arrived #15, weight of 24 04:46 by n, charted 24 04:46: Weight: 1040 g\nonly late")
	})
	t.Run("written after it, by more than the clock tolerance; what was withdrawn is not told", func(t *testing.T) {
		w := handover.Ward{Policy: p, Entries: story(t, p, admitted+`
#11 24 04:00 weight weightG=1000 charted="24 05:02"
#12 24 04:10 episode signs=desaturation lowestSpo2Percent=62 recovered=bagged charted="24 05:03"
#13 24 04:20 weight weightG=1010 charted="24 05:30"
24 05:40 retraction of=#13 reason=slip
#14 24 04:30 weight weightG=1020 charted="24 05:31"
24 05:41 correction of=#14 reason=slip -> 24 04:55 weight weightG=1021
24 04:35 weight weightG=1021
#15 24 04:40 care what=mouth-care charted="24 05:32"
#16 24 05:10 weight weightG=1030
#20 24 05:00 handover to=m asOf="24 04:50" infants=a
#21 24 05:05 acceptance handover=#20 infants=a`)}
		holds(t, handover.Compile(w, at, at, time.Time{}),
			"late.0 = a written #12, episode of 24 04:10 by n, charted 24 05:03: Episode: signs desaturation, lowest SpO2 62 "+
				"%, recovered bagged\n"+
				"late.1 = a written #15, care of 24 04:40 by n, charted 24 05:32: Care: mouth care\n"+
				"only late\ninfants.a.attention.late.5 = -")
	})
	t.Run("by since, no handover starts the window", func(t *testing.T) {
		w := handover.Ward{Entries: entries, Policy: p, Positions: positions}
		holds(t, handover.Compile(w, at, at, instant(t, p, "24 04:00")), "only late")
	})
}
