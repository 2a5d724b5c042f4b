package handover_test

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"cotline/handover"
	demo "cotline/internal/ward"

	"github.com/goccy/go-yaml"
	"github.com/google/go-cmp/cmp"
)

// wardOf takes the lines of an invented ward.
func wardOf(t testing.TB, lines [][]byte) handover.Ward {
	t.Helper()
	text, err := yaml.YAMLToJSON(demo.Policy())
	if err != nil {
		t.Fatal(err)
	}
	w := handover.Ward{Policy: readPolicy(t, string(text))}
	for _, line := range lines {
		e := mustEntry(t, string(line))
		if e.Charted.IsZero() {
			e.Charted = e.At
		}
		w.Entries = append(w.Entries, e)
	}
	return w
}

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
		{"support", bars(s, s.Support), "22 19:30-22 22:00 cpap; 22 22:00-22 22:30 break; 22 22:30-22 23:00 cpap; 22 23:00-23 02:00 high-flow; 23 02:00-23 05:00 cpap"},
		{"FiO2", steps(s, s.FiO2), "22 19:30-22 20:00 40; 22 20:00-22 22:00 30; 22 22:30-23 00:00 30; 23 00:00-23 05:00 21; 23 05:00-23 05:00 25"},
		{"pressure", steps(s, s.Pressure), "22 19:30-22 22:00 5; 22 22:30-22 23:00 5; 23 02:00-23 02:10 NOT CHARTED; 23 02:10-23 05:00 6.0"},
		{"interface", bars(s, s.Interface), "22 19:30-22 21:00 mask S; 22 21:00-22 22:00 prongs M; 22 22:00-22 22:30 off; 22 22:30-23 03:00 prongs M; 23 03:00-23 05:00 mask"},
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
	if len(s.Episodes) != 1 || !slices.Equal(s.Episodes[0].Signs, []string{"bradycardia", "desaturation"}) || s.Episodes[0].Lowest.String() != "71" {
		t.Errorf("episodes: %+v", s.Episodes)
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

// Whatever a ward charts, a series says the same as the summary beside it.
func TestSeriesAgreesWithTheSummary(t *testing.T) {
	_, lines := demo.Demo()
	at, _ := handover.ParseMoment(demo.DemoAt)
	agrees(t, "demo", wardOf(t, slices.Collect(bytes.Lines(lines))), at.Time)
	for seed := range uint64(6) {
		w := wardOf(t, slices.Collect(demo.Random(seed, 12, 2)))
		last := slices.MaxFunc(w.Entries, func(a, b *handover.Entry) int { return a.At.Compare(b.At.Time) }).At.Time
		for _, back := range []time.Duration{0, 7*time.Hour + 11*time.Minute, 26 * time.Hour} {
			agrees(t, fmt.Sprint("seed ", seed, " back ", back), w, last.Add(-back))
		}
	}
}

func agrees(t *testing.T, name string, w handover.Ward, at time.Time) {
	t.Helper()
	h := handover.Compile(w, at, at, time.Time{})
	if len(h.Infants) == 0 {
		t.Fatalf("%s: nobody", name)
	}
	for _, f := range h.Infants {
		s, ok := handover.SeriesOf(w, h, f.Infant)
		if !ok {
			t.Fatalf("%s: no series of %s", name, f.Infant)
		}
		says := seriesSays(s)
		if n := len(s.Rotations); n > 0 && (f.Rotation.Value == nil || s.Rotations[n-1].At.Before(f.Support.Since)) {
			says.LastRotation = "" // of a spell or a mode before: a summary tells that of the current spell
		}
		if diff := cmp.Diff(summaryOf(h, f), says); diff != "" {
			t.Errorf("%s, %s (-summary +series)\n%s", name, f.Infant, diff)
		}
		inOrder(t, name+" "+f.Infant, s)
	}
	if _, ok := handover.SeriesOf(w, h, "nobody"); ok {
		t.Errorf("%s: a series of nobody", name)
	}
}

// said is what both a summary and a series say.
type said struct {
	FiO2Min, FiO2Max, FiO2Mean          string
	FiO2Now, PressureNow                string
	Below, InTarget, Above, NoTarget    int
	Interface, LastRotation, SupportNow string
	Episodes, Alarms                    int
}

func summaryOf(h *handover.Handover, f *handover.Summary) said {
	var out said
	if v := f.FiO2.Value; v != nil {
		out.FiO2Min, out.FiO2Max = trimmed(v.MinPercent.String()), trimmed(v.MaxPercent.String())
		if m := v.MeanPercent.Value; m != nil {
			out.FiO2Mean = m.String()
		}
	}
	for _, x := range f.Settings {
		if x.Fact != nil && x.Field == "fio2Percent" {
			out.FiO2Now = x.Fact.Value.String()
		}
		if x.Fact != nil && x.Field == "pressureCmH2O" {
			out.PressureNow = x.Fact.Value.String()
		}
	}
	if v := f.SpO2.Value; v != nil {
		out.Below, out.InTarget, out.Above, out.NoTarget = v.Below, v.InTarget, v.Above, v.NoTarget
	}
	if v := f.Interface.Value; v != nil {
		out.Interface = v.Type
		if v.Size.Value != nil {
			out.Interface += " " + *v.Size.Value
		}
	}
	if v := f.Rotation.Value; v != nil && v.Last != nil && v.Last.At.After(f.Since) {
		out.LastRotation = v.Last.Entry
	}
	switch f.Support.State {
	case "on":
		out.SupportNow = f.Support.Mode
	case "off":
		out.SupportNow = "off"
	}
	out.Episodes, out.Alarms = f.Episodes.Window.Count, len(f.Alarms)
	return out
}

func seriesSays(s handover.Series) said {
	var out said
	var weighted, total int64 // the values of the wards are whole or have one decimal
	for _, x := range s.FiO2 {
		if x.Value == nil {
			continue
		}
		v := int64(x.Value.Float()*10 + 0.5)
		d := x.To.Sub(x.From).Nanoseconds() / 1e6
		weighted, total = weighted+v*d, total+d
		if low := trimmed(x.Value.String()); out.FiO2Min == "" || lessNumber(low, out.FiO2Min) {
			out.FiO2Min = low
		}
		if high := trimmed(x.Value.String()); out.FiO2Max == "" || lessNumber(out.FiO2Max, high) {
			out.FiO2Max = high
		}
	}
	if total > 0 { // rounded half away from zero to two decimals
		hundredths := (weighted*20 + total) / (2 * total)
		out.FiO2Mean = fmt.Sprintf("%d.%02d", hundredths/100, hundredths%100)
	}
	if n := len(s.Support); n > 0 {
		out.SupportNow = s.Support[n-1].What
	}
	on := out.SupportNow != "" && out.SupportNow != "off"
	if n := len(s.FiO2); n > 0 && on && s.FiO2[n-1].Value != nil && s.FiO2[n-1].To.Equal(s.At) {
		out.FiO2Now = s.FiO2[n-1].Value.String()
	}
	if n := len(s.Pressure); n > 0 && on && s.Pressure[n-1].Value != nil && s.Pressure[n-1].To.Equal(s.At) {
		out.PressureNow = s.Pressure[n-1].Value.String()
	}
	for _, x := range s.SpO2 {
		if !x.Within {
			continue
		}
		// Told apart by the bands that a strip draws, not by what the reading says.
		i := slices.IndexFunc(s.Target, func(b handover.Target) bool {
			return !x.At.Before(b.From) && (x.At.Before(b.To) || x.At.Equal(s.At) && b.To.Equal(s.At))
		})
		if j := len(s.Target) - 1; i >= 0 && i < j && x.At.Equal(s.At) && s.Target[j].From.Equal(s.At) {
			i = j
		}
		switch {
		case i < 0 || !s.Target[i].Whole():
			out.NoTarget++
		case x.Value.Cmp(*s.Target[i].Low) < 0:
			out.Below++
		case !s.Target[i].Air && x.Value.Cmp(*s.Target[i].High) > 0:
			out.Above++
		default:
			out.InTarget++
		}
	}
	if n := len(s.Interface); n > 0 && on {
		b := s.Interface[n-1]
		out.Interface = b.What
		if b.What != "off" {
			out.Interface = strings.TrimSpace(b.What + " " + b.Size)
		}
	}
	if n := len(s.Rotations); n > 0 {
		out.LastRotation = s.Rotations[n-1].Entry
	}
	out.Episodes, out.Alarms = len(s.Episodes), len(s.Alarms)
	return out
}

func trimmed(s string) string {
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

func lessNumber(a, b string) bool {
	x, _ := handover.ParseDecimal(a)
	y, _ := handover.ParseDecimal(b)
	return x.Cmp(y) < 0
}

// inOrder holds that stretches lie in the window, in order, and do not overlap.
func inOrder(t *testing.T, name string, s handover.Series) {
	t.Helper()
	check := func(what string, n int, ends func(int) (time.Time, time.Time)) {
		last := s.Since
		for i := range n {
			from, to := ends(i)
			if from.Before(last) || to.Before(from) || to.After(s.At) || from.Equal(to) && !to.Equal(s.At) {
				t.Errorf("%s: %s %d runs from %s to %s, after %s", name, what, i, from, to, last)
			}
			last = to
		}
	}
	check("support", len(s.Support), func(i int) (time.Time, time.Time) { return s.Support[i].From, s.Support[i].To })
	check("FiO2", len(s.FiO2), func(i int) (time.Time, time.Time) { return s.FiO2[i].From, s.FiO2[i].To })
	check("pressure", len(s.Pressure), func(i int) (time.Time, time.Time) { return s.Pressure[i].From, s.Pressure[i].To })
	check("target", len(s.Target), func(i int) (time.Time, time.Time) { return s.Target[i].From, s.Target[i].To })
	check("interface", len(s.Interface), func(i int) (time.Time, time.Time) { return s.Interface[i].From, s.Interface[i].To })
}
