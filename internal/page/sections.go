package page

import (
	"slices"
	"strconv"
	"strings"

	"cotline/handover"
)

// Words tell each infant of a handover, section by section and line by line, to a reader
// who has neither this record nor this unit: in the sentences of the short form and, of
// what that leaves out, in those of the full form. Each section stands alone, so what is
// looked at first is told again in its place. Moments are those of paper; staff go by
// the name that the policy has for their key; another infant goes by cot. A section
// without a line has nothing to tell; of an infant who is not there, all are.
func Words(h *handover.Handover, p *handover.Policy) func(infant string) map[string][]string {
	people := map[string]string{}
	for _, s := range p.Staff {
		people[s.Key] = s.Name
	}
	return func(infant string) map[string][]string { return sectionsOf(h, infant, people) }
}

func sectionsOf(h *handover.Handover, infant string, people map[string]string) map[string][]string {
	at := slices.IndexFunc(h.Infants, func(f *handover.Summary) bool { return f.Infant == infant })
	if at < 0 {
		return nil
	}
	f := h.Infants[at]
	own := *h // its standards alone are cited
	own.Infants = []*handover.Summary{f}
	v := newView(&own, false)
	for _, x := range slices.Concat(h.Infants, h.Elsewhere) {
		v.others[x.Infant] = x
	}
	v.elsewhere, v.people = true, people
	out := map[string][]string{}
	for name, lines := range v.sections(f) {
		for _, line := range lines {
			if line = plainText(line); line != "" {
				out[name] = append(out[name], line)
			}
		}
	}
	return out
}

func (v view) sections(f *handover.Summary) map[string][]string {
	alone := *f // each row tells all that it has to tell
	alone.Attention = nil
	alone.Thresholds = slices.DeleteFunc(slices.Clone(f.Thresholds), func(t handover.ThresholdFact) bool {
		return t.Met == nil || !*t.Met // a value that lacks stands among the gaps
	})
	seen := v.shortSigns(f) // the latest SpO2 beside its target
	seen.Label = "Seen"
	var course []string
	if f.Support.State == "on" {
		course = append(course, plainRow(v.notSet(f)), plainRow(v.support(f)))
	}
	return map[string][]string{
		"first":   v.firstSaid(f),
		"support": append([]string{lined(v.shortSupport(f))}, append(course, v.windowSaid(f))...),
		"signs":   {lined(seen), v.gasLine(f), lined(v.episodes(f))},
		"skin":    {lined(v.skin(f))},
		"devices": append([]string{lined(beside(v.shortWorn(f), v.shortBonnet(f))), lined(v.shortTube(f)),
			lined(beside(v.shortWarmth(f), v.notDone(f)))},
			each(v.alarms(f))...),
		"growth": {strings.Join(v.birth(f), "; "), lined(v.growth(f)), lined(v.citedRow())},
		"words": slices.Concat([]string{lined(v.shortOutlook(f))}, each(v.notes(f.Notes)), each(v.toldOf(f)),
			[]string{lined(v.cares(f))}),
		"due":     slices.Concat([]string{lined(v.shortDue(&alone))}, each(v.tasks(f.Tasks)), each(v.plans(f))),
		"changes": slices.Concat([]string{lined(v.changed(f)), lined(v.handed(f))}, each(v.late(f))),
		"mind": {plainRow(v.conflicts(f)), plainRow(v.lookAlikes(f)), lined(v.gaps(f)), lined(v.notComputed(f)),
			lined(once(v.remarks(f))), lined(v.thresholds(&alone))},
	}
}

// firstSaid is what to look at first: what needs a person now, each after its mark,
// then what is to be known.
func (v view) firstSaid(f *handover.Summary) (out []string) {
	named := *f
	named.Attention = slices.Clone(f.Attention)
	for i := range named.Attention {
		if a := &named.Attention[i]; a.What == "handing-over" && f.HandedOver != nil {
			a.Text = strings.Replace(a.Text, " "+f.HandedOver.To+" ", " "+v.person(f.HandedOver.To)+" ", 1)
		}
	}
	l := lookAt(&named)
	for _, now := range l.Now {
		out = append(out, eyes+now)
	}
	return append(out, l.Know...)
}

// lined is a row as one line, its label first; nothing of a row without facts.
func lined(r row) string {
	if len(r.Items) == 0 {
		return ""
	}
	return r.Label + ": " + plainRow(r)
}

func plainRow(r row) string { return strings.TrimPrefix(rowSaid(r), r.Label+" ") }

// each is a row as a line a fact.
func each(r row) (out []string) {
	for _, it := range r.Items {
		out = append(out, r.Label+": "+it.Text)
	}
	return out
}

// once tells what is told several times once, and how often.
func once(r row) row {
	out := row{Label: r.Label}
	for i, it := range r.Items {
		same := func(x item) bool { return x.Text == it.Text }
		if slices.ContainsFunc(r.Items[:i], same) {
			continue
		}
		if n := len(r.Items) - len(slices.DeleteFunc(slices.Clone(r.Items), same)); n > 1 {
			it.Text += bracketed(count(n, "time", "times"))
		}
		out.Items = append(out.Items, it)
	}
	return out
}

// windowSaid is how often the SpO2 of the window was in its target.
func (v view) windowSaid(f *handover.Summary) string {
	r := v.oxygenReached(f)
	if len(r.Items) == 0 {
		return ""
	}
	return "In the window, since " + v.when(f.Since) + ": " + plainRow(r)
}

// gasLine is the latest blood gas, with its units and its age.
func (v view) gasLine(f *handover.Summary) string {
	r := row{Label: "Gas"}
	if g := f.Gas; g != nil {
		r.add(gasSaid(g, true), v.when(g.At)+", "+v.ago(g.At)+" old")
	}
	return lined(r)
}

// notDone are set-up steps that were ticked as not done, or not ticked.
func (v view) notDone(f *handover.Summary) row {
	r := row{}
	x := f.Setup.Value
	if x == nil {
		return r
	}
	r.add(prefixed("set-up steps NOT DONE: ", said(plains(x.NotDone))))
	if n := x.NotCharted.Value; n != nil && x.Ticked {
		r.add(prefixed("set-up steps not ticked: ", said(plains(*n))))
	}
	return r
}

// citedRow names the standards of growth that are cited by number.
func (v view) citedRow() row {
	r := row{Label: "Growth by"}
	for i, standard := range v.cited {
		r.add("[" + strconv.Itoa(i+1) + "] " + said(standard))
	}
	return r
}
