package ward

import (
	"slices"
	"strconv"
	"time"
)

// The routine of a ward's days is done at about the same intervals whatever else happens. The scenario of each infant
// says from when to when, and at which intervals.

// Intervals of the routine: hands-on rounds every 4 h 40 min, observations every 3 h, a look at the tube's mark every 6 h.
const (
	handsOn  = 4*time.Hour + 40*time.Minute
	seen     = 3 * time.Hour
	markSeen = 6 * time.Hour
)

var (
	noseSites = []string{"septum", "columella", "naris-left", "naris-right", "bridge", "philtrum", "cheek-left", "cheek-right"}
	flowSites = []string{"naris-left", "naris-right", "philtrum", "cheek-left", "cheek-right"}
	headSites = []string{"forehead", "ear-left", "ear-right", "occiput"}
	everySite = slices.Concat(noseSites, headSites)
	sides     = []string{"supine", "left", "prone", "right"}
)

// rounds are moments from the first on, every so often and some minutes early or late, before the last.
func (c *chart) rounds(from, until string, every time.Duration, early int) []time.Time {
	var out []time.Time
	end := when(until)
	for t := when(from); t.Before(end); t = t.Add(every) {
		if at := t.Add(minutes(c.r.IntN(2*early+1) - early)); at.Before(end) {
			out = append(out, at)
		}
	}
	return out
}

// vitals are the values around which an infant's readings vary.
type vitals struct{ spo2, heart, resp int }

// observe charts what is seen: each time saturation, heart and breathing, each second time also temperature and, on
// support, what arrives at the infant, each fourth time the work of breathing.
func (c *chart) observe(from, until string, every time.Duration, v vitals) {
	for i, t := range c.rounds(from, until, every, 8) {
		o := observations{
			SpO2:      Num(strconv.Itoa(v.spo2 - 3 + c.r.IntN(4) + c.r.IntN(4))),
			HeartRate: c.near(v.heart, 11),
			RespRate:  c.near(v.resp, 8),
		}
		if i%2 == 0 {
			o.Axillary = tenths(366 + c.r.IntN(7))
			o.SpO2Site = "foot"
			pressure, fio2 := c.inForce(t)
			if c.mode(t) != "" {
				o.FiO2, o.Airway = fio2, tenths(366+c.r.IntN(8))
			}
			if c.mode(t) != "" && pressure != "" && c.on != "cannula" {
				o.Pressure = tenths(10*whole(pressure) + c.r.IntN(5) - 2)
			}
		}
		if i%4 == 1 {
			o.Silverman = &silverman{Chest: c.mild(), Intercostal: c.mild(), Xiphoid: c.mild(), Nares: c.mild(), Grunt: "0"}
		}
		c.put(t, o)
	}
}

// cares are the hands-on rounds of an infant on mask and prongs: the skin is checked, the interface rotated, the
// mouth cleaned, the infant turned. Now and then the nose is cleared with the interface off.
func (c *chart) cares(from, until string) {
	for i, t := range c.rounds(from, until, handsOn, 9) {
		c.looksAt(t, noseSites, i)
		if c.r.IntN(5) == 0 {
			c.put(t.Add(minutes(1)), nasal{Type: "off", Reason: "cares"})
			c.put(t.Add(minutes(3)), care{What: "nasal-suction", Amount: []string{"little", "moderate"}[c.r.IntN(2)], Look: "clear"})
		}
		c.rotate(t.Add(minutes(5)))
		c.comfort(t, i)
	}
}

// rotate changes the mask for prongs, or the prongs for a mask.
func (c *chart) rotate(t time.Time) {
	next := nasal{Type: "prongs", Size: c.prongs, Reason: "rotation"}
	if c.on == "prongs" {
		next = nasal{Type: "mask", Size: c.mask, Reason: "rotation"}
	}
	c.put(t, next)
}

// looks are rounds in which the interface stays as it is.
func (c *chart) looks(from, until string, every time.Duration, sites []string) {
	for i, t := range c.rounds(from, until, every, 9) {
		c.looksAt(t, sites, i)
		c.comfort(t, i)
	}
}

func (c *chart) comfort(t time.Time, round int) {
	c.put(t.Add(minutes(6)), care{What: "mouth-care"})
	c.put(t.Add(minutes(8)), care{What: "position", Side: sides[round%len(sides)]})
}

// looksAt is a skin check: the sites given, each second round those under the bonnet, and any that is not intact.
func (c *chart) looksAt(t time.Time, sites []string, round int) {
	sites = slices.Clone(sites)
	if round%2 == 0 {
		sites = append(sites, headSites...)
	}
	for _, turn := range c.turns {
		if !slices.Contains(sites, turn.site) && !turn.from.After(t) {
			sites = append(sites, turn.site)
		}
	}
	c.put(t, c.skinAt(t, sites))
}

