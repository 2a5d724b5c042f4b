package handover_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// measuredAt is an infant whose head or weight is read at an age in days: on the
// day of birth for the standard of size at birth, weeks after it for the other.
func measuredAt(t *testing.T, atBirth bool, sex string, days int, kind, field, value string) *handover.Handover {
	t.Helper()
	gestation := 24 * 7
	if atBirth {
		gestation = days
	}
	born := time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)
	read := born.AddDate(0, 0, days-gestation).Add(time.Hour)
	weeks := strconv.Itoa(gestation/7) + "+" + strconv.Itoa(gestation%7)
	return compiled(t, readPolicy(t, `{}`),
		born.Format(time.RFC3339)+" admission born=2026-03-01 cot=7 mrn=1 sex="+sex+" gestation="+weeks+"\n"+
			read.Format(time.RFC3339)+" "+kind+" "+field+"="+value, read.Format(time.RFC3339))
}

// The worked examples of growth.csv, through the whole engine: z to two decimals,
// centile to one, and the standard by its name.
func TestGrowthThroughTheHandover(t *testing.T) {
	f, err := os.Open("testdata/growth.csv")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows[1:] {
		sex := map[string]string{"M": "male", "F": "female"}[row[2]]
		days, _ := strconv.Atoi(row[3])
		kind, field, value := "head", "circumferenceCm", row[4]
		if row[1] == "weight_kg" {
			kg, _ := strconv.ParseFloat(row[4], 64)
			kind, field, value = "weight", "weightG", strconv.Itoa(int(math.Round(1000*kg)))
		}
		h := measuredAt(t, row[0] == "VPNS_2016", sex, days, kind, field, value)
		all := facts(h)
		for path, want := range map[string]string{".z": row[5], ".centile": row[6]} {
			got, err := strconv.ParseFloat(valueAt(all, kind+path), 64)
			wanted, _ := strconv.ParseFloat(want, 64)
			within := map[string]float64{".z": 0.00505, ".centile": 0.0551}[path]
			if err != nil || math.Abs(got-wanted) > within {
				t.Errorf("%v: %s%s is %v, want %v", row[:5], kind, path, got, wanted)
			}
		}
		year := map[string]string{"PNG_2015": "2015", "VPNS_2016": "2016"}[row[0]]
		if standard := valueAt(all, kind+".standard"); !strings.HasSuffix(standard, year) {
			t.Errorf("%v: by %s", row[:5], standard)
		}
	}
}

// Villar 2015: a girl of 31+2 with 27.5 cm.
func TestT57_HeadZ(t *testing.T) {
	holds(t, measuredAt(t, false, "female", 31*7+2, "head", "circumferenceCm", "27.5"), "head.z = -0.63")
}

// The standard begins at 27+0 and ends at 64+0, both in; it is never extrapolated.
func TestT58_OutsideTheStandard(t *testing.T) {
	for days, want := range map[int]string{
		26*7 + 6: "head.z = -\nhead.standard = -\nhead.noZ = age",
		27 * 7:   "head.standard = INTERGROWTH-21st preterm postnatal, 2015\nhead.noZ = -",
		64 * 7:   "head.standard = INTERGROWTH-21st preterm postnatal, 2015\nhead.noZ = -",
		64*7 + 1: "head.z = -\nhead.noZ = age",
	} {
		holds(t, measuredAt(t, false, "female", days, "head", "circumferenceCm", "27.5"), want)
	}
	for days, want := range map[int]string{ // size at birth: 24+0 to 32+6
		23*7 + 6: "head.noZ = age", 24 * 7: "head.noZ = -", 32*7 + 6: "head.noZ = -", 33 * 7: "head.noZ = age",
	} {
		holds(t, measuredAt(t, true, "male", days, "head", "circumferenceCm", "27.5"), want)
	}
}

// A neonatology manual: over 1.25 cm a week may be abnormal, 1.283 is and 1.100 is
// not. The tool shows the figure and flags nothing.
func TestT59_GrowthAWeek(t *testing.T) {
	common := admitted + "10 08:00 head circumferenceCm=27.0\n"
	holds(t, compiled(t, readPolicy(t, `{}`), common+"16 20:00 head circumferenceCm=28.1", "17 12:00"), "head.growth.cmPerWeek = 1.28")
	holds(t, compiled(t, readPolicy(t, `{}`), common+"17 07:00 head circumferenceCm=28.1", "17 12:00"), "head.growth.cmPerWeek = 1.10")
}

// Technical error of measurement 0.3 to 0.4 cm (Cheikh Ismail L et al., BJOG 2013;
// 120 suppl 2:48-55): two readings differ by chance up to 0.4 × √2 × 1.96 = 1.109 cm.
func TestT60_WithinMeasuringError(t *testing.T) {
	if got := 0.4 * math.Sqrt2 * 1.96; math.Abs(got-1.109) > 0.0005 {
		t.Error(got)
	}
	common := admitted + "10 08:00 head circumferenceCm=27.00\n"
	for cm, want := range map[string]string{"27.8": "true", "28.1": "true", "28.109": "true", "28.11": "false", "26.2": "true",
		"25.8": "false"} {
		h := compiled(t, readPolicy(t, `{}`), common+"17 08:00 head circumferenceCm="+cm, "17 12:00")
		holds(t, h, "head.growth.withinError = "+want)
	}
}

// A published abstract prints 10.2 cm for a head, which must be inches: refused.
func TestT61_HeadInInches(t *testing.T) {
	refused(t, "head", `"circumferenceCm":10.2`, "circumferenceCm", entry.CodeRange)
}

// The three worked forecasts give the days of the window: the bonnet on reaches up
// to the limit forecast for, and the last reading is the day it is read.
func TestForecastWindows(t *testing.T) {
	for name, c := range map[string]struct {
		sex, toCm string
		heads     [][2]string // postmenstrual age in days, cm
		after     [3]int      // days to P 0.1, 0.5, 0.9
	}{
		"A": {"male", "28.0", [][2]string{{"203", "26.0"}}, [3]int{9, 14, 21}},
		"B": {"female", "31.0", [][2]string{{"210", "26.0"}, {"217", "26.6"}, {"224", "27.6"}, {"231", "28.4"}}, [3]int{16, 23, 32}},
		"C": {"male", "34.0", [][2]string{{"224", "28.9"}, {"231", "30.2"}, {"235", "30.0"}, {"245", "32.1"}}, [3]int{16, 24, 36}},
	} {
		p := readPolicy(t, `{"every":{"head":"none"},"sizes":{"bonnet":[{"name":"bud","fromCm":20,"toCm":`+c.toCm+`}]}}`)
		born := time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC)
		story := born.Format(time.RFC3339) + " admission born=2026-03-01 cot=7 mrn=1 gestation=24+0 sex=" + c.sex + "\n" +
			born.Format(time.RFC3339) + " bonnet action=fitted size=bud\n"
		var last time.Time
		for _, reading := range c.heads {
			days, _ := strconv.Atoi(reading[0])
			last = born.AddDate(0, 0, days-24*7)
			story += last.Format(time.RFC3339) + " head circumferenceCm=" + reading[1] + "\n"
		}
		day := func(n int) string { return last.AddDate(0, 0, n).Format(time.DateOnly) }
		h := compiled(t, p, story, last.Format(time.RFC3339))
		t.Run(name, func(t *testing.T) {
			holds(t, h, "bonnet.checkFrom = "+day(c.after[0])+"\nbonnet.dueOn = "+day(c.after[1])+"\nbonnet.reason = outgrowing\n"+
				"bonnet.latest = "+day(c.after[2]))
		})
	}
}
