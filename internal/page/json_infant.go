package page

import (
	"strconv"
	"strings"

	"cotline/handover"
)

// infant puts one infant's facts in the order of the interchange form.
func (s *sheet) infant(f *handover.Summary) any {
	s.not = nil
	var o object
	s.identity(&o, f)
	s.moment(&o, "since", f.Since)
	o.put("new", f.New)
	o.put("age", age(f))
	o.put("support", s.support(f.Support))
	if len(f.Settings) > 0 {
		var set object
		for _, x := range f.Settings {
			if x.Fact == nil {
				set.put(x.Field, nil)
				continue
			}
			set.put(x.Field, s.numberFact(*x.Fact))
		}
		o.put("settings", set)
	}
	maybe(s, &o, "", "fio2", f.FiO2, s.fio2)
	maybe(s, &o, "", "spo2", f.SpO2, spo2)
	maybe(s, &o, "", "indices", f.Indices, s.indices)
	seen := object{}
	for _, x := range f.Observations {
		seen.put(x.Field, s.observed(x))
	}
	for _, path := range f.Gaps {
		if field, ok := strings.CutPrefix(path, "observations."); ok && !seen.has(field) {
			seen.put(field, nil)
		}
	}
	o.put("observations", seen)
	maybe(s, &o, "", "silverman", f.Silverman, s.silverman)
	maybe(s, &o, "", "weight", f.Weight, s.weight)
	if f.Weight.Value == nil {
		nullGap(&o, f, "weight", "weight")
	}
	maybe(s, &o, "", "birthWeight", f.BirthWeight, s.birthWeight)
	o.put("episodes", s.episodes(f.Episodes))
	maybe(s, &o, "", "interface", f.Interface, s.nasalInterface)
	maybe(s, &o, "", "rotation", f.Rotation, s.rotation)
	maybe(s, &o, "", "hoursUnder", f.HoursUnder, hoursUnder)
	o.put("skin", s.skin(f.Skin))
	maybe(s, &o, "", "tubes", f.Tubes, func(t []handover.Tube) any { return each(t, s.tube) })
	maybe(s, &o, "", "head", f.Head, s.head)
	maybe(s, &o, "", "bonnet", f.Bonnet, s.bonnet)
	maybe(s, &o, "", "humidifier", f.Humidifier, func(x handover.Humidifier) any { return s.humidifier(f, x) })
	maybe(s, &o, "", "setup", f.Setup, s.setup)
	o.put("cares", each(f.Cares, s.care))
	o.put("alarms", each(f.Alarms, s.alarm))
	maybe(s, &o, "", "outlook", f.Outlook, s.outlook)
	s.charted(&o, f)
	o.put("notes", each(f.Notes, s.note))
	o.put("tasks", each(f.Tasks, s.task))
	o.put("plans", each(f.Plans, s.plan))
	o.put("due", each(f.Due, s.due))
	o.put("changes", changes(f))
	o.put("remarks", each(f.Remarks, func(r handover.Remark) any {
		var m object
		m.text("entry", r.Entry)
		m.text("why", r.Why)
		return m
	}))
	o.put("thresholds", each(f.Thresholds, threshold))
	o.put("gaps", texts(f.Gaps))
	o.put("notComputed", each(f.NotComputed, notComputed))
	o.put("conflicts", each(f.Conflicts, func(c handover.Conflict) any {
		return object{{"what", c.What}, {"value", c.Value}, {"infant", c.Infant}}
	}))
	o.put("lookAlikes", each(f.LookAlikes, func(l handover.LookAlike) any {
		return object{{"infant", l.Infant}, {"why", l.Why}}
	}))
	return o
}

// identity leaves every name of a restricted infant out.
func (s *sheet) identity(o *object, f *handover.Summary) {
	o.text("infant", f.Infant)
	s.first(o, f)
	o.text("cot", f.Cot)
	o.text("mrn", f.MRN)
	o.text("temporary", f.Temporary)
	if f.Restricted {
		o.put("restricted", true)
	} else {
		o.text("family", f.Family)
		o.text("given", f.Given)
		o.text("formerly", f.Formerly)
	}
	o.text("sex", f.Sex)
	nullGap(o, f, "sex", "sex")
	o.text("mother", f.Mother)
	o.text("visit", f.Visit)
	o.digits("birthOrder", f.BirthOrder)
	o.digits("multiples", f.Multiples)
}

func age(f *handover.Summary) any {
	var o object
	a := f.Age
	o.text("gestation", a.Gestation)
	nullGap(&o, f, "gestation", "age.gestation")
	if a.Postmenstrual != "" {
		o.put("postmenstrual", a.Postmenstrual)
		o.put("about", a.About)
	}
	o.put("dayOfLife", whole(a.DayOfLife))
	return o
}

func whole(n int) bare { return bare(strconv.Itoa(n)) }

func (s *sheet) due(d handover.Due) any {
	var o object
	o.text("what", d.What)
	o.text("care", d.Care)
	o.text("task", d.Task)
	o.text("text", d.Text)
	s.moment(&o, "at", d.At)
	o.date("on", d.On)
	s.moment(&o, "overdueAt", d.OverdueAt)
	o.text("state", d.State)
	s.moment(&o, "until", d.Until)
	o.text("every", d.Every)
	if d.Planned {
		o.put("planned", true)
	}
	o.text("why", d.Why)
	return o
}

func changes(f *handover.Summary) list {
	return each(shownChanges(f), func(c handover.Change) any {
		o := object{{"path", c.Path}, {"from", changeValue(c.From)}, {"to", changeValue(c.To)}}
		o.text("why", c.Why)
		o.text("entry", c.Entry)
		return o
	})
}

// shownChanges leaves a restricted infant's name out of what changed.
func shownChanges(f *handover.Summary) []handover.Change {
	if !f.Restricted {
		return f.Changes
	}
	var out []handover.Change
	for _, c := range f.Changes {
		if c.Path != "name" {
			out = append(out, c)
		}
	}
	return out
}

func changeValue(v *handover.ChangeValue) any {
	switch {
	case v == nil:
		return nil
	case v.Bare:
		return bare(v.Text)
	}
	return v.Text
}

func threshold(t handover.ThresholdFact) any {
	var o object
	o.text("name", t.Name)
	if t.Met != nil {
		o.put("met", *t.Met)
	}
	o.text("text", t.Text)
	o.text("source", t.Source)
	if t.First {
		o.put("first", true)
	}
	return o
}
