package fhir

import (
	"strings"

	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
)

const (
	baseProfiles = "http://hl7.org/fhir/StructureDefinition/" // of R4
	profilePath  = "/StructureDefinition/"                    // after fhir.base
	chartedID    = "charted-observation"
)

// profile is what a kind of resource is sure to say, beyond what R4 asks. Vital
// signs have R4's own profiles besides.
type profile struct {
	id, title, says string
	kind            string // resource type
	base            string // id of another profile of ours; empty: the type itself
	code            string // of the Observations that it is of; empty: any
	codes           string // group of profileSets, in place of one code
	rules           []rule
}

// rule constrains an element: how often it stands there, and what it says.
type rule struct {
	path   string // below the type
	min    int
	max    string
	types  string // of a choice, by space
	target string // of a reference, in R4
	coding *standard
	own    string // own code that the concept holds
	set    string // own value set that it is bound to
	unit   *unit  // of a Quantity; an empty UCUM code: any UCUM unit
}

// profileSets are the value sets that the profiles name, besides the vocabularies.
var profileSets = []valueSet{
	{"set-values", "what is set or prescribed", []concept{pressureSet, upperSet, rateSet, inspiratorySet, fio2Set, flowSet, targetLow, targetHigh}},
	{"indices", "what is computed at a reading of SpO2", []concept{ratioSF, severity, osi}},
	{"devices", "devices", []concept{interfaces["mask"], interfaces["prongs"], interfaces["cannula"], gastricTubeDevice, bonnetDevice, circuitDevice, driverDevice, softwareDevice}},
	{"rotations", "rotation", []concept{rotations["prongs"], rotations["mask"]}},
}

var profiles = []profile{
	{id: "infant", title: "Infant", kind: "Patient",
		says: "An infant as far as the record knows it: for a receiver that holds no Patient of that hospital number. No address, telephone or contact is sent.",
		rules: []rule{{path: "identifier", min: 1, max: "*"}, {path: "identifier.use", min: 1, max: "1"}, {path: "identifier.system", min: 1, max: "1"}, {path: "identifier.value", min: 1, max: "1"},
			{path: "telecom", max: "0"}, {path: "deceased[x]", max: "0"}, {path: "address", max: "0"}, {path: "contact", max: "0"}}},
	{id: "device", title: "Device", kind: "Device",
		says:  "Interface or bonnet by type and size, one placement of a tube, one fitting of a circuit, or a driver by its asset tag; a driver has no patient.",
		rules: []rule{{path: "identifier", min: 1, max: "1"}, {path: "status", min: 1, max: "1"}, {path: "type", min: 1, max: "1", set: "devices"}}},
	{id: "device-use", title: "Wear period", kind: "DeviceUseStatement",
		says: "One period in which a device was in use; active and without an end while it lasts.",
		rules: []rule{{path: "identifier", min: 1, max: "1"}, {path: "subject", min: 1, max: "1", target: "Patient"}, {path: "timing[x]", min: 1, max: "1", types: "Period"},
			{path: "recordedOn", min: 1, max: "1"}, {path: "source", min: 1, max: "1", target: "Practitioner"}}},
	{id: chartedID, title: "Charted fact", kind: "Observation",
		says: "What one entry says under one role, or what is computed from it. Issued is when the version that stands was charted. A corrected fact keeps its identifier and says corrected; one that was withdrawn says entered-in-error.",
		rules: []rule{{path: "identifier", min: 1, max: "1"}, {path: "category", min: 1, max: "1"}, {path: "subject", min: 1, max: "1", target: "Patient"},
			{path: "effective[x]", min: 1, max: "1", types: "dateTime Period"}, {path: "issued", min: 1, max: "1"}, {path: "performer", min: 1, max: "1", target: "Practitioner"},
			{path: "interpretation", max: "0"}, {path: "referenceRange", max: "0"}}},
	{id: "set-value", title: "Set value", kind: "Observation", base: chartedID, codes: "set-values",
		says: "What is set on the driver or prescribed: never a vital sign, never what was read.",
		rules: []rule{{path: "category", min: 1, max: "1", coding: &therapy.standard[0]}, {path: "value[x]", min: 1, max: "1", types: "Quantity", unit: &unit{}},
			{path: "dataAbsentReason", max: "0"}, {path: "component", max: "0"}}},
	{id: "index", title: "Index", kind: "Observation", base: chartedID, codes: "indices",
		says: "A figure computed at a reading of SpO2 from what was set then; where CPAP pressure stands in for mean airway pressure, the method says so.",
		rules: []rule{{path: "category", min: 1, max: "1", coding: &therapy.standard[0]}, {path: "value[x]", min: 1, max: "1", types: "Quantity", unit: &index},
			{path: "derivedFrom", min: 2, max: "3", target: "Observation"}, {path: "component", max: "0"}}},
	{id: "score", title: "Silverman-Andersen score", kind: "Observation", base: chartedID, code: silverman.code,
		says: "Five items and, only when all five were charted, their sum.",
		rules: []rule{{path: "category", min: 1, max: "1", coding: &survey.standard[0]}, {path: "value[x]", max: "1", types: "Quantity", unit: &score},
			{path: "component", min: 5, max: "5"}}},
	{id: "skin-check", title: "Skin check", kind: "Observation", base: chartedID, code: skinRound.code,
		says: "One round: its members are the sites that were seen; a site that is none was not seen.",
		rules: []rule{{path: "category", min: 1, max: "1", coding: &exam.standard[0]}, {path: "value[x]", max: "0"}, {path: "hasMember", min: 1, max: "*", target: "Observation"},
			{path: "component", max: "0"}}},
	{id: "skin-site", title: "Skin site", kind: "Observation", base: chartedID, code: skinSite.code,
		says: "The finding at one site; intact is a finding.",
		rules: []rule{{path: "category", min: 1, max: "1", coding: &exam.standard[0]}, {path: "value[x]", min: 1, max: "1", types: "CodeableConcept", set: "finding"},
			{path: "bodySite", min: 1, max: "1", set: "site"}}},
	{id: "rotation", title: "Rotation", kind: "Observation", base: chartedID, code: rotation.code,
		says:  "A change between mask and prongs within a spell of support.",
		rules: []rule{{path: "category", min: 1, max: "1", coding: &therapy.standard[0]}, {path: "value[x]", min: 1, max: "1", types: "CodeableConcept", set: "rotations"}}},
	{id: "tube-mark", title: "Mark of a gastric tube", kind: "Observation", base: chartedID, code: tubeMark.code,
		says:  "The centimetre mark at the lip or nostril.",
		rules: []rule{{path: "category", min: 1, max: "1", coding: &exam.standard[0]}, {path: "value[x]", min: 1, max: "1", types: "Quantity", unit: &cm}, {path: "component", max: "0"}}},
}

