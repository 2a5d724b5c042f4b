package handover

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"
)

// csvRows reads a fixture, each row by its column's name.
func csvRows(t *testing.T, name string) []map[string]string {
	t.Helper()
	f, err := os.Open("testdata/" + name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var rows []map[string]string
	for _, line := range all[1:] {
		row := map[string]string{}
		for i, column := range all[0] {
			row[column] = line[i]
		}
		rows = append(rows, row)
	}
	return rows
}

func float(t *testing.T, text string) float64 {
	t.Helper()
	f, err := strconv.ParseFloat(text, 64)
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func near(t *testing.T, what string, got, want, within float64) {
	t.Helper()
	if !(math.Abs(got-want) <= within) {
		t.Errorf("%s: %.6f, want %v", what, got, want)
	}
}

// measured is the scale a standard works on: cm, or the logarithm of kg.
func measured(measure string, value float64) float64 {
	if measure == "weight_kg" {
		return math.Log(value)
	}
	return value
}

var curves = map[string]curve{
	"PNG_2015 hc_cm": headCurve, "PNG_2015 weight_kg": weightCurve, "VPNS_2016 hc_cm": birthHeadCurve,
	"VPNS_2016 weight_kg": birthWeightCurve,
}

// z-scores agree with other people's packages, to the six decimals they print,
// and with worked figures to the four decimals these have.
func TestGrowthWorkedExamples(t *testing.T) {
	rows, packages := csvRows(t, "growth.csv"), 0
	for _, row := range rows {
		at := curves[row["standard"]+" "+row["measure"]]
		mu, sigma := at(float(t, row["age_days"])/7, row["sex"] == "M")
		z := (measured(row["measure"], float(t, row["value"])) - mu) / sigma
		what := row["standard"] + " " + row["measure"] + " " + row["sex"] + " " + row["age_days"] + " " + row["value"]
		near(t, what, z, float(t, row["z"]), 0.00005001)
		near(t, what+", centile", 100*phi(z), float(t, row["centile"]), 0.005001)
		if row["independent_z"] != "" {
			near(t, what, z, float(t, row["independent_z"]), 0.000000501)
			packages++
		}
	}
	if len(rows) != 27 || packages != 14 {
		t.Errorf("%d rows, %d from packages", len(rows), packages)
	}
}

// What a standard has at a round z is what its published table or appendix prints,
// within 0.06 cm (cells have 0.1 cm, some were rounded twice) or 0.0051 kg.
func TestGrowthPublishedCells(t *testing.T) {
	cells := 0
	for _, row := range csvRows(t, "growth.csv") {
		if row["nominal_z"] == "" {
			continue
		}
		cells++
		mu, sigma := curves[row["standard"]+" "+row["measure"]](float(t, row["age_days"])/7, row["sex"] == "M")
		value, within := mu+sigma*float(t, row["nominal_z"]), 0.06
		if row["measure"] == "weight_kg" {
			value, within = math.Exp(value), 0.0051
		}
		if row["how"] == "appendix" && row["measure"] == "hc_cm" {
			within = 0.0051 // it prints two decimals
		}
		near(t, row["standard"]+" "+row["sex"]+" "+row["age_days"]+" at z "+row["nominal_z"], value, float(t, row["value"]), within)
	}
	if cells != 13 {
		t.Errorf("%d cells", cells)
	}
}

// Heads of the postnatal standard at 34+0: Villar 2015, appendix 8, as quoted.
func TestT55_T56_HeadsAt34Weeks(t *testing.T) {
	for _, c := range []struct {
		boy     bool
		z, want float64
	}{{true, 0, 31.27}, {false, 0, 30.48}, {true, -1.88, 29.15}, {false, -1.88, 28.35}} {
		mu, sigma := headCurve(34, c.boy)
		near(t, "34+0", mu+sigma*c.z, c.want, 0.0051)
	}
}

// The gain of a week at the mean and two standard deviations to either side: how
// the published curve falls off, computed from its equation by code of our own in
// another language and rounded to 0.01, some twice.
func TestHeadGainByWeek(t *testing.T) {
	at := []float64{27, 28, 30, 32, 34, 36, 38, 40, 44, 48, 52}
	for z, want := range map[float64][]float64{
		0:  {1.13, 1.05, 0.92, 0.81, 0.72, 0.64, 0.58, 0.52, 0.43, 0.36, 0.31},
		-2: {1.40, 1.28, 1.08, 0.92, 0.79, 0.69, 0.61, 0.54, 0.43, 0.35, 0.29},
		2:  {0.85, 0.82, 0.75, 0.69, 0.64, 0.59, 0.54, 0.50, 0.44, 0.38, 0.33},
	} {
		for i, week := range at {
			mu, sigma := headCurve(week, false)
			next, wide := headCurve(week+1, false)
			near(t, "a week's gain", next+wide*z-mu-sigma*z, want[i], 0.006)
		}
	}
}

// The standards disagree on one day, by what is known of them: so they are never
// spliced.
func TestStandardsAreNotSpliced(t *testing.T) {
	for _, c := range []struct {
		at     curve
		boy    bool
		mu, sd float64
	}{{birthHeadCurve, true, 27.67, 1.56}, {birthHeadCurve, false, 27.42, 1.56}, {headCurve, true, 27.93, 1.38},
		{headCurve, false, 27.14, 1.38}} {
		mu, sigma := c.at(30, c.boy)
		near(t, "30+0", mu, c.mu, 0.0051)
		near(t, "30+0", sigma, c.sd, 0.0051)
	}
}

// The normal distribution agrees with values computed to 40 digits, over all that
// is printed: testdata/README.md says by what.
func TestNormalDistribution(t *testing.T) {
	rows := csvRows(t, "normal.csv")
	for _, row := range rows {
		z, want := float(t, row["z"]), float(t, row["phi"])
		if got := phi(z); math.Abs(got-want) > 1e-15 {
			t.Errorf("phi(%v) = %v, want %v", z, got, want)
		}
	}
	if len(rows) != 257 {
		t.Errorf("%d values from -8 to 8 by sixteenths", len(rows))
	}
}
