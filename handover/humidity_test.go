package handover

import (
	"testing"
	"time"

	"cotline/handover/entry"
)

// Water in saturated gas, mg/L: the published table of medicalalgorithms.com (19 to
// 41 °C, one decimal), every row that is at hand. The coefficients of the formula
// are from memory: this is what they are held to.
func TestSaturatedHumidity(t *testing.T) {
	for c, want := range map[float64]float64{20: 17.3, 31: 32.0, 34: 37.6, 37: 43.9, 40: 51.1} {
		near(t, "mg/L", absoluteHumidity(c), want, 0.05)
	}
}

// Other sources of one temperature: 37.66 g/m³ at 34 °C in the CRC Handbook, 62nd
// edition; 43.9 mg/L at 37 °C in a paper on humidification in hypothermia.
func TestSaturatedHumidityElsewhere(t *testing.T) {
	near(t, "mg/L at 34 °C", absoluteHumidity(34), 37.66, 0.11)
	near(t, "mg/L at 37 °C", absoluteHumidity(37), 43.9, 0.05)
}

// By Wexler's form 43.88 mg/L at 37 °C; the value is from memory.
func TestT28_HumidityAt37(t *testing.T) { near(t, "mg/L", absoluteHumidity(37), 43.88, 0.01) }

// 8 L/min metered dry at 21 °C take 23.7 mL an hour at 37 °C; metered as humid gas
// they would take 21.1, which is another basis (T30).
func TestWaterUse(t *testing.T) {
	near(t, "mL/h, metered dry", waterMlPerLitre(37)*8*60, 23.7, 0.05)
	near(t, "mL/h, metered humid", absoluteHumidity(37)*8*60/1000, 21.06, 0.01)
	near(t, "how a litre grows", waterMlPerLitre(37)*1000/absoluteHumidity(37), 1.124, 0.0005)
}

// It runs out once: a flow that starts again before it does, and one that never does.
func TestRunsOut(t *testing.T) {
	start := time.Date(2026, 10, 24, 8, 0, 0, 0, time.UTC)
	hour := waterMlPerLitre(37) * 8 * 60
	chamber := []step{{start.Add(time.Hour), 37}}
	for _, c := range []struct {
		name  string
		ml    float64
		flow  []step
		hours float64
		ends  bool
	}{
		{"one step", 2 * hour, []step{{start, 8}}, 2, true},
		{"before the first step, that one", 2 * hour, []step{{start.Add(5 * time.Hour), 8}}, 2, true},
		{"two steps", 2 * hour, []step{{start, 8}, {start.Add(time.Hour), 4}}, 3, true},
		{"exactly at a step", hour, []step{{start, 8}, {start.Add(time.Hour), 4}}, 1, true},
		{"none, then some", hour, []step{{start, 0}, {start.Add(3 * time.Hour), 8}}, 4, true},
		{"none", hour, []step{{start, 0}}, 0, false},
		{"none left of it", 0, []step{{start, 8}}, 0, true},
		{"so little that it lasts for years", 10000, []step{{start, 0.01}}, 0, false},
	} {
		end, ends := runsOut(start, c.ml, c.flow, chamber)
		if ends != c.ends {
			t.Errorf("%s: ends %v", c.name, ends)
		} else if ends {
			near(t, c.name, end.Sub(start).Hours(), c.hours, 1e-6)
		}
	}
}

// A sensor that reads 94 % of oxygen may be sound: in gas saturated at 37 °C vapour
// takes 6.2 % of the place. Dalton's law over the saturation pressure that
// TestT28_HumidityAt37 holds to a published table gives 93.8 %.
func TestOxygenCheckOnHumidifiedGas(t *testing.T) {
	if got := entry.RoundedFloat(humidReading(100, 37), 1).String(); got != "93.8" {
		t.Errorf("100 %% saturated at 37 °C: %s %%, 93.8 %% wanted", got)
	}
	if got := entry.RoundedFloat(humidReading(30, 37), 1).String(); got != "28.1" {
		t.Errorf("30 %% saturated at 37 °C: %s %%, 28.1 %% wanted (T65)", got)
	}
}
