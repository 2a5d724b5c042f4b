package handover_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/wardtest"

	"github.com/google/go-cmp/cmp"
)

// Whatever a ward charts, a series says the same as the summary beside it.
func TestSeriesAgreesWithTheSummary(t *testing.T) {
	demo := wardtest.Demo(t)
	agrees(t, "demo", demo.Ward, demo.At)
	for seed := range uint64(6) {
		w := wardtest.Random(t, seed, 12, 2)
		for _, back := range []time.Duration{0, 7*time.Hour + 11*time.Minute, 26 * time.Hour} {
			agrees(t, fmt.Sprint("seed ", seed, " back ", back), w.Ward, w.At.Add(-back))
		}
	}
}

// What a series calls a rotation is what the handover of that very moment calls the last one,
// and nothing else is.
func TestRotationsOfASeries(t *testing.T) {
	found := 0
	for seed := range uint64(3) {
		w := wardtest.Random(t, seed, 4, 2)
		h := handover.Compile(w.Ward, w.At, w.At, w.At.Add(-24*time.Hour))
		for _, f := range h.Infants {
			s, _ := handover.SeriesOf(w.Ward, h, f.Infant)
			var got, want []string
			for _, x := range s.Rotations {
				got = append(got, x.From+" to "+x.To+", "+x.Entry)
			}
			own := handover.Ward{Policy: w.Policy}
			for _, e := range w.Entries {
				if e.Infant == f.Infant {
					own.Entries = append(own.Entries, e)
				}
			}
			for _, e := range own.Entries {
				if e.Kind != "interface" || !e.At.After(s.Since) || e.At.After(s.At) {
					continue
				}
				for _, then := range handover.Compile(own, e.At.Time, w.At, time.Time{}).Infants {
					if r := then.Rotation.Value; r != nil && r.Last != nil && r.Last.Entry == e.ID {
						want = append(want, r.Last.From+" to "+r.Last.To+", "+e.ID)
					}
				}
			}
			found += len(got)
			if diff := cmp.Diff(want, got); diff != "" {
				t.Errorf("seed %d, %s (-handovers +series)\n%s", seed, f.Infant, diff)
			}
		}
	}
	if found == 0 {
		t.Error("nobody was rotated")
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
	x, _ := entry.ParseDecimal(a)
	y, _ := entry.ParseDecimal(b)
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
