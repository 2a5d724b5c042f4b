package handover_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"cotline/handover"
)

// seriesOf is a story's series of infant a at a moment.
func seriesOf(t testing.TB, policy, text, when string) (handover.Series, *handover.Policy) {
	t.Helper()
	p := readPolicy(t, policy)
	w := handover.Ward{Policy: p, Entries: story(t, p, text)}
	s, ok := handover.SeriesOf(w, compile(t, p, w.Entries, when), "a")
	if !ok {
		t.Fatal("no series")
	}
	return s, p
}

// clocked is a moment of a series as a clock shows it.
func clocked(s handover.Series, at time.Time) string { return at.In(s.Zone).Format("2 15:04") }

func bars(s handover.Series, in []handover.Bar) string {
	var out []string
	for _, b := range in {
		out = append(out, strings.TrimSpace(fmt.Sprintf("%s-%s %s %s", clocked(s, b.From), clocked(s, b.To), b.What, b.Size)))
	}
	return strings.Join(out, "; ")
}

func steps(s handover.Series, in []handover.Step) string {
	var out []string
	for _, x := range in {
		value := "NOT CHARTED"
		if x.Value != nil {
			value = x.Value.String()
		}
		out = append(out, fmt.Sprintf("%s-%s %s", clocked(s, x.From), clocked(s, x.To), value))
	}
	return strings.Join(out, "; ")
}

// A night with all that a strip shows: settings before the spell, a break, a mode
// without a set pressure, a change back that needs a new one.
func TestSeriesOfANight(t *testing.T) {
	s, _ := seriesOf(t, `{"timezone":"Europe/Vienna","shifts":["07:30","19:30"],"support":{"breakUpTo":"1h"}}`, `
		20 10:00 admission born=2026-10-01 cot=1 mrn=77 sex=female gestation=28+0
		22 17:45 settings pressureCmH2O=5 fio2Percent=40 flowLMin=8 spo2LowPercent=90 spo2HighPercent=95
		22 18:00 support state=started mode=cpap driver=d
		22 18:00 interface type=mask size=S reason=first
		22 20:00 settings fio2Percent=30
		22 21:00 interface type=prongs size=M reason=rotation
		22 21:00 observations spo2Percent=88
		22 22:00 support state=stopped reason=procedure
		22 22:00 interface type=off
		22 22:30 support state=started mode=cpap
		22 22:30 interface type=prongs size=M
		22 23:00 support state=changed mode=high-flow
		23 00:00 settings fio2Percent=21
		23 01:00 observations spo2Percent=99
		23 02:00 support state=changed mode=cpap
		23 02:10 settings pressureCmH2O=6.0
		23 03:00 interface type=mask reason=rotation
		23 03:00 skin sites=septum:blanching,bridge:intact
		23 04:00 episode signs=bradycardia,desaturation recovered=touched lowestSpo2Percent=71
		23 05:00 settings fio2Percent=25`, "23 05:00")
	for _, x := range []struct{ what, got, want string }{
		{"support", bars(s, s.Support), "22 19:30-22 22:00 cpap; 22 22:00-22 22:30 break; 22 22:30-22 23:00 cpap; 22 23:00-23 02:00 " +
			"high-flow; 23 02:00-23 05:00 cpap"},
		{"FiO2", steps(s, s.FiO2), "22 19:30-22 20:00 40; 22 20:00-22 22:00 30; 22 22:30-23 00:00 30; 23 00:00-23 05:00 21; 23 " +
			"05:00-23 05:00 25"},
		{"pressure", steps(s, s.Pressure), "22 19:30-22 22:00 5; 22 22:30-22 23:00 5; 23 02:00-23 02:10 NOT CHARTED; " +
			"23 02:10-23 05:00 6.0"},
		{"interface", bars(s, s.Interface), "22 19:30-22 21:00 mask S; 22 21:00-22 22:00 prongs M; 22 22:00-22 22:30 off; 22 22:30-23 " +
			"03:00 prongs M; 23 03:00-23 05:00 mask"},
	} {
		if x.got != x.want {
			t.Errorf("%s:\n got %s\nwant %s", x.what, x.got, x.want)
		}
	}
	var targets, against, rotations []string
	for _, x := range s.Target {
		high := "air"
		if !x.Air {
			high = x.High.String()
		}
		targets = append(targets, clocked(s, x.From)+"-"+clocked(s, x.To)+" "+x.Low.String()+"-"+high)
	}
	for _, x := range s.SpO2 {
		against = append(against, x.Value.String()+" "+x.Against)
	}
	for _, x := range s.Rotations {
		rotations = append(rotations, clocked(s, x.At)+" "+x.From+" to "+x.To)
	}
	for _, x := range []struct {
		what string
		got  []string
		want string
	}{
		{"targets", targets, "22 19:30-22 22:00 90-95; 22 22:30-23 00:00 90-95; 23 00:00-23 05:00 90-air; 23 05:00-23 05:00 90-95"},
		{"against", against, "88 below; 99 in-target"},
		{"rotations", rotations, "22 21:00 mask to prongs; 23 03:00 prongs to mask"},
	} {
		if got := strings.Join(x.got, "; "); got != x.want {
			t.Errorf("%s:\n got %s\nwant %s", x.what, got, x.want)
		}
	}
	if len(s.Skin) != 1 || s.Skin[0].Worst != "blanching" || len(s.Skin[0].Sites) != 2 {
		t.Errorf("skin: %+v", s.Skin)
	}
	if len(s.Episodes) != 1 || !slices.Equal(s.Episodes[0].Signs, []string{"bradycardia", "desaturation"}) ||
		s.Episodes[0].Lowest.String() != "71" {
		t.Errorf("episodes: %+v", s.Episodes)
	}
}