// ProfileOf is the canonical address of the profile that a resource of an export
// keeps to; empty where there is none for it.
func ProfileOf(p *handover.Policy, r *Resource) string {
	code := ""
	if o, ok := r.model.body.(*r4.Observation); ok && len(o.Code.Coding) > 0 && of(o.Code.Coding[0].System) == p.FHIR.Base+ownSystemPath {
		code = of(o.Code.Coding[0].Code)
	}
	found := ""
	for _, s := range profiles {
		if s.kind == r.Type && (s.code == "" && s.codes == "" || code != "" && (s.code == code || s.names(code))) {
			found = p.FHIR.Base + profilePath + s.id
		}
	}
	return found
}

// names says whether a code is of the profile's value set.
func (s *profile) names(code string) bool {
	for _, set := range profileSets {
		for _, c := range set.concepts {
			if set.group == s.codes && c.code == code {
				return true
			}
		}
	}
	return false
}

// resource is the profile as a StructureDefinition: the differential alone, in the
// order of the elements of the type.
func (s profile) resource(p *handover.Policy) *Resource {
	base := baseProfiles + s.kind
	if s.base != "" {
		base = p.FHIR.Base + profilePath + s.base
	}
	all := []r4.ElementDefinition{{Id: &s.kind, Path: s.kind, Short: &s.title}}
	for _, r := range s.rules {
		if r.path == "category" {
			all = append(all, r.elements(p, s.kind)...)
			if s.code != "" || s.codes != "" {
				all = append(all, rule{path: "code", min: 1, max: "1", own: s.code, set: s.codes}.elements(p, s.kind)...)
			}
			continue
		}
		all = append(all, r.elements(p, s.kind)...)
	}
	return definition(s.id, &r4.StructureDefinition{
		Url: p.FHIR.Base + profilePath + s.id, Version: ptr(ownSystemVersion), Name: ownSystemName + camel(s.id), Title: &s.title,
		Experimental: &p.FHIR.Test, Date: ptr(packageDate), Publisher: &p.Unit, Description: &s.says, FhirVersion: ptr(r4.FHIRVersion4_0_1),
		Kind: r4.StructureDefinitionKindResource, Type: s.kind, BaseDefinition: &base, Derivation: ptr(r4.TypeDerivationRuleConstraint),
		Differential: &r4.StructureDefinitionDifferential{Element: all},
	})
}

// elements are a rule as elements of the differential. An own value set binds the
// own coding, for a concept may hold a published one and the site's besides.
func (r rule) elements(p *handover.Policy, kind string) []r4.ElementDefinition {
	path := kind + "." + r.path
	e := r4.ElementDefinition{Id: &path, Path: path, Min: ptr(r.min), Max: &r.max}
	for t := range strings.FieldsSeq(r.types) {
		e.Type = append(e.Type, r4.ElementDefinitionType{Code: t})
	}
	if r.target != "" {
		e.Type = []r4.ElementDefinitionType{{Code: "Reference", TargetProfile: []string{baseProfiles + r.target}}}
	}
	switch {
	case r.coding != nil:
		e.PatternCodeableConcept = &r4.CodeableConcept{Coding: []r4.Coding{r.coding.coding()}}
	case r.own != "":
		e.PatternCodeableConcept = &r4.CodeableConcept{Coding: []r4.Coding{standard{p.FHIR.Base + ownSystemPath, r.own, ""}.coding()}}
	case r.set != "":
		coding, slice, system := path+".coding", path+".coding:own", p.FHIR.Base+ownSystemPath
		return []r4.ElementDefinition{e,
			{Id: &coding, Path: coding, Slicing: &r4.ElementDefinitionSlicing{Rules: r4.SlicingRulesOpen,
				Discriminator: []r4.ElementDefinitionSlicingDiscriminator{{Type: r4.DiscriminatorTypeValue, Path: "system"}}}},
			{Id: &slice, Path: coding, SliceName: ptr("own"), Min: ptr(1), Max: ptr("1"),
				Binding: &r4.ElementDefinitionBinding{Strength: r4.BindingStrengthRequired, ValueSet: ptr(p.FHIR.Base + valueSetPath + r.set)}},
			{Id: ptr(slice + ".system"), Path: coding + ".system", Min: ptr(1), Max: ptr("1"), FixedUri: &system}}
	case r.unit != nil:
		e.PatternQuantity = &r4.Quantity{System: ptr(ucumSystem), Code: some(r.unit.ucum)}
	}
	return []r4.ElementDefinition{e}
}