func (c *chart) skinAt(t time.Time, sites []string) skin {
	var s skin
	for _, name := range sites {
		found := site{Site: name, Finding: "intact", UnderBarrier: slices.Contains(c.barrier, name)}
		for _, turn := range c.turns {
			if turn.site == name && !turn.from.After(t) {
				found.Finding, found.Also = turn.finding, turn.also
			}
		}
		s.Sites = append(s.Sites, found)
	}
	return s
}

// marks are the checks of a gastric tube: its mark, what comes back, and how sour it is.
func (c *chart) marks(from, until string) {
	for _, t := range c.rounds(from, until, markSeen, 10) {
		check := tube{Action: "checked", MarkCm: c.mark, Aspirate: "none"}
		if c.r.IntN(6) > 0 {
			check.Aspirate, check.PH = "got", tenths(5*(8+c.r.IntN(4))) // 4.0 to 5.5 in halves, as strips read
			check.Amount, check.Look = tenths(5*(1+c.r.IntN(4))), "milky"
		}
		c.put(t, check)
	}
}

// humidify looks at chamber and bag every four hours, as the policy says, and hangs a bag of 500 mL every 16 hours:
// 8 L/min use some 24 mL an hour.
func (c *chart) humidify(from, until string) {
	for i, t := range c.rounds(from, until, 4*time.Hour, 15) {
		c.put(t, humidifier{Chamber: tenths(366 + c.r.IntN(7)), Water: "ok"})
		if i%6 == 3 {
			c.put(t.Add(minutes(3)), circuit{"drained"})
		}
	}
	for _, t := range c.rounds(from, until, 16*time.Hour, 15) {
		c.put(t.Add(minutes(25)), humidifier{Water: "changed", WaterMl: "500"})
	}
}

// checks are the unit's safety checks at the cot, each shift.
func (c *chart) checks(from, until string) {
	for _, t := range c.rounds(from, until, 12*time.Hour, 15) {
		c.put(t, allChecked())
	}
}

func allChecked(not ...string) safety {
	var s safety
	for _, item := range checkNames {
		s.Items = append(s.Items, safetyItem{item, !slices.Contains(not, item)})
	}
	return s
}

// begins sets everything up, checks it and starts support in the mode cpap. The mask goes on first.
func (c *chart) begins(moment, driver string, s settings, around ...string) {
	t := when(moment)
	c.fits(t.Add(-minutes(35)))
	c.put(t.Add(-minutes(33)), humidifier{State: "on", Water: "changed", WaterMl: "500"})
	c.put(t.Add(-minutes(12)), humidifier{State: "ready", Chamber: tenths(364 + c.r.IntN(8))})
	c.put(t.Add(-minutes(6)), setup{Steps: allSteps(), Around: around,
		ProbeOutside: slices.Contains(around, "incubator"), ProbeShielded: slices.Contains(around, "radiant-warmer")})
	c.put(t, support{State: "started", Mode: "cpap", Driver: driver})
	c.put(t, s)
	c.put(t.Add(minutes(1)), nasal{Type: "mask", Size: c.mask, Fit: "sealed", Clear: yes(true), Reason: "first"})
	c.put(t.Add(minutes(4)), limits{SpO2Low: "88", SpO2High: "96", HeartLow: "90", HeartHigh: "210", OxygenHigh: "60", PressureHigh: "12"})
}

// fits joins a fresh circuit, after a reading of the oxygen sensor and before one of the seal.
func (c *chart) fits(t time.Time) {
	c.put(t.Add(-minutes(4)), calibration{
		Points: []gasPoint{{"21", tenths(207 + c.r.IntN(8))}, {"100", tenths(985 + c.r.IntN(20))}},
		Flows:  []Num{"8"},
	})
	c.put(t, circuit{"fitted"})
	c.put(t.Add(minutes(6)), seal{Held: true, Pressure: "6"})
}

func allSteps() []step {
	var out []step
	for _, name := range stepNames {
		out = append(out, step{name, true})
	}
	return out
}

// stepNames are the policy's (a test compares).
var stepNames = []string{"gas-joined", "plugged-in", "pot-filled", "bag-hung", "hoses-joined", "heat-probe-in",
	"air-read", "oxygen-read", "closed-end-held", "at-heat"}

func (c *chart) near(middle, spread int) Num {
	return Num(strconv.Itoa(middle - spread + c.r.IntN(2*spread+1)))
}

// mild is an item of the score: 0 or 1.
func (c *chart) mild() Num { return Num(strconv.Itoa(c.r.IntN(2))) }

// tenths is a number of tenths as a decimal with one place.
func tenths(n int) Num { return Num(strconv.Itoa(n/10) + "." + strconv.Itoa(n%10)) }

func whole(n Num) int {
	i, err := n.Int64()
	if err != nil {
		panic("ward: the scenario sets a pressure that is no whole number: " + string(n))
	}
	return int(i)
}
