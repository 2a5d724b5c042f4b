package page

import (
	"regexp"
	"strings"
	"testing"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// state sets one fact of an infant charted, not charted or not applicable.
type state struct {
	name    string
	charted func(*handover.Summary)
	gap     func(*handover.Summary)
	not     func(*handover.Summary)
	words   string // of the value, in words
	missing string // of the gap, in words
	key     string // in the JSON
	within  string // object of the key; empty: the infant's own
}

var states = []state{
	{"FiO2 in the window",
		func(s *handover.Summary) {
			s.FiO2 = charted(handover.FiO2Window{MinPercent: dec("23"), MaxPercent: dec("27")})
		},
		func(s *handover.Summary) { s.FiO2 = gap[handover.FiO2Window]() },
		func(s *handover.Summary) { s.FiO2 = handover.Maybe[handover.FiO2Window]{} },
		"FiO2 23 to 27 %", "FiO2 NOT CHARTED", "fio2", ""},
	{"set pressure",
		func(s *handover.Summary) {
			s.Settings = []handover.Setting{{Field: "pressureCmH2O", Fact: numberFact("5.5", from(1, "2026-10-25T03:00:00Z"))}}
		},
		func(s *handover.Summary) { s.Settings = []handover.Setting{{Field: "pressureCmH2O"}} },
		func(s *handover.Summary) { s.Settings = nil },
		"pressure 5.5 cmH2O set 03:00", "NOT CHARTED: pressure", "pressureCmH2O", "settings"},
	{"indices",
		func(s *handover.Summary) {
			s.Indices = charted(handover.Indices{SF: charted(dec("300.00")), SpO2: dec("90"), Source: from(1, "2026-10-25T03:00:00Z")})
		},
		func(s *handover.Summary) { s.Indices = gap[handover.Indices]() },
		func(s *handover.Summary) { s.Indices = handover.Maybe[handover.Indices]{} },
		"S/F 300.00", "indices NOT COMPUTED", "indices", ""},
	{"severity score",
		func(s *handover.Summary) { s.Indices = charted(handover.Indices{Severity: charted(dec("1.50"))}) },
		func(s *handover.Summary) { s.Indices = charted(handover.Indices{Severity: gap[entry.Decimal]()}) },
		func(s *handover.Summary) { s.Indices = charted(handover.Indices{}) },
		"severity score (set CPAP) 1.50", "severity score (set CPAP) NOT COMPUTED", "severity", "indices"},
	{"interface",
		func(s *handover.Summary) {
			s.Interface = charted(handover.Interface{Type: "prongs", Since: clockOf("2026-10-25T03:00:00Z")})
		},
		func(s *handover.Summary) { s.Interface = gap[handover.Interface]() },
		func(s *handover.Summary) { s.Interface = handover.Maybe[handover.Interface]{} },
		"prongs since 03:00", "Interface", "interface", ""},
	{"size of the interface",
		func(s *handover.Summary) {
			s.Interface = charted(handover.Interface{Type: "prongs", Size: charted("rill")})
		},
		func(s *handover.Summary) {
			s.Interface = charted(handover.Interface{Type: "prongs", Size: gap[string]()})
		},
		func(s *handover.Summary) { s.Interface = charted(handover.Interface{Type: "prongs"}) },
		"size rill", "size NOT CHARTED", "size", "interface"},
	{"hours under the interface",
		func(s *handover.Summary) {
			s.HoursUnder = charted([]handover.SiteHours{{Site: "septum", Hours: dec("4.25")}})
		},
		func(s *handover.Summary) { s.HoursUnder = gap[[]handover.SiteHours]() },
		func(s *handover.Summary) { s.HoursUnder = handover.Maybe[[]handover.SiteHours]{} },
		"4.25 septum", "hours under the interface NOT CHARTED", "hoursUnder", ""},
	{"gastric tube",
		func(s *handover.Summary) { s.Tubes = charted([]handover.Tube{}) },
		func(s *handover.Summary) { s.Tubes = gap[[]handover.Tube]() },
		func(s *handover.Summary) { s.Tubes = handover.Maybe[[]handover.Tube]{} },
		"no gastric tube in", "NOT CHARTED whether a gastric tube is in", "tubes", ""},
	{"head",
		func(s *handover.Summary) {
			s.Head = charted(handover.Head{CircumferenceCm: dec("27.1"), Score: handover.Score{NoZ: "sex"}})
		},
		func(s *handover.Summary) { s.Head = gap[handover.Head]() },
		func(s *handover.Summary) { s.Head = handover.Maybe[handover.Head]{} },
		"head 27.1 cm", "head NOT CHARTED", "head", ""},
	{"bonnet's size",
		func(s *handover.Summary) { s.Bonnet = charted(handover.Bonnet{Size: charted("bud")}) },
		func(s *handover.Summary) { s.Bonnet = charted(handover.Bonnet{Size: gap[string]()}) },
		func(s *handover.Summary) { s.Bonnet = charted(handover.Bonnet{}) },
		"size bud", "size NOT CHARTED", "size", "bonnet"},
	{"bonnet's fit",
		func(s *handover.Summary) { s.Bonnet = charted(handover.Bonnet{Fits: charted(true)}) },
		func(s *handover.Summary) { s.Bonnet = charted(handover.Bonnet{Fits: gap[bool]()}) },
		func(s *handover.Summary) { s.Bonnet = charted(handover.Bonnet{}) },
		"within its range", "whether in range NOT CHARTED", "fits", "bonnet"},
	{"humidifier's state",
		func(s *handover.Summary) { s.Humidifier = charted(handover.Humidifier{State: charted("warming")}) },
		func(s *handover.Summary) { s.Humidifier = charted(handover.Humidifier{State: gap[string]()}) },
		func(s *handover.Summary) { s.Humidifier = charted(handover.Humidifier{}) },
		"warming", "chamber temperature NOT CHARTED", "state", "humidifier"},
	{"ready before use",
		func(s *handover.Summary) {
			s.Humidifier = charted(handover.Humidifier{ReadyBeforeUse: charted(false)})
		},
		func(s *handover.Summary) {
			s.Humidifier = charted(handover.Humidifier{ReadyBeforeUse: gap[bool]()})
		},
		func(s *handover.Summary) { s.Humidifier = charted(handover.Humidifier{}) },
		"NOT READY before use", "ready before use: NOT CHARTED", "readyBeforeUse", "humidifier"},
	{"when the water runs out",
		func(s *handover.Summary) {
			s.Humidifier = charted(handover.Humidifier{WaterEmptyAt: charted(clockOf("2026-10-25T09:30:00Z"))})
		},
		func(s *handover.Summary) {
			s.Humidifier = charted(handover.Humidifier{WaterEmptyAt: gap[time.Time]()})
		},
		func(s *handover.Summary) { s.Humidifier = charted(handover.Humidifier{}) },
		"water runs out about 09:30", "when the water runs out: NOT CHARTED", "waterEmptyAt", "humidifier"},
	{"oxygen sensor",
		func(s *handover.Summary) { s.Setup = charted(handover.Setup{Calibrated: charted(true)}) },
		func(s *handover.Summary) { s.Setup = charted(handover.Setup{Calibrated: gap[bool]()}) },
		func(s *handover.Summary) { s.Setup = charted(handover.Setup{}) },
		"oxygen sensor passed", "oxygen sensor check NOT CHARTED", "calibrated", "setup"},
	{"seal",
		func(s *handover.Summary) { s.Setup = charted(handover.Setup{SealHeld: charted(false)}) },
		func(s *handover.Summary) { s.Setup = charted(handover.Setup{SealHeld: gap[bool]()}) },
		func(s *handover.Summary) { s.Setup = charted(handover.Setup{}) },
		"seal DID NOT HOLD", "seal check NOT CHARTED", "sealHeld", "setup"},
	{"circuit",
		func(s *handover.Summary) { s.Setup = charted(handover.Setup{CircuitDueOn: charted(day("2026-10-27"))}) },
		func(s *handover.Summary) { s.Setup = charted(handover.Setup{CircuitDueOn: gap[entry.Date]()}) },
		func(s *handover.Summary) { s.Setup = charted(handover.Setup{}) },
		"circuit due Tue 27 Oct", "circuit fitted: NOT CHARTED", "circuitDueOn", "setup"},
	{"tube's size",
		func(s *handover.Summary) {
			s.Tubes = charted([]handover.Tube{{Use: "feeding", SizeFr: charted(dec("6"))}})
		},
		func(s *handover.Summary) {
			s.Tubes = charted([]handover.Tube{{Use: "feeding", SizeFr: gap[entry.Decimal]()}})
		},
		func(s *handover.Summary) { s.Tubes = charted([]handover.Tube{{Use: "feeding"}}) },
		"6 Fr", "size NOT CHARTED", "sizeFr", "tubes"},
}

// Charted, not charted and not applicable differ on each face, for each fact
// that has the three states.
func TestThreeStates(t *testing.T) {
	for _, c := range states {
		t.Run(c.name, func(t *testing.T) {
			is, missing, not := c.faces(t, c.charted), c.faces(t, c.gap), c.faces(t, c.not)
			for _, face := range []string{"txt", "html"} {
				for _, x := range []struct {
					state           string
					page            string
					value, notGiven bool
				}{{"charted", is[face], true, false}, {"not charted", missing[face], false, true},
					{"not applicable", not[face], false, false}} {
					page := strings.Join(strings.Fields(strings.NewReplacer("<bdi>", "", "</bdi>", "").Replace(x.page)), " ")
					if got := strings.Contains(page, c.words); got != x.value {
						t.Errorf("%s, %s: %q is %v", face, x.state, c.words, got)
					}
					if got := strings.Contains(page, c.missing) && saysNot.MatchString(page); got != x.notGiven {
						t.Errorf("%s, %s: %q is %v", face, x.state, c.missing, got)
					}
				}
			}
			if v, ok := c.json(t, is["json"]); !ok || v.scalar == "null" {
				t.Error("json, charted: no value")
			}
			if v, ok := c.json(t, missing["json"]); !ok || v.scalar != "null" {
				t.Error("json, not charted: not null")
			}
			if _, ok := c.json(t, not["json"]); ok {
				t.Error("json, not applicable: a key")
			}
		})
	}
}

// faces shows an infant of whom nothing but one fact is known.
func (c *state) faces(t *testing.T, set func(*handover.Summary)) map[string]string {
	s := &handover.Summary{Infant: "inf-1", Cot: "K1", MRN: "1", Since: clockOf("2026-10-24T20:00:00+01:00"),
		Support: handover.Support{State: "never"},
		Skin: handover.Skin{Checked: &handover.Source{}, Worst: &handover.SkinSite{},
			Sites: []handover.SkinSite{{Site: "septum", Finding: "intact", Source: from(1, "2026-10-25T05:00:00Z")}}}}
	set(s)
	h := &handover.Handover{Unit: "Unit", Zone: zoneOf("Europe/Dublin"), At: clockOf("2026-10-25T07:30:00Z"),
		Known: clockOf("2026-10-25T07:30:00Z"), Infants: []*handover.Summary{s}}
	return faces(t, h)
}

func (c *state) json(t *testing.T, text string) (keyed, bool) {
	v := parse(t, []byte(text)).fields["infants"].items[0]
	if c.within != "" {
		in, ok := v.fields[c.within]
		if !ok {
			return keyed{}, false
		}
		v = in
		if v.kind == '[' {
			v = v.items[0]
		}
	}
	field, ok := v.fields[c.key]
	return field, ok
}

// No episode is not an absence of charting, and is said in words.
func TestNoEpisodeIsSaid(t *testing.T) {
	c := &state{}
	for face, page := range c.faces(t, func(*handover.Summary) {}) {
		if face != "json" && !strings.Contains(page, "none charted") && !strings.Contains(page, "no episode charted") {
			t.Errorf("%s does not say that no episode was charted", face)
		}
	}
}

// An observation that is overdue is never shown as current.
func TestOverdueObservationsAreLastRecorded(t *testing.T) {
	c := &state{}
	for face, page := range c.faces(t, func(s *handover.Summary) {
		s.Observations = []handover.Observed{{Field: "spo2Percent", Value: "93", Source: from(2, "2026-10-24T23:10:00+01:00")}}
		s.Due = []handover.Due{{What: "observations", State: "overdue", At: clockOf("2026-10-25T00:10:00Z"),
			OverdueAt: clockOf("2026-10-25T01:10:00Z")}}
	}) {
		want := map[string]string{"txt": "LAST RECORDED SpO2 93 %, 24 Oct 23:10, 9 h 20 min ago",
			"html": "LAST RECORDED SpO2 93 %, 24 Oct 23:10</strong>", "json": "overdue"}[face]
		if !strings.Contains(page, want) { // the short form says by the moment how old it is
			t.Errorf("%s does not say %q", face, want)
		}
	}
}

// An infant who was not asked for is not told of, but a look-alike is named whole.
func TestLookAlikeElsewhereIsNamed(t *testing.T) {
	h := twoInfants()
	h.Infants, h.Elsewhere = h.Infants[:1], h.Infants[1:]
	var b strings.Builder
	if err := Text(&b, h, Options{Full: true}); err != nil {
		t.Fatal(err)
	}
	if text := b.String(); !strings.Contains(text, "LOOK-ALIKE (number): cot K2: name not shown, number 0071243") ||
		strings.Contains(text, "\nCOT K2") {
		t.Errorf("the look-alike is not named, or told of:\n%.1200s", text)
	}
}

// saysNot is how a face says that there is no value: nobody charted it, or it cannot be
// computed.
var saysNot = regexp.MustCompile(`NOT (CHARTED|COMPUTED)`)
