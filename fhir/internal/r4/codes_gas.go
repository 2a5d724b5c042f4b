package r4

// A blood gas: one code of our own for each value, and LOINC's for the sample that it
// was read in. Numbers and names: MII, the 300 most frequent laboratory values of the
// German medical informatics initiative (2019), for all but the carbon dioxide; that
// of arterial and capillary blood: the blood gas value set of the GECCO data set of
// HL7 Germany; 2021-4: the LOINC names of a public catalogue of laboratory codes.
// Panels: 24336-0 and 24337-8: GECCO's blood gas panel; 24339-4: a public concept map
// of laboratory tests, in Uzbek. Sample: HL7 table 0487, read in the HL7 terminology
// repository; none for capillary blood stands beside the two. Whether the Global
// Patient Set holds SNOMED CT's codes of specimens was not read: none is sent.
var (
	BloodGas      = own("blood-gas", "Blood gas", "A blood gas as it was read: its value is the sample, its members are what was read.")
	GasSample     = own("gas-sample", "Sample", "Blood that a gas was read in.")
	GasPH         = own("gas-ph", "pH", "pH of the blood.")
	GasPCO2       = own("gas-pco2", "pCO2", "Partial pressure of carbon dioxide in the blood; kPa or mmHg, as it was read.")
	GasBaseExcess = own("gas-base-excess", "Base excess", "Base excess of the blood; mmol/L.")
	GasBicarb     = own("gas-bicarbonate", "Bicarbonate", "Bicarbonate in the blood; mmol/L.")
	GasLactate    = own("gas-lactate", "Lactate", "Lactate in the blood; mmol/L.")

	Samples = words("gas-sample", "Sample", "gas", "sample", map[string][]Standard{
		"arterial": {{SpecimenSystem, "BLDA", "Blood arterial"}},
		"venous":   {{SpecimenSystem, "BLDV", "Blood venous"}},
	})
)

// InSample is what LOINC calls a value, or the whole, of a sample: by own code, then
// by the word of the sample.
var InSample = map[string]map[string]Standard{
	BloodGas.Code: {
		"arterial":  loinc("24336-0", "Gas panel - Arterial blood"),
		"capillary": loinc("24337-8", "Gas panel - Capillary blood"),
		"venous":    loinc("24339-4", "Gas panel - Venous blood"),
	},
	GasPH.Code: {
		"arterial":  loinc("2744-1", "pH of Arterial blood"),
		"capillary": loinc("2745-8", "pH of Capillary blood"),
		"venous":    loinc("2746-6", "pH of Venous blood"),
	},
	GasPCO2.Code: {
		"arterial":  loinc("2019-8", "Carbon dioxide [Partial pressure] in Arterial blood"),
		"capillary": loinc("2020-6", "Carbon dioxide [Partial pressure] in Capillary blood"),
		"venous":    loinc("2021-4", "Carbon dioxide [Partial pressure] in Venous blood"),
	},
	GasBaseExcess.Code: {
		"arterial":  loinc("1925-7", "Base excess in Arterial blood by calculation"),
		"capillary": loinc("1926-5", "Base excess in Capillary blood by calculation"),
		"venous":    loinc("1927-3", "Base excess in Venous blood by calculation"),
	},
	GasBicarb.Code: {
		"arterial":  loinc("1960-4", "Bicarbonate [Moles/volume] in Arterial blood"),
		"capillary": loinc("1961-2", "Bicarbonate [Moles/volume] in Capillary blood"),
		"venous":    loinc("14627-4", "Bicarbonate [Moles/volume] in Venous blood"),
	},
	GasLactate.Code: {
		"arterial":  loinc("2518-9", "Lactate [Moles/volume] in Arterial blood"),
		"capillary": loinc("19239-3", "Lactate [Moles/volume] in Capillary blood"),
		"venous":    loinc("2519-7", "Lactate [Moles/volume] in Venous blood"),
	},
}

// In is a concept of a blood gas with LOINC's coding for the sample.
func (c Concept) In(sample string) Concept {
	if s, ok := InSample[c.Code][sample]; ok {
		c.Standard = []Standard{s}
	}
	return c
}
