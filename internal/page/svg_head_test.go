package page

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"cotline/handover"
)

// heads is a head series of girl born at 28+0 on 1 October.
func heads() handover.HeadSeries {
	return handover.HeadSeries{
		Infant: "inf-1", Cot: "K1", MRN: "0071234", At: clockOf("2026-10-25T07:30:00+01:00"), Zone: zoneOf("Europe/Vienna"),
		Today: day("2026-10-25"), Born: day("2026-10-01"), Gestation: 28 * 7,
		From: day("2026-09-24"), To: day("2026-11-26"), Standard: "INTERGROWTH-21st preterm postnatal, 2015",
		Curves: []handover.CentileCurve{{Centile: 50, Points: []handover.CurvePoint{{On: day("2026-10-01"), Cm: dec("25.11")},
			{On: day("2026-11-26"), Cm: dec("31.87")}}}},
		Heads: []handover.HeadSeen{{On: day("2026-10-01"), Cm: dec("24.6"), AtBirth: true}, {On: day("2026-10-15"), Cm: dec("26.0")},
			{On: day("2026-10-20"), Cm: dec("28.5"), Unreliable: "swelling"}, {On: day("2026-10-22"), Cm: dec("27.0")}},
		Bonnets: []handover.BonnetSize{{Name: "seed", FromCm: dec("24"), ToCm: dec("26.5")},
			{Name: "bud", FromCm: dec("26"), ToCm: dec("28.5")}},
		On: &handover.BonnetOn{BonnetSize: handover.BonnetSize{Name: "bud", FromCm: dec("26"), ToCm: dec("28.5")},
			Since: day("2026-10-21")},
		Forecast: &handover.HeadForecast{CheckFrom: day("2026-10-30"), Expected: day("2026-11-06"), Latest: day("2026-11-19"),
			ToCm: dec("28.5"), From: day("2026-10-22")},
	}
}

func TestHeadChartTellsWhatItShows(t *testing.T) {
	p := readPicture(t, headChartOf(heads(), alone))
	words := labelsOf(p)
	for _, want := range []string{"on since 21 Oct", "between 30 Oct and 19 Nov, expected 6 Nov", "| 27.0 cm |", "| 26.0 |", "| today |",
		"| 31 | 22 Oct |", "26–28.5", "girls",
		"diamond = day of birth", "cross = unreliable", "hatched = forecast"} {
		if !strings.Contains(words, want) {
			t.Errorf("%q is not on the chart: %s", want, words)
		}
	}
	for _, want := range []string{"1 Oct: 24.6 cm, day of birth, postmenstrual age 28+0.", "20 Oct: 28.5 cm, unreliable: swelling",
		"22 Oct: 27.0 cm, postmenstrual age 31+0."} {
		if !strings.Contains(p.desc, want) {
			t.Errorf("%q is not in the description: %s", want, p.desc)
		}
	}
	s := heads()
	s.Heads, s.On, s.Forecast, s.Curves, s.NoCurves, s.Gestation = nil, nil, nil, nil, "gestation", 0
	if words := labelsOf(readPicture(t, headChartOf(s, alone))); !strings.Contains(words, "NOT CHARTED") ||
		!strings.Contains(words, "No curves: gestation not known to the day") || !strings.Contains(words, "weeks of life") {
		t.Errorf("of nothing: %s", words)
	}
	s = heads()
	s.Forecast = &handover.HeadForecast{CheckFrom: day("2026-11-20"), ToCm: dec("28.5"), From: day("2026-10-22")}
	if words := labelsOf(readPicture(t, headChartOf(s, alone))); !strings.Contains(words, "a day beyond the forecast") {
		t.Errorf("a forecast without an end: %s", words)
	}
}

// A value lies on the line of the scale that has its number: 27.0 cm, 40 %.
func TestMarksLieOnTheirScale(t *testing.T) {
	svg := string(headChartOf(heads(), alone))
	grid := regexp.MustCompile(`<text x="530" y="(\d+)"[^>]*>27</text>`).FindStringSubmatch(svg)
	dots := regexp.MustCompile(`<circle cx="\d+" cy="(\d+)" r="40"/>`).FindAllStringSubmatch(svg, -1)
	if grid == nil || len(dots) != 2 {
		t.Fatalf("no 27 on the scale, or not two dots: %v %v", grid, dots)
	}
	var line, dot int
	fmt.Sscan(grid[1], &line)
	fmt.Sscan(dots[1][1], &dot)
	if line-35 != dot {
		t.Errorf("27.0 lies at %d, the line of 27 at %d", dot, line-35)
	}

	s := night()
	s.FiO2[1].Value = ptr(dec("40"))
	svg = string(shiftStrip(s, alone))
	grid = regexp.MustCompile(`<text x="920" y="(\d+)"[^>]*>40</text>`).FindStringSubmatch(svg)
	step := regexp.MustCompile(`<path d="M950 \d+H\d+V(\d+)H`).FindStringSubmatch(svg)
	if grid == nil || step == nil {
		t.Fatal("no 40 on the scale, or no step to it")
	}
	fmt.Sscan(grid[1], &line)
	fmt.Sscan(step[1], &dot)
	if line-35 != dot {
		t.Errorf("40 %% lies at %d, its line at %d", dot, line-35)
	}
}

// Of a moment: 05:20 is nine parts of thirteen into a night of twelve hours and
// fifty minutes that began at 19:40 (10 h 40 min: an hour came twice).
func TestMomentsLieOnTheClock(t *testing.T) {
	s := night()
	a := timeAxis{clock{at: s.At, zone: s.Zone}, s.Since, 0, 770}
	for clock, want := range map[string]int{"2026-10-24T19:40:00+02:00": 0, "2026-10-25T02:40:00+02:00": 420,
		"2026-10-25T02:40:00+01:00": 480, "2026-10-25T05:20:00+01:00": 640, "2026-10-25T07:30:00+01:00": 770} {
		if got := a.x(clockOf(clock)); got != want {
			t.Errorf("%s lies at %d, want %d", clock, got, want)
		}
	}
}

func BenchmarkPictures(b *testing.B) {
	d := demoDrawn(b)
	for b.Loop() {
		d.pictures(b)
	}
}
