package ward

import (
	"fmt"
	"strconv"
	"time"
)

// visit charts one thing, of any kind that a visit to the cot may bring.
func (l *life) visit(t time.Time) {
	switch x := l.r.IntN(100); {
	case x < 38:
		l.amended(t, l.observations)
	case x < 48:
		l.amended(t, l.settings)
	case x < 58:
		l.amended(t, l.skin)
	case x < 66:
		l.gastric(t)
	case x < 72:
		l.amended(t, l.humid)
	case x < 82:
		l.amended(t, l.care)
	case x < 86:
		l.amended(t, l.episode)
	case x < 88:
		l.amended(t, l.head)
	case x < 90:
		l.amended(t, l.weight)
	case x < 92:
		l.amended(t, l.bonnet)
	case x < 93:
		l.chart(t, circuit{pick(l.r, "fitted", "fitted", "soiled", "faulty", "drained")})
		l.chart(t, l.gas())
	case x < 94:
		if l.chance(0.5) {
			l.amended(t, l.alarm)
		} else {
			l.amended(t, l.checked)
		}
	case x < 95:
		l.chart(t, l.plan(t))
	case x < 96:
		l.chart(t, l.deferral(t))
	case x < 97:
		l.amended(t, l.outlook)
	case x < 98:
		asked := l.chart(
			t,
			task{Text: pick(l.r, "blood before the round", "ask for the eye examination"), DueAt: stamp(l.within(t, 30, 600))},
		)
		if l.chance(0.7) {
			l.chart(l.within(t, 30, 300), taskDone{asked.id})
		}
	case x < 99:
		l.amended(t, func() fields {
			return note{Text: pick(l.r, "Settled.", "Loud nose, cleared.", "Parents were here."), ReadOut: l.chance(0.3)}
		})
	default:
		l.rarely(t)
	}
}

func (l *life) rarely(t time.Time) {
	switch l.r.IntN(7) {
	case 4:
		l.amended(t, l.bloodGas)
	case 5:
		l.amended(t, l.limits)
	case 6:
		l.chart(t, told{Whom: pick(l.r, "prescriber on call", "the mother"), About: "more oxygen since noon",
			Answer: pick(l.r, "", "gas in an hour")})
	case 0:
		l.chart(t, move{l.cot()})
	case 1:
		l.chart(t, identity{Given: pick(l.r, given...)})
	case 2:
		l.chart(t, setup{Steps: []step{{pick(l.r, stepNames...), l.chance(0.8)}}})
	default:
		l.chart(t, seal{Held: l.chance(0.8), Pressure: "5"})
	}
}

func (l *life) settings() fields {
	s := settings{FiO2: l.one("21", "21", "23", "25", "28", "30", "35", "40.5", "55")}
	if l.chance(0.4) {
		s.Pressure, s.Flow = l.one("5", "5.5", "6", "7", "8"), l.one("6", "7.5", "8", "9", "10")
	}
	if l.mode == "bilevel" || l.mode == "ventilation" {
		s.Upper, s.Rate, s.Inspiratory = "10", l.one("20", "30", "40"), l.one("0.4", "0.50")
	}
	if l.chance(0.4) {
		s.SpO2Low, s.SpO2High = l.one("88", "90", "91"), l.one("94", "95")
	}
	if l.chance(0.05) {
		s.SpO2High = ""
	}
	return s
}

func (l *life) observations() fields {
	o := observations{HeartRate: l.between(95, 195), RespRate: l.between(28, 80)}
	if l.chance(0.9) {
		o.SpO2, o.SpO2Site = l.between(84, 100), pick(l.r, "right-hand", "other-hand", "foot")
	}
	if l.chance(0.4) {
		o.Axillary, o.Pressure, o.FiO2 = tenths(358+l.r.IntN(20)), tenths(45+l.r.IntN(40)), l.between(21, 45)
	}
	if l.chance(0.1) {
		o.Airway, o.Incubator, o.Abdomen = tenths(355+l.r.IntN(30)), tenths(310+l.r.IntN(50)), tenths(200+l.r.IntN(80))
		o.Bubbling = yes(l.chance(0.9))
	}
	if l.chance(0.2) {
		o.Silverman = &silverman{l.between(0, 2), l.between(0, 2), l.between(0, 2), l.between(0, 2), l.between(0, 2)}
		if l.chance(0.2) {
			o.Silverman.Grunt = ""
		}
	}
	return o
}

func (l *life) skin() fields {
	sites := pick(l.r, everySite, noseSites, noseSites, flowSites, headSites)
	s := skin{}
	for _, name := range some(l.r, sites...) {
		found := site{Site: name, Finding: "intact"}
		if l.chance(0.12) {
			found.Finding = pick(
				l.r,
				"blanching",
				"blanching",
				"stage-1",
				"stage-2",
				"mucosal",
				"stage-3",
				"stage-4",
				"unstageable",
				"deep",
			)
			found.Also = some(l.r, "dry", "blister", "bleeding", "crust", "swelling", "bruise", "misshapen")
			found.Action = "pressure taken off"
		}
		s.Sites = append(s.Sites, found)
	}
	return s
}

