package r4

import (
	"cotline/handover/entry"
	"strings"
)

// Vocabulary is a field's words as codes of the own code system: group-word.
type Vocabulary map[string]Concept

// ValueSet is a vocabulary in the order of the table of kinds.
type ValueSet struct {
	Group, Title string
	Concepts     []Concept
}

// ValueSets are all vocabularies, in the order in which they are declared.
var ValueSets []ValueSet

// words makes the codes of a field's words from the table of kinds, so that a
// word cannot be charted that has no code. Path names the field.
func words(group, title, kind, path string, further map[string][]Standard) Vocabulary {
	k, _ := entry.KindOf(kind)
	specs := k.Fields
	var list []string
	for _, name := range strings.Split(path, ".") {
		for i := range specs {
			if specs[i].Name == name {
				list, specs = specs[i].Words, specs[i].Of
				break
			}
		}
	}
	v, set := Vocabulary{}, ValueSet{Group: group, Title: title}
	for _, w := range list {
		said := strings.ReplaceAll(w, "-", " ")
		c := own(group+"-"+w, title+": "+said, title+" is charted as: "+said+".", further[w]...)
		c.Text = said
		v[w] = c
		set.Concepts = append(set.Concepts, c)
	}
	ValueSets = append(ValueSets, set)
	return v
}

// careOf is what is said of a care. One of the unit's own list has a code in the unit's
// lists.
func careOf(word string) Concept {
	if c, ok := Cares[word]; ok {
		return c
	}
	c := CareOfUnit
	c.Text = strings.ReplaceAll(word, "-", " ")
	return c
}

// The words. SNOMED CT beside a skin site is that of the skin there, or of the nose
// where the set has no finer one: of a naris that of the ala of the nose, with the nose
// after it as the coarser one. The set has no naris, and no side but of the ears: the
// side stands in the own code, and in a component.
var (
	ProbeSites     = words("spo2-site", "SpO2 probe", "observations", "spo2Site", nil)
	SupportStates  = words("support", "Support", "support", "state", nil)
	SupportModes   = words("mode", "Mode", "support", "mode", nil)
	SupportReasons = words("stop-reason", "Reason for stopping", "support", "reason", nil)
	Signs          = words("sign", "Sign", "episode", "signs", nil)
	Durings        = words("during", "During", "episode", "during", nil)
	Recoveries     = words("recovered", "Recovered", "episode", "recovered", nil)
	Interfaces     = words("interface", "Interface", "interface", "type", nil)
	Reasons        = words("reason", "Reason", "interface", "reason", nil)
	Arounds        = words("around", "Around the infant", "setup", "around", nil)
	Humidifiers    = words("humidifier", "Humidifier", "humidifier", "state", nil)
	Waters         = words("water", "Water", "humidifier", "water", nil)
	Circuits       = words("circuit", "Breathing circuit", "circuit", "action", nil)
	Abouts         = words("alarm", "Alarm", "alarm", "about", nil)
	Sites          = words("site", "Skin site", "skin", "sites.site", map[string][]Standard{
		"septum":      {snomed("113179006")},
		"columella":   {snomed("113179006")},
		"naris-left":  {snomed("68598004"), snomed("113179006")},
		"naris-right": {snomed("68598004"), snomed("113179006")},
		"bridge":      {snomed("113179006")},
		"philtrum":    {snomed("84365009")},
		"cheek-left":  {snomed("36141000")},
		"cheek-right": {snomed("36141000")},
		"forehead":    {snomed("68698007")},
		"ear-left":    {snomed("89644007")},
		"ear-right":   {snomed("25577004")},
		"occiput":     {snomed("700032006")},
	})
	Findings   = words("finding", "Finding", "skin", "sites.finding", nil)
	Alsos      = words("also", "Also", "skin", "sites.also", nil)
	Tubes      = words("tube", "Gastric tube", "tube", "action", nil)
	Uses       = words("tube-use", "Use", "tube", "use", nil)
	Routes     = words("tube-route", "Route", "tube", "route", nil)
	Aspirates  = words("aspirate", "Aspirate", "tube", "aspirate", nil)
	Causes     = words("unreliable", "Unreliable", "head", "unreliable", nil)
	Bonnets    = words("bonnet", "Bonnet", "bonnet", "action", nil)
	Cares      = words("care", "Care", "care", "what", nil)
	Sides      = words("side", "Side", "care", "side", nil)
	CareStates = words("care-state", "State", "care", "state", nil)
	Amounts    = words("amount", "Amount", "care", "amount", nil)
	Fits       = words("fit", "Fit", "interface", "fit", nil)
	Severities = words("outlook", "Outlook", "outlook", "severity", nil)
	Dues       = words("due", "Due", "deferral", "what", nil)
	Leavings   = words("discharge", "Discharge", "discharge", "to", nil)
	SealHeld   = own("seal-held", "held", "The circuit held pressure.")
	SealLost   = own("seal-not-held", "not held", "The circuit did not hold pressure.")
	Rotations  = map[string]Concept{ // by the type that came on
		"prongs": own("rotation-to-prongs", "mask to prongs", "Rotation from mask to prongs."),
		"mask":   own("rotation-to-mask", "prongs to mask", "Rotation from prongs to mask."),
	}
	Staged = map[string]bool{"stage-1": true, "stage-2": true, "stage-3": true, "stage-4": true, "unstageable": true, "deep": true}
)
