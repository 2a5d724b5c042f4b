package handover

import (
	"math"
	"testing"
)

// The filter, reading by reading, over three worked forecasts: each figure to the
// four decimals it is printed with.
func TestForecastSteps(t *testing.T) {
	const within = 0.000051
	var f forecast
	example := ""
	for _, row := range csvRows(t, "forecast-steps.csv") {
		if row["example"] != example {
			example, f = row["example"], forecast{boy: row["sex"] == "M"}
		}
		days, cm := int(float(t, row["pma_days"])), float(t, row["hc_cm"])
		what := example + " " + row["pma"]
		mu, sigma := headCurve(float64(days)/7, f.boy)
		near(t, what+" mu", mu, float(t, row["mu_cm"]), within)
		near(t, what+" sigma", sigma, float(t, row["sigma_cm"]), within)
		near(t, what+" z observed", (cm-mu)/sigma, float(t, row["z_obs"]), within)
		z, v := 0.0, filterSpread*filterSpread
		if f.any {
			z, v = f.later(days - f.days)
		}
		near(t, what+" z before", z, float(t, row["z_prior"]), within)
		near(t, what+" sd before", math.Sqrt(v), float(t, row["sd_prior"]), within)
		f.read(days, cm)
		near(t, what+" gain", 1-f.v/v, float(t, row["gain_K"]), within)
		near(t, what+" z after", f.z, float(t, row["z_post"]), within)
		near(t, what+" sd after", math.Sqrt(f.v), float(t, row["sd_post"]), within)
	}
}

// worked is the filter after all readings of a worked forecast.
func worked(t *testing.T, example string) forecast {
	t.Helper()
	var f forecast
	for _, row := range csvRows(t, "forecast-steps.csv") {
		if row["example"] == example {
			f.boy = row["sex"] == "M"
			f.read(int(float(t, row["pma_days"])), float(t, row["hc_cm"]))
		}
	}
	return f
}

func TestForecastPredictions(t *testing.T) {
	const within = 0.000051
	rows := csvRows(t, "forecast-dates.csv")
	for _, row := range rows {
		f := worked(t, row["example"])
		days := int(float(t, row["days_after_last"]))
		what := row["example"] + " " + row["pma"]
		z, v := f.later(days)
		mu, sigma := headCurve(float64(f.days+days)/7, f.boy)
		near(t, what+" z", z, float(t, row["z_pred"]), within)
		near(t, what+" sd of z", math.Sqrt(v), float(t, row["sd_z"]), within)
		near(t, what+" head", mu+sigma*z, float(t, row["hc_pred_cm"]), within)
		near(t, what+" sd", sigma*math.Sqrt(v), float(t, row["sd_cm"]), within)
		near(t, what+" probability", f.reaches(float(t, row["threshold_cm"]), days), float(t, row["prob_at_or_over_threshold"]), within)
	}
	if len(rows) != 22 {
		t.Errorf("%d rows", len(rows))
	}
}

// The day marked P10, P50 or P90 is the first on which the probability is reached.
func TestForecastFirstDays(t *testing.T) {
	marks := 0
	for _, row := range csvRows(t, "forecast-dates.csv") {
		level, ok := map[string]float64{"P10": 0.1, "P50": 0.5, "P90": 0.9}[row["marks"]]
		if !ok {
			continue
		}
		marks++
		f, days, cm := worked(t, row["example"]), int(float(t, row["days_after_last"])), float(t, row["threshold_cm"])
		if before, on := f.reaches(cm, days-1), f.reaches(cm, days); !(before < level && on >= level) {
			t.Errorf("%s %s: %v the day before, %v on day %d", row["example"], row["marks"], before, on, days)
		}
	}
	if marks != 9 {
		t.Errorf("%d marks", marks)
	}
}

// Two readings on one day are both read, without any time between them: the
// second narrows the doubt, and where both are the same the mean stays about.
func TestForecastTwoReadingsOnADay(t *testing.T) {
	var one, two forecast
	one.read(210, 27)
	two.read(210, 27)
	two.read(210, 27)
	if !(two.v < one.v) || two.days != 210 {
		t.Errorf("variance %v after one, %v after two", one.v, two.v)
	}
	// By hand: one reading has V·R/(V+R); two equal ones V·R/(V+2R)… of half the error.
	_, sigma := headCurve(30, false)
	v, r := filterSpread*filterSpread, math.Pow(filterError/sigma, 2)
	near(t, "variance after two", two.v, v*r/2/(v+r/2), 1e-12)
}
