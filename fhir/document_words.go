package fhir

import (
	"strings"
	"time"

	"cotline/fhir/internal/r4"
	"cotline/handover/entry"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
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
func (d *document) told(p *r4.Prose, what, value string, s handover.Source) {
	if value == "" {
		return
	}
	mark := ""
	if s.Corrected != nil {
		mark = r4.Corrected
	}
	p.Line(r4.Pair(what, value), d.when(s.At), r4.Pair("by", s.By), mark)
}

func (d *document) changeLines(p *r4.Prose) {
	p.Line(r4.Pair("since", d.when(d.s.Since)))
	d.handedLines(p)
	if d.s.New {
		p.Line("new on the ward in this window")
	}
	for _, c := range d.s.Changes {
		p.Line(c.Path+": "+changed(c.From)+" to "+changed(c.To), c.Why)
	}
}

func changed(v *handover.ChangeValue) string {
	if v == nil {
		return "none"
	}
	return v.Text
}

func (d *document) dueLines(p *r4.Prose) {
	for _, x := range d.s.Due {
		on := d.when(x.At)
		if !x.On.IsZero() {
			on = x.On.String()
		}
		p.Line(r4.Pair(x.What, x.State), x.Care, x.Text, on, r4.Pair("until", d.when(x.Until)), x.Why)
	}
	d.nextLines(p)
	for _, x := range d.s.Plans {
		p.Line(r4.Pair("plan", x.What), x.Care, r4.Pair("every", x.Every), r4.Pair("until", d.when(x.Until)), x.Reason,
			r4.Pair("by", x.By))
	}
	for _, x := range d.s.Tasks {
		p.Line(r4.Pair("task", x.Text), d.when(x.DueAt), r4.Pair("by", x.By))
	}
}

func (d *document) supportLines(p *r4.Prose) {
	s := d.s.Support
	switch s.State {
	case "on":
		d.told(p, "Support", "on, "+s.Mode, s.Source)
		p.Line(r4.Pair("driver", s.Driver))
		p.Line(r4.Pair("why on support", s.Why))
	case "off":
		d.told(p, "Support", strings.TrimSuffix("off, "+s.Reason, ", "), s.Source)
	default:
		p.Line("Support: never")
	}
	for _, x := range d.s.Settings {
		n := settingOf(x.Field)
		if x.Fact == nil {
			p.Line(r4.Pair(n.code.Text, r4.NotCharted.Text))
			continue
		}
		d.told(p, n.code.Text, x.Fact.Value.String()+" "+n.unit.Text, x.Fact.Source)
	}
	d.observedLines(p, "limits", d.s.Limits)
	d.figureLines(p, "window")
	if v := d.s.Indices.Value; v != nil {
		for _, x := range []struct {
			r4.Concept
			handover.Maybe[entry.Decimal]
		}{{r4.RatioSF, v.SF}, {r4.Severity, v.Severity}, {r4.OSI, v.OSI}} {
			if x.Value != nil {
				d.told(p, x.Text, x.Value.String(), v.Source)
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
func (d *document) figureLines(p *r4.Prose, kind string) {
	for _, r := range d.computed {
		if r.Kind != kind {
			continue
		}
		o := r.Model.Body.(*models.Observation)
		parts := []string{r4.Pair(r4.TextOf(&o.Code), r4.SaidValue(o.ValueQuantity, nil, nil, o.ValueBoolean, o.ValueInteger, nil)),
			r4.TextOf(o.BodySite)}
		for _, c := range o.Component {
			parts = append(parts, r4.Pair(r4.TextOf(&c.Code), r4.SaidValue(nil, c.ValueCodeableConcept, nil, nil, c.ValueInteger, nil)))
		}
		for _, n := range o.Note {
			parts = append(parts, n.Text)
		}
		p.Line(parts...)
	}
}

func (d *document) signLines(p *r4.Prose) {
	d.observedLines(p, "observations", d.s.Observations)
	if g := d.s.Gas; g != nil {
		d.told(p, r4.BloodGas.Text, g.Sample, g.Source)
		d.observedLines(p, "gas", g.Values)
	}
	if v := d.s.Silverman.Value; v != nil {
		d.told(p, r4.Silverman.Text, r4.SaidValue(nil, nil, nil, nil, &v.Total, nil), v.Source)
	}
	d.figureLines(p, "episode")
}

// observedLines tell what was read, by the field of a kind.
func (d *document) observedLines(p *r4.Prose, kind string, all []handover.Observed) {
	for _, x := range all {
		spec, value := handover.FieldOf(kind, x.Field), x.Value
		if x.Word {
			value = strings.ReplaceAll(value, "-", " ")
		}
		if spec.Type == entry.Flag {
			value = yesOrNo(value == "true")
		}
		d.told(p, spec.Label, strings.TrimSpace(value+" "+spec.Unit), x.Source)
	}
}

func (d *document) skinLines(p *r4.Prose) {
	for _, x := range d.s.Skin.Sites {
		d.told(p, r4.Sites[x.Site].Text, strings.Join(append([]string{r4.Findings[x.Finding].Text}, x.Also...), ", "), x.Source)
	}
	if u := d.s.Skin.Unseen.Value; u != nil && len(*u) > 0 {
		p.Line("not seen: " + strings.ReplaceAll(strings.Join(*u, ", "), "-", " "))
	}
}

func (d *document) deviceLines(p *r4.Prose) {
	if v := d.s.Interface.Value; v != nil {
		size := ""
		if v.Size.Value != nil {
			size = *v.Size.Value
		}
		d.told(p, r4.InterfaceOn.Text, sizedText(v.Type, size), v.Source)
		if v.Fit != nil {
			d.told(p, r4.InterfaceFit.Text, v.Fit.Value, v.Fit.Source)
		}
		if v.Clear != nil {
			d.told(p, r4.InterfaceClear.Text, yesOrNo(v.Clear.Value == "true"), v.Clear.Source)
		}
	}
	if v := d.s.Rotation.Value; v != nil && v.Last != nil {
		d.told(p, r4.Rotation.Text, v.Last.From+" to "+v.Last.To, v.Last.Source)
	}
	if all := d.s.Tubes.Value; all != nil {
		for _, t := range *all {
			d.told(p, r4.Tube.Text, t.Use+", "+t.Route+", "+t.MarkCm.String()+" cm", t.Source)
			if t.AspirateMl != nil {
				d.told(p, r4.AspirateMl.Text, t.Use+", "+t.AspirateMl.Value.String()+" mL", t.AspirateMl.Source)
			}
			if t.AspirateLook != nil {
				d.told(p, r4.AspirateLook.Text, t.Use+", "+t.AspirateLook.Value, t.AspirateLook.Source)
			}
			if t.XRay != nil {
				d.told(p, r4.TubeXray.Text, t.Use, *t.XRay)
			}
		}
	}
	d.bonnetLines(p)
	if v := d.s.Humidifier.Value; v != nil {
		if v.State.Value != nil {
			d.told(p, r4.Humidifier.Text, strings.ReplaceAll(*v.State.Value, "-", " "), v.Source)
		}
		if v.ChamberC != nil {
			d.told(p, r4.ChamberTemp.Text, v.ChamberC.Value.String()+" "+r4.Celsius.Text, v.ChamberC.Source)
		}
		if at := v.WaterEmptyAt.Value; at != nil {
			p.Line(r4.Pair("water runs out, by reckoning", d.when(*at)), "check by eye")
		}
	}
	d.setupLines(p)
	if c := d.s.Safety; c != nil {
		for _, x := range c.Items {
			d.told(p, r4.SafetyCheck.Text, x.Item+", "+map[bool]string{true: "in order", false: "not in order"}[x.OK], c.Source)
		}
	}
	for _, a := range d.s.Alarms {
		d.told(p, r4.Alarm.Text, r4.Abouts[a.About].Text, a.Source)
	}
	d.figureLines(p, "tube")
}

// bonnetLines tell the bonnet, whether it fits, and when and why to look.
func (d *document) bonnetLines(p *r4.Prose) {
	v := d.s.Bonnet.Value
	if v == nil {
		return
	}
	if v.Size.Value != nil {
		d.told(p, r4.Bonnet.Text, *v.Size.Value, v.Source)
	}
	if fits := v.Fits.Value; fits != nil {
		p.Line(r4.Pair("bonnet fits the latest head", yesOrNo(*fits)))
	}
	for _, r := range v.Reasons {
		p.Line(r4.Pair("look at head and bonnet", r.On.String()), r.Reason)
	}
}

// setupLines tell what the checks of the support came to, and what is to do.
func (d *document) setupLines(p *r4.Prose) {
	v := d.s.Setup.Value
	if v == nil {
		return
	}
	for _, x := range v.Points {
		d.told(p, r4.SensorRead.Text, x.ReadPercent.String()+" % in "+x.GasPercent.String()+" %, "+
			map[bool]string{true: "within tolerance", false: "out of tolerance"}[x.OK], x.Source)
	}
	p.Line(r4.Pair("set-up steps not done", strings.Join(v.NotDone, ", ")))
	if on := v.CircuitDueOn.Value; on != nil {
		p.Line(r4.Pair("circuit due on", on.String()))
	}
	if c := v.ProbeCaution.Value; c != nil && *c {
		p.Line("Caution: heat or light around the infant, and the temperature probe neither outside nor shielded")
	}
}

func yesOrNo(is bool) string {
	if is {
		return "yes"
	}
	return "no"
}

func (d *document) growthLines(p *r4.Prose) {
	p.Line(r4.Pair(r4.Gestation.Text, d.s.Age.Gestation), r4.Pair(r4.Postmenstrual.Text, d.s.Age.Postmenstrual))
	if v := d.s.Weight.Value; v != nil {
		d.told(p, r4.Weight.Text, v.WeightG.String()+" g", v.Source)
	}
	if v := d.s.Head.Value; v != nil {
		d.told(p, r4.Head.Text, v.CircumferenceCm.String()+" cm", v.Source)
	}
	d.figureLines(p, "age")
}

func (d *document) wordLines(p *r4.Prose) {
	for _, c := range d.s.Cares {
		d.told(p, r4.CareOf(c.What).Text, strings.Join(strings.Fields(c.Amount+" "+c.Look+" "+c.Side+" "+c.State+" "+c.Text+" ("+
			r4.SaidValue(nil, nil, nil, nil, &c.Window, nil)+" in the window)"), " "), c.Source)
	}
	for _, n := range d.s.Notes {
		d.told(p, r4.Note.Text, n.Text, n.Source)
	}
	for _, x := range d.s.Told {
		d.told(p, r4.WasTold.Text, strings.TrimSuffix(x.About+", "+r4.Pair("whom", x.Whom)+", "+r4.Pair("answer", x.Answer), ", "),
			x.Source)
	}
	if o := d.s.Outlook.Value; o != nil {
		d.told(p, r4.Outlook.Text, o.Severity, o.Source)
		for _, x := range o.IfThen {
			p.Line("If "+x.If, x.Then)
		}
		p.Line(r4.Pair(r4.CallFor.Text, o.CallFor))
	}
}

// mindLines names what to mind; another infant only by the record's own key.
func (d *document) mindLines(p *r4.Prose) {
	p.Line(r4.Pair("not charted", strings.Join(d.s.Gaps, ", ")))
	for _, x := range d.s.Old {
		p.Line(r4.Pair("older than its interval", x.Path), d.when(x.At))
	}
	for _, x := range d.s.Doubts {
		p.Line(r4.Pair("to be asked about", x.Text), x.Code, x.Path)
	}
	for _, x := range d.s.LookAlikes {
		p.Line(r4.Pair("looks alike", x.Infant), x.Why)
	}
	for _, x := range d.s.Conflicts {
		p.Line(r4.Pair("conflict", x.What), x.Infant)
	}
	for _, x := range d.s.Thresholds {
		if x.Met != nil && *x.Met {
			p.Line(x.Name, x.Text, r4.Pair("source", x.Source))
		}
	}
	for _, x := range d.s.Remarks {
		p.Line(x.Why)
	}
}

func (d *document) correctionLines(p *r4.Prose) {
	for _, r := range d.x.Resources {
		if m, ok := r.Model.Body.(*models.Provenance); ok {
			p.Line(m.Recorded, r4.Pair("by", r4.StringOf(m.Agent[0].Who.Display)), r4.TextOf(&m.Reason[0]))
		}
	}
}
