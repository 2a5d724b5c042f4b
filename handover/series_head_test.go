package handover_test

import (
	"fmt"
	"testing"

	"cotline/handover"
	"cotline/internal/wardtest"
)

func headSeriesOf(t testing.TB, policy, text, when string) handover.HeadSeries {
	t.Helper()
	p := readPolicy(t, policy)
	w := handover.Ward{Policy: p, Entries: story(t, p, text)}
	s, ok := handover.HeadSeriesOf(w, compile(t, p, w.Entries, when), "a")
	if !ok {
		t.Fatal("no series")
	}
	return s
}

// At 34+0 the standard's means are 31.27 cm for boys and 30.48 for girls; its 3rd
// centile (z -1.88) 29.15 and 28.35: Appendix 8 of Villar 2015, as quoted elsewhere.
func TestCentileCurvesMeetPublishedValues(t *testing.T) {
	for sex, want := range map[string]map[int]string{"male": {50: "31.27", 3: "29.15"}, "female": {50: "30.48", 3: "28.35"}} {
		// 34+0 is the last day drawn: born at 33+0, no head, a week around today.
		s := headSeriesOf(t, "{}", "1 10:00 admission born=2026-10-01 cot=1 mrn=77 gestation=33+0 sex="+sex, "1 12:00")
		for _, c := range s.Curves {
			last := c.Points[len(c.Points)-1]
			if weeks, days, ok := s.Weeks(last.On); !ok || weeks != 34 || days != 0 {
				t.Fatalf("the curves end at %d+%d", weeks, days)
			}
			if w := want[c.Centile]; w != "" && last.Cm.String() != w {
				t.Errorf("%s, centile %d at 34+0: %s cm, want %s", sex, c.Centile, last.Cm, w)
			}
		}
		if len(s.Curves) != 5 {
			t.Errorf("%d curves", len(s.Curves))
		}
	}
}

// Curves are drawn nowhere outside the standard, and not for whom there is none.
func TestNoCurvesOutsideTheStandard(t *testing.T) {
	for _, x := range []struct{ admission, want string }{
		{"gestation=30+0 sex=other", "sex"},
		{"gestation=30+0", "sex"},
		{"gestation=30 sex=male", "gestation"},
		{"sex=male", "gestation"},
		{"gestation=23+0 sex=male", "age"},
		{"gestation=30+0 sex=male", ""},
	} {
		s := headSeriesOf(t, "{}", "1 10:00 admission born=2026-10-01 cot=1 mrn=77 "+x.admission, "8 12:00")
		if s.NoCurves != x.want || (len(s.Curves) > 0) != (x.want == "") {
			t.Errorf("%s: %q and %d curves, want %q", x.admission, s.NoCurves, len(s.Curves), x.want)
		}
	}
	s := headSeriesOf(t, "{}", "1 10:00 admission born=2026-10-01 cot=1 mrn=77 gestation=26+0 sex=female\n2 10:00 head circumferenceCm=23",
		"8 12:00")
	if first := s.Curves[0].Points[0].On; first != s.Born.Add(7) {
		t.Errorf("born at 26+0, the curves begin on %s, want a week after %s", first, s.Born)
	}
}

// A boy, 26.0 cm at 29+0, a bonnet to 28.0 cm. By the filter worked out on paper
// (z -0.616, SD 0.264): check from day 9, expected day 14, latest day 21. Readings
// that are unreliable do not count.
func TestHeadSeriesTellsTheForecast(t *testing.T) {
	s := headSeriesOf(t, `{"sizes":{"bonnet":[{"name":"one","fromCm":24,"toCm":28}]}}`, `
		1 10:00 admission born=2026-10-01 cot=1 mrn=77 gestation=27+0 sex=male
		2 10:00 support state=started mode=cpap
		1 11:00 head circumferenceCm=25 unreliable=moulding
		13 10:00 head circumferenceCm=30 unreliable=swelling
		15 10:00 head circumferenceCm=26.0
		15 11:00 bonnet action=fitted size=one`, "15 12:00")
	f := s.Forecast
	if f == nil || s.On == nil {
		t.Fatal("no forecast")
	}
	got := fmt.Sprint(f.CheckFrom.Sub(f.From), f.Expected.Sub(f.From), f.Latest.Sub(f.From), " ", f.ToCm, " from ", f.From, " on ",
		s.On.Name, " since ", s.On.Since)
	if want := "9 14 21 28 from 2026-10-15 on one since 2026-10-15"; got != want {
		t.Errorf("got %s, want %s", got, want)
	}
	if len(s.Heads) != 3 || !s.Heads[0].AtBirth || s.Heads[1].Unreliable != "swelling" || s.Heads[2].AtBirth {
		t.Errorf("heads: %+v", s.Heads)
	}
	if s.To != f.Latest.Add(7) {
		t.Errorf("drawn to %s, the forecast ends %s", s.To, f.Latest)
	}
}

// Whatever a ward charts, the chart tells the summary's dates and its last head.
func TestHeadSeriesAgreesWithTheSummary(t *testing.T) {
	wards := map[string]wardtest.Ward{"demo": wardtest.Demo(t)}
	for seed := range uint64(3) {
		wards[fmt.Sprint("seed ", seed)] = wardtest.Random(t, seed, 12, 2)
	}
	forecasts := 0
	for name, w := range wards {
		h := w.Handover
		for _, f := range h.Infants {
			s, ok := handover.HeadSeriesOf(w.Ward, h, f.Infant)
			if !ok {
				t.Fatalf("%s: no chart of %s", name, f.Infant)
			}
			if v := f.Head.Value; (v == nil) != (len(s.Heads) == 0) || v != nil && s.Heads[len(s.Heads)-1].Entry != v.Entry {
				t.Errorf("%s, %s: the last head differs", name, f.Infant)
			}
			if b := f.Bonnet.Value; b != nil && s.Forecast != nil {
				forecasts++
				if b.CheckFrom != s.Forecast.CheckFrom || b.Latest != s.Forecast.Latest {
					t.Errorf("%s, %s: forecast %+v, the summary has %s to %s", name, f.Infant, *s.Forecast, b.CheckFrom, b.Latest)
				}
			} else if b != nil && !b.CheckFrom.IsZero() {
				t.Errorf("%s, %s: no forecast on the chart", name, f.Infant)
			}
		}
	}
	if forecasts < 5 {
		t.Errorf("only %d forecasts among the wards", forecasts)
	}
}
