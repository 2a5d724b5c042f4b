package fhir

import (
	"strings"
	"time"

	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
	"cotline/handover/entry"
)

// The words of a section, from the summary that every face is made of. Moments
// are in the unit's zone.

func (d *document) when(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return entry.Stamp(t, d.zone)
}

// told adds a line of a fact: what, its value, when, by whom, and if corrected.
func (d *document) told(p *page, what, value string, s handover.Source) {
	if value == "" {
		return
	}
	mark := ""
	if s.Corrected != nil {
		mark = corrected
	}
	p.line(pair(what, value), d.when(s.At), pair("by", s.By), mark)
}

func (d *document) changeLines(p *page) {
	p.line(pair("since", d.when(d.s.Since)))
	if d.s.New {
		p.line("new on the ward in this window")
	}
	for _, c := range d.s.Changes {
		p.line(c.Path+": "+changed(c.From)+" to "+changed(c.To), c.Why)
	}
}

func changed(v *handover.ChangeValue) string {
	if v == nil {
		return "none"
	}
	return v.Text
}

func (d *document) dueLines(p *page) {
	for _, x := range d.s.Due {
		on := d.when(x.At)
		if !x.On.IsZero() {
			on = x.On.String()
		}
		p.line(pair(x.What, x.State), x.Care, x.Text, on, pair("until", d.when(x.Until)), x.Why)
	}
	for _, x := range d.s.Plans {
		p.line(pair("plan", x.What), x.Care, pair("every", x.Every), pair("until", d.when(x.Until)), x.Reason, pair("by", x.By))
	}
	for _, x := range d.s.Tasks {
		p.line(pair("task", x.Text), d.when(x.DueAt), pair("by", x.By))
	}
}

func (d *document) supportLines(p *page) {
	s := d.s.Support
	switch s.State {
	case "on":
		d.told(p, "Support", "on, "+s.Mode, s.Source)
		p.line(pair("driver", s.Driver))
	case "off":
		d.told(p, "Support", strings.TrimSuffix("off, "+s.Reason, ", "), s.Source)
	default:
		p.line("Support: never")
	}
	for _, x := range d.s.Settings {
		n := settingOf(x.Field)
		if x.Fact == nil {
			p.line(pair(n.code.text, notCharted.text))
			continue
		}
		d.told(p, n.code.text, x.Fact.Value.String()+" "+n.unit.text, x.Fact.Source)
	}
	d.figureLines(p, "window")
	if v := d.s.Indices.Value; v != nil {
		for _, x := range []struct {
			concept
			handover.Maybe[entry.Decimal]
		}{{ratioSF, v.SF}, {severity, v.Severity}, {osi, v.OSI}} {
			if x.Value != nil {
				d.told(p, x.text, x.Value.String(), v.Source)
			}
		}
	}
}

func settingOf(field string) numeric {
	for _, n := range settingFields {
		if n.field == field {
			return n
		}
	}
	return numeric{}
}

// figureLines tell the computed Observations of a kind, in their own words.
func (d *document) figureLines(p *page, kind string) {
	for _, r := range d.computed {
		if r.kind != kind {
			continue
		}
		o := r.model.body.(*r4.Observation)
		parts := []string{pair(textOf(&o.Code), saidValue(o.ValueQuantity, nil, nil, o.ValueBoolean, o.ValueInteger, nil)), textOf(o.BodySite)}
		for _, c := range o.Component {
			parts = append(parts, pair(textOf(&c.Code), saidValue(nil, c.ValueCodeableConcept, nil, nil, c.ValueInteger, nil)))
		}
		for _, n := range o.Note {
			parts = append(parts, n.Text)
		}
		p.line(parts...)
	}
}

func (d *document) signLines(p *page) {
	kind, _ := entry.KindOf("observations")
	for _, x := range d.s.Observations {
		spec, _ := kind.Spec(x.Field)
		d.told(p, spec.Label, strings.TrimSpace(strings.ReplaceAll(x.Value, "-", " ")+" "+spec.Unit), x.Source)
	}
	if v := d.s.Silverman.Value; v != nil {
		d.told(p, silverman.text, saidValue(nil, nil, nil, nil, &v.Total, nil), v.Source)
	}
	d.figureLines(p, "episode")
}

func (d *document) skinLines(p *page) {
	for _, x := range d.s.Skin.Sites {
		d.told(p, sites[x.Site].text, strings.Join(append([]string{findings[x.Finding].text}, x.Also...), ", "), x.Source)
	}
	if u := d.s.Skin.Unseen.Value; u != nil && len(*u) > 0 {
		p.line("not seen: " + strings.ReplaceAll(strings.Join(*u, ", "), "-", " "))
	}
}

