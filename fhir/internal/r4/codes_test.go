package r4

import (
	"regexp"
	"testing"

	"cotline/handover/entry"
)

func TestOwnCodesAreUnique(t *testing.T) {
	form := regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)
	seen := map[string]bool{}
	for _, c := range OwnConcepts {
		if seen[c.Code] {
			t.Errorf("%s stands twice", c.Code)
		}
		seen[c.Code] = true
		if !form.MatchString(c.Code) || c.Display == "" || c.Text == "" || c.Meaning == "" {
			t.Errorf("%+v: a code in lower case, a display, a text and a meaning are wanted", c)
		}
	}
}

// The check digit of LOINC is that of Luhn: it held for all 6,486 codes of the R4
// definitions. 3150-6 is a widespread misprint of 3150-0.
func TestLOINCCheckDigit(t *testing.T) {
	for code, want := range map[string]bool{"3150-0": true, "3150-6": false, "8867-4": true, "2708-6": true,
		"59408-5": true, "2708-5": false,
		"59408": false, "x-1": false, "-0": false, "59408-": false} {
		if LOINCSound(code) != want {
			t.Errorf("loincSound(%q) = %t", code, !want)
		}
	}
	for _, all := range InSample {
		for _, s := range all {
			if !LOINCSound(s.Code) {
				t.Errorf("%s: check digit of %s", s.Display, s.Code)
			}
		}
	}
	for _, near := range Nearby {
		for _, n := range near {
			if n.System == LOINCSystem && !LOINCSound(n.Code) {
				t.Errorf("%s: check digit of %s", n.Display, n.Code)
			}
		}
	}
	for _, c := range append(OwnConcepts, SpO2, HeartRate, RespRate, Temperature, Weight, Head,
		Concept{Standard: []Standard{Preductal, Postductal}}) {
		for _, s := range c.Standard {
			if s.System == LOINCSystem && !LOINCSound(s.Code) {
				t.Errorf("%s: check digit of %s", c.Text, s.Code)
			}
		}
	}
}

// Every word that can be charted in a field with a vocabulary has a code.
func TestEveryWordHasACode(t *testing.T) {
	for _, v := range []struct {
		Vocabulary
		words []string
	}{{Sites, entry.Sites}, {Findings, entry.Findings}, {Interfaces, entry.InterfaceTypes}, {Cares, entry.Cares},
		{Signs, entry.Signs}, {Recoveries, entry.Recoveries}, {SupportModes, entry.Modes}, {Dues, entry.DueWords}} {
		if len(v.Vocabulary) != len(v.words) {
			t.Errorf("%d codes for %v", len(v.Vocabulary), v.words)
		}
		for _, w := range v.words {
			if v.Vocabulary[w].Code == "" {
				t.Errorf("no code for %s", w)
			}
		}
	}
}

// Each was found valid by the UCUM validator of the US National
// Library of Medicine (ucum-lhc 7.1.10).
func TestUnitsAreUCUM(t *testing.T) {
	valid := map[string]bool{"%": true, "/min": true, "cm[H2O]": true, "L/min": true, "mL": true, "kPa": true, "mm[Hg]": true,
		"mmol/L": true, "Cel": true, "g": true, "cm": true,
		"[Ch]": true, "[pH]": true, "1": true, "wk": true, "d": true, "s": true, "h": true, "cm/wk": true}
	for _, u := range units {
		if !valid[u.UCUM] {
			t.Errorf("%s is not known to be UCUM", u.UCUM)
		}
	}
}