// A window that goes over a last day of a leap year to come ends, and has the two changes of
// each year: a clock that is off makes such windows.
func TestSeriesOfAClockFarAhead(t *testing.T) {
	p := readPolicy(t, `{"timezone":"Europe/Vienna"}`)
	w := handover.Ward{Policy: p, Entries: story(t, p, "2026-01-05T10:00:00Z admission born=2026-01-01 cot=1 mrn=77")}
	since := time.Date(2026, 1, 5, 11, 0, 0, 0, time.UTC)
	at := since.AddDate(73, 0, 0)
	s, _ := handover.SeriesOf(w, handover.Compile(w, at, at, since), "a")
	if want := 2 * 73; len(s.Clocks) != want {
		t.Errorf("%d changes since %s, want %d", len(s.Clocks), s.Since, want)
	}
}

// The clock goes back at 03:00 summer time in Vienna (01:00 UTC); by half an hour
// on Lord Howe Island (IANA time zone database).
func TestSeriesTellsClockChanges(t *testing.T) {
	for _, x := range []struct{ zone, at, want string }{
		{"Europe/Vienna", "2026-10-25T07:30:00+01:00", "2026-10-25T01:00:00Z 2h0m0s 1h0m0s"},
		{"Europe/Vienna", "2026-03-29T07:30:00+02:00", "2026-03-29T01:00:00Z 1h0m0s 2h0m0s"},
		{"Australia/Lord_Howe", "2026-04-05T08:00:00+10:30", "2026-04-04T15:00:00Z 11h0m0s 10h30m0s"},
		{"Europe/Vienna", "2026-10-24T07:30:00+02:00", ""},
		{"Asia/Kolkata", "2026-10-25T07:30:00+05:30", ""},
	} {
		s, _ := seriesOf(t, `{"timezone":"`+x.zone+`"}`, "2026-01-05T10:00:00Z admission born=2026-01-01 cot=1 mrn=77", x.at)
		got := ""
		for _, c := range s.Clocks {
			got += fmt.Sprint(c.At.UTC().Format(time.RFC3339), " ", c.Before, " ", c.After)
		}
		if got != x.want {
			t.Errorf("%s %s: %q, want %q", x.zone, x.at, got, x.want)
		}
	}
}