// gastric charts what fits whether a tube is in, and now and then what contradicts it.
func (l *life) gastric(t time.Time) {
	mark := tenths(140 + l.r.IntN(50))
	switch x := l.r.Float64(); {
	case !l.tube && x < 0.8:
		l.tube = true
		l.chart(
			t,
			tube{
				Action: pick(l.r, "placed", "placed", "found"),
				Route:  pick(l.r, "oral", "nasal"),
				SizeFr: l.one("5", "6", "8"),
				MarkCm: mark,
				PH:     "4.5",
			},
		)
	case !l.tube && x < 0.9:
		l.chart(t, tube{Action: "none"})
	case x < 0.05:
		l.tube = false
		l.chart(t, tube{Action: "removed"})
		if l.chance(0.3) { // a new one at the same moment
			l.tube = true
			l.chart(t, tube{Action: "placed", Route: "oral", SizeFr: "6", MarkCm: mark})
		}
	case x < 0.1:
		l.chart(t, tube{Action: "repositioned", MarkCm: mark})
	case x < 0.13:
		l.chart(t, tube{Action: "placed", Use: "venting", Route: "oral", SizeFr: "8", MarkCm: mark})
	default:
		l.amended(t, func() fields {
			return tube{
				Action: "checked", MarkCm: tenths(140 + l.r.IntN(50)), PH: tenths(5 * (7 + l.r.IntN(6))),
				Aspirate: pick(l.r, "got", "none"),
				Amount:   l.one("", "", "0.5", "2"), Look: pick(l.r, "", "", "milky", "green"),
			}
		})
	}
}

func (l *life) humid() fields {
	h := humidifier{Chamber: l.chamber()}
	switch x := l.r.Float64(); {
	case x < 0.3:
		h.Water, h.WaterMl = "changed", l.one("500", "500", "250")
	case x < 0.4:
		h.Water = "low"
	case x < 0.7:
		h.Water = "ok"
	case x < 0.75:
		h = humidifier{State: pick(l.r, "off", "on", "ready", "warming")}
	}
	return h
}

func (l *life) care() fields {
	c := care{What: pick(l.r, "nasal-suction", "oral-suction", "mouth-care", "mouth-care", "position", "skin-to-skin",
		"barrier", "chin-strap", "parents", "eye-care")}
	switch c.What {
	case "nasal-suction", "oral-suction":
		c.Amount, c.Look = pick(l.r, "none", "little", "moderate", "much"), pick(l.r, "", "clear", "bloody")
	case "position":
		c.Side = pick(l.r, sides...)
	case "skin-to-skin", "chin-strap":
		c.State = pick(l.r, "on", "off")
	case "barrier":
		c.State = pick(l.r, "on", "off", "renewed")
	case "parents":
		c.Text = "asked about the night"
	}
	return c
}

func (l *life) episode() fields {
	return episode{Signs: some(l.r, "apnoea", "bradycardia", "desaturation"), Seconds: l.between(5, 90), LowestSpO2: l.between(45, 84),
		During:    pick(l.r, "feed", "handling", "suction", "rest", "other"),
		Recovered: pick(l.r, "by-itself", "by-itself", "touched", "oxygen-raised", "bagged", "not-yet")}
}

const mostHead = 500 // mm, the most that an entry takes: a long stay would come to more

// head grows by some 9 mm a week, as heads of that age do; a tape is out by a few millimetres either way.
func (l *life) head() fields {
	days := max(0, int(l.latest.Sub(l.born)/(24*time.Hour)))
	h := head{Circumference: tenths(min(l.weeks*9+8+days*9/7+l.r.IntN(9)-4, mostHead))}
	if l.chance(0.1) {
		h.Unreliable = pick(l.r, "swelling", "moulding", "ventricles", "other")
	}
	return h
}

func (l *life) weight() fields {
	days := max(0, int(l.latest.Sub(l.born)/(24*time.Hour)))
	return weight{Num(strconv.Itoa(l.grams + days*15 + l.r.IntN(60) - 30))}
}

func (l *life) bonnet() fields {
	b := bonnet{Action: pick(l.r, "fitted", "fitted", "fitted", "found", "tight", "slack", "soiled", "removed", "none")}
	if b.Action == "fitted" || b.Action == "found" {
		b.Size = pick(l.r, "seed", "bud", "petal", "bloom", "fruit", "crown")
	}
	return b
}

