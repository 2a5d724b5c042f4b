package fhir

import (
	"cotline/fhir/internal/r4"
	"cotline/handover/entry"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

// texts are an entry and its amendments as they are carried. Where an infant's name is
// not shown, names are taken out of them, and an entry that says nothing else is left
// out.
func (c *carrier) texts(g *group) []models.Extension {
	i := c.infants[g.original.Infant]
	unnamed := i != nil && i.restricted()
	var out []models.Extension
	url := c.policy.FHIR.Base + r4.CarryPath
	for _, e := range g.all() {
		if unnamed {
			if e = e.Unnamed(); e == nil {
				return nil
			}
		}
		c.text = e.AppendStamped(c.text[:0])
		out = append(out, models.Extension{Url: url, ValueString: r4.Ptr(string(c.text))})
	}
	return out
}

// extend adds what a resource carries.
func extend(r *r4.Model, texts []models.Extension) {
	switch m := r.Body.(type) {
	case *models.Observation:
		m.Extension = append(m.Extension, texts...)
	case *models.DeviceUseStatement:
		m.Extension = append(m.Extension, texts...)
	}
}

// basic is the resource of an entry that has no other. It names its subject by our own
// identifier, which a Patient has beside its hospital number: the infant may have left,
// so that no Patient of it is sent. A Patient under a label that stands apart has another
// one, so there this leads to nobody until the number comes.
func (c *carrier) basic(g *group, texts []models.Extension) *r4.Resource {
	e := g.original
	id := r4.MustIDOfEntry(e.ID, "entry")
	known := c.own(e.ID + ".entry")
	kind, _ := entry.KindOf(e.Kind)
	m := &models.Basic{
		Extension: texts, Identifier: []models.Identifier{*r4.IdentifierOf(known.System, known.Value)},
		Code:    *c.codes.Said(r4.CareEntry, r4.CareEntry.Text+": "+kind.Label),
		Created: r4.Ptr(entry.DateOf(e.Charted.Time, c.policy.Zone).String()), Author: c.staff(e.By),
	}
	if e.Infant != "" {
		own := c.own(r4.IDOfInfant(c.policy, e.Infant).String())
		m.Subject = &models.Reference{Type: r4.Ptr("Patient"), Identifier: r4.IdentifierOf(own.System, own.Value)}
	}
	return &r4.Resource{Type: "Basic", ID: id, Infant: e.Infant, Identifier: known, Kind: "entry", Entry: e.ID,
		Model: &r4.Model{Kind: "Basic", ID: id, Body: m}}
}
