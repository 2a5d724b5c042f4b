package fhir

import (
	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
)

const conceptMapID = "neonatal-cpap-to-standard"

// notSame are the codings of codes.go that go along with an own code and yet do not
// mean quite the same, by own code. All others are equivalent.
var notSame = map[string]near{
	flowSet.code:           {how: r4.ConceptMapEquivalenceRelatedto, why: "the flow of a CPAP driver, not a bias flow of a ventilator"},
	fio2Set.code:           {how: r4.ConceptMapEquivalenceRelatedto, why: "set on whatever drives the support, not only on a ventilator"},
	supportMode.code:       {how: r4.ConceptMapEquivalenceRelatedto, why: "mode of non-invasive support, whatever drives it"},
	pressureRead.code:      {how: r4.ConceptMapEquivalenceRelatedto, why: "only the component of the code was read, not its other axes"},
	sectionDue.code:        {how: r4.ConceptMapEquivalenceRelatedto, why: "dues, plans and tasks of nursing only"},
	sectionSigns.code:      {how: r4.ConceptMapEquivalenceRelatedto, why: "scores and episodes stand there too"},
	sectionDevices.code:    {how: r4.ConceptMapEquivalenceRelatedto, why: "checks and alarms stand there too"},
	sectionSkin.code:       {how: r4.ConceptMapEquivalenceRelatedto, why: "skin only"},
	gastricTubeDevice.code: {how: r4.ConceptMapEquivalenceRelatedto, why: "may also serve venting"},
	siteNose.code:          {how: r4.ConceptMapEquivalenceRelatedto, why: "the nose, not only its skin"},

	sites["septum"].code:      {how: r4.ConceptMapEquivalenceWider, why: "the nose as a whole"},
	sites["columella"].code:   {how: r4.ConceptMapEquivalenceWider, why: "the nose as a whole"},
	sites["naris-left"].code:  {how: r4.ConceptMapEquivalenceWider, why: "the nose as a whole"},
	sites["naris-right"].code: {how: r4.ConceptMapEquivalenceWider, why: "the nose as a whole"},
	sites["bridge"].code:      {how: r4.ConceptMapEquivalenceWider, why: "the nose as a whole"},
	sites["cheek-left"].code:  {how: r4.ConceptMapEquivalenceWider, why: "without the side"},
	sites["cheek-right"].code: {how: r4.ConceptMapEquivalenceWider, why: "without the side"},
	sites["ear-left"].code:    {how: r4.ConceptMapEquivalenceWider, why: "the ear, not only its skin"},
	sites["ear-right"].code:   {how: r4.ConceptMapEquivalenceWider, why: "the ear, not only its skin"},
	sites["occiput"].code:     {how: r4.ConceptMapEquivalenceWider, why: "all layers of the scalp there"},
}

// conceptMap maps own codes to LOINC and to SNOMED CT's Global Patient Set: what
// goes along with them in an export, and what is only near.
func conceptMap(p *handover.Policy) *Resource {
	system := p.FHIR.Base + ownSystemPath
	m := &r4.ConceptMap{
		Url: ptr(p.FHIR.Base + "/ConceptMap/" + conceptMapID), Version: ptr(ownSystemVersion), Name: ptr(ownSystemName + "ToStandard"), Title: ptr(ownSystemTitle + ": to published codes"),
		Experimental: &p.FHIR.Test, Date: ptr(packageDate), Publisher: &p.Unit, Copyright: ptr(copyrights),
		Description: ptr("Own codes and the published ones that say the same, or nearly: equivalence and comment say which. A code that is not here has none that was found."),
	}
	for _, to := range []string{loincSystem, snomedSystem} {
		g := r4.ConceptMapGroup{Source: &system, SourceVersion: ptr(ownSystemVersion), Target: &to}
		for _, c := range ownConcepts {
			e := r4.ConceptMapGroupElement{Code: &c.code, Display: &c.display}
			for _, n := range nearTo(c) {
				if n.system == to {
					e.Target = append(e.Target, r4.ConceptMapGroupElementTarget{Code: &n.code, Display: some(n.display), Equivalence: n.how, Comment: some(n.why)})
				}
			}
			if e.Target != nil {
				g.Element = append(g.Element, e)
			}
		}
		m.Group = append(m.Group, g)
	}
	return definition(conceptMapID, m)
}

func nearTo(c concept) []near {
	var out []near
	for _, s := range c.standard {
		n, told := notSame[c.code]
		if !told {
			n.how = r4.ConceptMapEquivalenceEquivalent
		}
		n.standard = s
		out = append(out, n)
	}
	return append(out, nearby[c.code]...)
}