func (d *document) deviceLines(p *page) {
	if v := d.s.Interface.Value; v != nil {
		size := ""
		if v.Size.Value != nil {
			size = *v.Size.Value
		}
		d.told(p, interfaceOn.text, sizedText(v.Type, size), v.Source)
	}
	if v := d.s.Rotation.Value; v != nil && v.Last != nil {
		d.told(p, rotation.text, v.Last.From+" to "+v.Last.To, v.Last.Source)
	}
	if all := d.s.Tubes.Value; all != nil {
		for _, t := range *all {
			d.told(p, tube.text, t.Use+", "+t.Route+", "+t.MarkCm.String()+" cm", t.Source)
		}
	}
	d.bonnetLines(p)
	if v := d.s.Humidifier.Value; v != nil {
		if v.State.Value != nil {
			d.told(p, humidifier.text, strings.ReplaceAll(*v.State.Value, "-", " "), v.Source)
		}
		if v.ChamberC != nil {
			d.told(p, chamberTemp.text, v.ChamberC.Value.String()+" "+celsius.text, v.ChamberC.Source)
		}
		if at := v.WaterEmptyAt.Value; at != nil {
			p.line(pair("water runs out, by reckoning", d.when(*at)), "check by eye")
		}
	}
	d.setupLines(p)
	for _, a := range d.s.Alarms {
		d.told(p, alarm.text, abouts[a.About].text, a.Source)
	}
	d.figureLines(p, "tube")
}

// bonnetLines tell the bonnet, whether it fits, and when and why to look.
func (d *document) bonnetLines(p *page) {
	v := d.s.Bonnet.Value
	if v == nil {
		return
	}
	if v.Size.Value != nil {
		d.told(p, bonnet.text, *v.Size.Value, v.Source)
	}
	if fits := v.Fits.Value; fits != nil {
		p.line(pair("bonnet fits the latest head", yesOrNo(*fits)))
	}
	for _, r := range v.Reasons {
		p.line(pair("look at head and bonnet", r.On.String()), r.Reason)
	}
}

// setupLines tell what the checks of the support came to, and what is to do.
func (d *document) setupLines(p *page) {
	v := d.s.Setup.Value
	if v == nil {
		return
	}
	for _, x := range v.Points {
		d.told(p, sensorRead.text, x.ReadPercent.String()+" % in "+x.GasPercent.String()+" %, "+map[bool]string{true: "within tolerance", false: "out of tolerance"}[x.OK], x.Source)
	}
	p.line(pair("set-up steps not done", strings.Join(v.NotDone, ", ")))
	if on := v.CircuitDueOn.Value; on != nil {
		p.line(pair("circuit due on", on.String()))
	}
	if c := v.ProbeCaution.Value; c != nil && *c {
		p.line("Caution: heat or light around the infant, and the temperature probe neither outside nor shielded")
	}
}

func yesOrNo(is bool) string {
	if is {
		return "yes"
	}
	return "no"
}

func (d *document) growthLines(p *page) {
	p.line(pair(gestation.text, d.s.Age.Gestation), pair(postmenstrual.text, d.s.Age.Postmenstrual))
	if v := d.s.Weight.Value; v != nil {
		d.told(p, weight.text, v.WeightG.String()+" g", v.Source)
	}
	if v := d.s.Head.Value; v != nil {
		d.told(p, head.text, v.CircumferenceCm.String()+" cm", v.Source)
	}
	d.figureLines(p, "age")
}

func (d *document) wordLines(p *page) {
	for _, c := range d.s.Cares {
		d.told(p, cares[c.What].text, strings.Join(strings.Fields(c.Side+" "+c.State+" "+c.Text+" ("+saidValue(nil, nil, nil, nil, &c.Window, nil)+" in the window)"), " "), c.Source)
	}
	for _, n := range d.s.Notes {
		d.told(p, note.text, n.Text, n.Source)
	}
	if o := d.s.Outlook.Value; o != nil {
		d.told(p, outlook.text, o.Severity, o.Source)
		for _, x := range o.IfThen {
			p.line("If "+x.If, x.Then)
		}
		p.line(pair(callFor.text, o.CallFor))
	}
}

// mindLines names what to mind; another infant only by the record's own key.
func (d *document) mindLines(p *page) {
	p.line(pair("not charted", strings.Join(d.s.Gaps, ", ")))
	for _, x := range d.s.LookAlikes {
		p.line(pair("looks alike", x.Infant), x.Why)
	}
	for _, x := range d.s.Conflicts {
		p.line(pair("conflict", x.What), x.Infant)
	}
	for _, x := range d.s.Thresholds {
		if x.Met != nil && *x.Met {
			p.line(x.Name, x.Text, pair("source", x.Source))
		}
	}
	for _, x := range d.s.Remarks {
		p.line(x.Why)
	}
}

func (d *document) correctionLines(p *page) {
	for _, r := range d.x.Resources {
		if m, ok := r.model.body.(*r4.Provenance); ok {
			p.line(m.Recorded, pair("by", of(m.Agent[0].Who.Display)), textOf(&m.Reason[0]))
		}
	}
}