func (l *life) alarm() fields {
	a := alarm{SettledAt: pick(l.r, "", stamp(l.within(l.latest, 0, 20))),
		About: pick(l.r, "low-pressure", "high-pressure", "oxygen", "power", "other")}
	if a.About == "low-pressure" {
		for _, c := range some(l.r, "lips open", "nose not sealed", "hose apart", "pot lid loose", "water lying in a hose") {
			a.Tried = append(a.Tried, cause{c, l.chance(0.4)})
		}
	}
	return a
}

func (l *life) plan(t time.Time) fields {
	p := plan{What: pick(l.r, "rotation", "skin", "observations", "head", "tube", "circuit", "oxygen-sensor", "humidifier", "safety",
		"care"),
		Every: pick(l.r, "none", "policy", "2h", "4h", "90m"), Until: stamp(l.within(t, 60, 48*60)), Reason: "after the round"}
	switch p.What {
	case "care":
		p.Care = pick(l.r, "mouth-care", "nasal-suction", "position")
	case "head", "circuit", "oxygen-sensor":
		p.Every = pick(l.r, "none", "policy", "3d", "10d")
	}
	return p
}

func (l *life) deferral(t time.Time) fields {
	d := deferral{
		What: pick(l.r, "rotation", "skin", "bonnet", "head", "observations", "tube", "circuit", "oxygen-sensor", "water",
			"humidifier", "safety", "care"),
		Until:  stamp(l.within(t, 30, 240)),
		Reason: "asleep",
	}
	if d.What == "care" {
		d.Care = pick(l.r, "mouth-care", "position")
	}
	return d
}

func (l *life) outlook() fields {
	o := outlook{Severity: pick(l.r, "stable", "stable", "watcher", "unstable")}
	if l.chance(0.5) {
		o.IfThen = []ifThen{{"oxygen above 40", "blood gas and prescriber"}}
		o.CallFor = "any bagging"
	}
	return o
}

func (l *life) worn(reason string) fields {
	n := nasal{Type: l.on, Reason: reason}
	switch l.on {
	case "mask":
		n.Size = pick(l.r, "lentil", "pea", "bean")
	case "prongs":
		n.Size = pick(l.r, "grass", "reed", "willow")
	case "cannula":
		n.Size = pick(l.r, "", "narrow", "wide")
	}
	if l.chance(0.3) {
		n.Fit, n.Clear = pick(l.r, "sealed", "sealed", "leak", "tight", "loose"), yes(l.chance(0.9))
	}
	return n
}

func (l *life) gas() fields {
	return calibration{Points: []gasPoint{{"21", tenths(195 + l.r.IntN(30))}, {"100", tenths(955 + l.r.IntN(50))}}}
}

func (l *life) bloodGas() fields {
	g := bloodGas{Sample: pick(l.r, "arterial", "capillary", "venous"), PH: Num("7." + strconv.Itoa(20+l.r.IntN(25))),
		BaseExcess: l.one("-6.5", "-2", "0", "1.5"), Bicarbonate: l.between(18, 28), Lactate: tenths(5 + l.r.IntN(40))}
	if l.chance(0.5) {
		g.PCO2KPa = tenths(45 + l.r.IntN(40))
	} else {
		g.PCO2MmHg = l.between(34, 64)
	}
	return g
}

func (l *life) limits() fields {
	return limits{SpO2Low: l.between(85, 90), SpO2High: l.between(95, 98), HeartLow: l.between(80, 100), HeartHigh: l.between(190, 220),
		OxygenLow: l.one("", "21"), OxygenHigh: l.between(40, 60), PressureLow: l.one("", "3"), PressureHigh: l.one("", "10")}
}

// checked is the unit's safety check, mostly whole.
func (l *life) checked() fields {
	var s safety
	items := checkNames
	if l.chance(0.2) {
		items = some(l.r, checkNames...)
	}
	for _, item := range items {
		s.Items = append(s.Items, safetyItem{item, l.chance(0.96)})
	}
	return s
}

// checkNames are the policy's (a test compares).
var checkNames = []string{"bag-and-mask", "suction", "oxygen", "name-bands"}

func yes(b bool) *bool { return &b }

func (l *life) steps() []step {
	var out []step
	for _, name := range some(l.r, stepNames...) {
		out = append(out, step{name, l.chance(0.95)})
	}
	return out
}

func (l *life) chamber() Num { return tenths(355 + l.r.IntN(30)) }

// driver is the infant's own, or by mistake that of a neighbour.
func (l *life) driver() string {
	if l.chance(0.02) {
		return fmt.Sprintf("ax-%05d", l.n^1)
	}
	return fmt.Sprintf("ax-%05d", l.n)
}

// cot is one of the cots that only this infant is put in.
func (l *life) cot() string {
	return fmt.Sprintf("Bay %d-%d%s", l.n/inBay+1, l.n%inBay+1, pick(l.r, "", "a", "b"))
}

func (l *life) one(of ...Num) Num { return pick(l.r, of...) }

func (l *life) between(low, high int) Num { return Num(strconv.Itoa(low + l.r.IntN(high-low+1))) }
