package fhir

import (
	"regexp"
	"testing"

	"cotline/handover/entry"
)

func TestOwnCodesAreUnique(t *testing.T) {
	form := regexp.MustCompile(`^[a-z0-9]+(-[a-z0-9]+)*$`)
	seen := map[string]bool{}
	for _, c := range ownConcepts {
		if seen[c.code] {
			t.Errorf("%s stands twice", c.code)
		}
		seen[c.code] = true
		if !form.MatchString(c.code) || c.display == "" || c.text == "" || c.meaning == "" {
			t.Errorf("%+v: a code in lower case, a display, a text and a meaning are wanted", c)
		}
	}
}

// The check digit of LOINC is that of Luhn: it held for all 6,486 codes of the R4
// definitions. 3150-6 is a widespread misprint of 3150-0.
func TestLOINCCheckDigit(t *testing.T) {
	for code, want := range map[string]bool{"3150-0": true, "3150-6": false, "8867-4": true, "2708-6": true, "59408-5": true, "2708-5": false,
		"59408": false, "x-1": false, "-0": false, "59408-": false} {
		if loincSound(code) != want {
			t.Errorf("loincSound(%q) = %t", code, !want)
		}
	}
	for _, c := range append(ownConcepts, spo2, heartRate, respRate, temperature, weight, head, concept{standard: []standard{preductal, postductal}}) {
		for _, s := range c.standard {
			if s.system == loincSystem && !loincSound(s.code) {
				t.Errorf("%s: check digit of %s", c.text, s.code)
			}
		}
	}
}

// Every word that can be charted in a field with a vocabulary has a code.
func TestEveryWordHasACode(t *testing.T) {
	for _, v := range []struct {
		vocabulary
		words []string
	}{{sites, entry.Sites}, {findings, entry.Findings}, {interfaces, entry.InterfaceTypes}, {cares, entry.Cares},
		{signs, entry.Signs}, {recoveries, entry.Recoveries}, {supportModes, entry.Modes}} {
		if len(v.vocabulary) != len(v.words) {
			t.Errorf("%d codes for %v", len(v.vocabulary), v.words)
		}
		for _, w := range v.words {
			if v.vocabulary[w].code == "" {
				t.Errorf("no code for %s", w)
			}
		}
	}
}

// Each was found valid by the UCUM validator of the US National
// Library of Medicine (ucum-lhc 7.1.10).
func TestUnitsAreUCUM(t *testing.T) {
	valid := map[string]bool{"%": true, "/min": true, "cm[H2O]": true, "L/min": true, "mL": true, "Cel": true, "g": true, "cm": true,
		"[Ch]": true, "[pH]": true, "1": true, "wk": true, "d": true, "s": true, "h": true, "cm/wk": true}
	for _, u := range units {
		if !valid[u.ucum] {
			t.Errorf("%s is not known to be UCUM", u.ucum)
		}
	}
}
