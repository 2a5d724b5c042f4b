//go:build outside

package oracle

import (
	"encoding/json"
	"testing"
)

// A fragment is what a validator is told of a code system that is not its own to
// ship: the codes in use and their names, so that it compares displays and finds
// codes that are none. It stays with the tests: sent to a receiver, it would clash
// with the receiver's own.
type fragment struct {
	system string
	names  [][2]string // code and name; no name where no exact one was read
}

// LOINC long common names, copyright Regenstrief Institute, under the LOINC licence
// (loinc.org/license); read elsewhere than the displays of package fhir where a
// second place was found:
//
//   - 8867-4, 59408-5, 59407-7, 59418-4: examples of the German ICU module, 2026
//   - 2708-6, 9279-1, 8310-5, 29463-7, 9843-4: vital signs of US Core 8
//   - 8328-7: value set of body temperatures of the German ICU module
//   - 76516-4: examples of US Quality Core and of the German module of rare diseases
//   - 8339-4: a profile of births by HL7 Austria's and others' guides; 57722-1: a
//     birth register's mapping
//   - 20124-4: LOINC names in public mappings of intensive-care data
//   - 91150-3: a public page on the code; 61143-4: a public list of document types
//   - blood gases: value sets of openEHR's blood gas composition (pH, carbon dioxide,
//     24336-0, 24337-8), public mappings of intensive-care data to LOINC (base excess,
//     bicarbonate, lactate), a US guide's example (2744-1, 2019-8); 24339-4: none
//   - 8280-0: a registry's list of vital signs
//   - 46264-8, 29545-1: sections of CDA and patient-summary documents
//   - 76272-4, 3150-0: no second place was found
//
// SNOMED CT codes: the Global Patient Set, CC BY 4.0, SNOMED International; they are
// sent without a display.
var fragments = []fragment{
	{"http://loinc.org", [][2]string{
		{"2708-6", "Oxygen saturation in Arterial blood"},
		{"59408-5", "Oxygen saturation in Arterial blood by Pulse oximetry"},
		{"59407-7", "Oxygen saturation in Blood Preductal by Pulse oximetry"},
		{"59418-4", "Oxygen saturation in Blood Postductal by Pulse oximetry"},
		{"8867-4", "Heart rate"},
		{"9279-1", "Respiratory rate"},
		{"8310-5", "Body temperature"},
		{"8328-7", "Axillary temperature"},
		{"29463-7", "Body weight"},
		{"9843-4", "Head Occipital-frontal circumference"},
		{"8339-4", "Birth weight Measured"},
		{"57722-1", "Birth plurality of Pregnancy"},
		{"76516-4", "Gestational age--at birth"},
		{"76272-4", "Bias flow setting Ventilator"},
		{"3150-0", "Inhaled oxygen concentration"},
		{"20124-4", "Ventilation mode Ventilator"},
		{"91150-3", "Pressure injury stage NPUAP"},
		{"24336-0", "Gas panel - Arterial blood"},
		{"24337-8", "Gas panel - Capillary blood"},
		{"24339-4", "Gas panel - Venous blood"},
		{"2744-1", "pH of Arterial blood"},
		{"2745-8", "pH of Capillary blood"},
		{"2746-6", "pH of Venous blood"},
		{"2019-8", "Carbon dioxide [Partial pressure] in Arterial blood"},
		{"2020-6", "Carbon dioxide [Partial pressure] in Capillary blood"},
		{"2021-4", "Carbon dioxide [Partial pressure] in Venous blood"},
		{"1925-7", "Base excess in Arterial blood by calculation"},
		{"1926-5", "Base excess in Capillary blood by calculation"},
		{"1927-3", "Base excess in Venous blood by calculation"},
		{"1960-4", "Bicarbonate [Moles/volume] in Arterial blood"},
		{"1961-2", "Bicarbonate [Moles/volume] in Capillary blood"},
		{"14627-4", "Bicarbonate [Moles/volume] in Venous blood"},
		{"2518-9", "Lactate [Moles/volume] in Arterial blood"},
		{"19239-3", "Lactate [Moles/volume] in Capillary blood"},
		{"2519-7", "Lactate [Moles/volume] in Venous blood"},
		{"8280-0", "Waist Circumference at umbilicus by Tape measure"},
		{"61143-4", "Nurse Summary note"},
		{"46264-8", "History of medical device use"},
		{"29545-1", "Physical findings Narrative"},
		{"18776-5", ""},
		{"8716-3", ""},
		{"19994-3", ""},
		{"35410-0", ""},
	}},
	{"http://snomed.info/sct", [][2]string{
		{"113179006", ""}, {"84365009", ""}, {"36141000", ""}, {"68698007", ""}, {"89644007", ""},
		{"25577004", ""}, {"700032006", ""}, {"25062003", ""}, {"68598004", ""}, {"7771000", ""}, {"24028007", ""},
	}},
}

// codeSystem is the fragment as a resource.
func (f fragment) codeSystem(t testing.TB) []byte {
	t.Helper()
	type concept struct {
		Code    string `json:"code"`
		Display string `json:"display,omitempty"`
	}
	r := struct {
		ResourceType string    `json:"resourceType"`
		URL          string    `json:"url"`
		Status       string    `json:"status"`
		Content      string    `json:"content"`
		Concept      []concept `json:"concept"`
	}{"CodeSystem", f.system, "active", "fragment", nil}
	for _, n := range f.names {
		r.Concept = append(r.Concept, concept{n[0], n[1]})
	}
	b, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	return b
}
