package guide

import (
	"cotline/fhir/internal/r4"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
)

const conceptMapID = "neonatal-cpap-to-standard"

// notSame are the published codings that go along with an own code although they do not
// mean quite the same, by own code. All others in codes*.go are equivalent.
var notSame = map[string]r4.Near{
	r4.FlowSet.Code: {How: models.ConceptMapEquivalenceRelatedto,
		Why: "the flow of a CPAP driver, not a bias flow of a ventilator"},
	r4.FiO2Set.Code: {How: models.ConceptMapEquivalenceRelatedto,
		Why: "set on whatever drives the support, not only on a ventilator"},
	r4.SupportMode.Code: {How: models.ConceptMapEquivalenceRelatedto, Why: "mode of non-invasive support, whatever drives it"},
	r4.PressureRead.Code: {How: models.ConceptMapEquivalenceRelatedto,
		Why: "only the component of the code was read, not its other axes"},
	r4.SectionDue.Code:        {How: models.ConceptMapEquivalenceRelatedto, Why: "dues, plans and tasks of nursing only"},
	r4.SectionSigns.Code:      {How: models.ConceptMapEquivalenceRelatedto, Why: "scores and episodes stand there too"},
	r4.SectionDevices.Code:    {How: models.ConceptMapEquivalenceRelatedto, Why: "checks and alarms stand there too"},
	r4.SectionSkin.Code:       {How: models.ConceptMapEquivalenceRelatedto, Why: "skin only"},
	r4.GastricTubeDevice.Code: {How: models.ConceptMapEquivalenceRelatedto, Why: "may also serve venting"},
	r4.SiteNose.Code:          {How: models.ConceptMapEquivalenceRelatedto, Why: "the nose, not only its skin"},

	r4.Sites["septum"].Code:      {How: models.ConceptMapEquivalenceWider, Why: "the nose as a whole"},
	r4.Sites["columella"].Code:   {How: models.ConceptMapEquivalenceWider, Why: "the nose as a whole"},
	r4.Sites["naris-left"].Code:  {How: models.ConceptMapEquivalenceWider, Why: "the ala of the nose, without the side"},
	r4.Sites["naris-right"].Code: {How: models.ConceptMapEquivalenceWider, Why: "the ala of the nose, without the side"},
	r4.Sites["bridge"].Code:      {How: models.ConceptMapEquivalenceWider, Why: "the nose as a whole"},
	r4.Sites["cheek-left"].Code:  {How: models.ConceptMapEquivalenceWider, Why: "without the side"},
	r4.Sites["cheek-right"].Code: {How: models.ConceptMapEquivalenceWider, Why: "without the side"},
	r4.Sites["ear-left"].Code:    {How: models.ConceptMapEquivalenceWider, Why: "the ear, not only its skin"},
	r4.Sites["ear-right"].Code:   {How: models.ConceptMapEquivalenceWider, Why: "the ear, not only its skin"},
	r4.Sites["occiput"].Code:     {How: models.ConceptMapEquivalenceWider, Why: "all layers of the scalp there"},
}

// conceptMap maps own codes to LOINC, to SNOMED CT's Global Patient Set and to HL7's
// table of specimens. It holds those that go along in an export, and those that are
// only near.
func conceptMap(p *handover.Policy) *r4.Resource {
	system := p.FHIR.Base + r4.OwnSystemPath
	m := &models.ConceptMap{
		Url: r4.Ptr(p.FHIR.Base + "/ConceptMap/" + conceptMapID), Version: r4.Ptr(r4.OwnSystemVersion),
		Name: r4.Ptr(r4.OwnSystemName + "ToStandard"), Title: r4.Ptr(r4.OwnSystemTitle + ": to published codes"),
		Experimental: &p.FHIR.Test, Date: r4.Ptr(r4.OwnSystemDate), Publisher: &p.Unit, Copyright: r4.Ptr(copyrights),
		Description: r4.Ptr("Own codes and the published ones that say the same, or nearly: equivalence and comment say which. A code " +
			"that is not here has none that was found."),
	}
	for _, to := range []string{r4.LOINCSystem, r4.SNOMEDSystem, r4.SpecimenSystem} {
		g := models.ConceptMapGroup{Source: &system, SourceVersion: r4.Ptr(r4.OwnSystemVersion), Target: &to}
		for _, c := range r4.OwnConcepts {
			e := models.ConceptMapGroupElement{Code: &c.Code, Display: &c.Display}
			for _, n := range nearTo(c) {
				if n.System == to {
					e.Target = append(e.Target, models.ConceptMapGroupElementTarget{Code: &n.Code, Display: r4.Some(n.Display),
						Equivalence: n.How, Comment: r4.Some(n.Why)})
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

func nearTo(c r4.Concept) []r4.Near {
	var out []r4.Near
	for _, s := range c.Standard {
		n, told := notSame[c.Code]
		if !told {
			n.How = models.ConceptMapEquivalenceEquivalent
		}
		n.Standard = s
		if n.How == models.ConceptMapEquivalenceWider && s == r4.SiteNose.Standard[0] {
			n.Why = "the nose as a whole"
		}
		out = append(out, n)
	}
	for _, sample := range []string{"arterial", "capillary", "venous"} {
		if s, ok := r4.InSample[c.Code][sample]; ok {
			out = append(out, r4.Near{Standard: s, How: models.ConceptMapEquivalenceNarrower, Why: "of " + sample + " blood"})
		}
	}
	return append(out, r4.Nearby[c.Code]...)
}
