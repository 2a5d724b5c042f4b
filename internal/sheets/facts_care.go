package sheets

import (
	"fmt"
	"strings"

	"cotline/handover"
	"cotline/handover/entry"
)

// equipment is the humidifier and what was checked when the circuit was set up.
func (f *facts) equipment(s *handover.Summary) {
	whole(f, "humidifier", s.Humidifier, func(f *facts, path string, v handover.Humidifier) {
		f.word(path+"state", v.State, v.Source)
		if v.ChamberC != nil {
			f.add(path+"chamberC", number(v.ChamberC.Value), "°C", v.ChamberC.Source)
		}
		f.flag(path+"inTolerance", v.InTolerance, v.Source)
		f.flag(path+"readyBeforeUse", v.ReadyBeforeUse, noSource)
		f.text(path+"water", v.Water, noSource) // v.Source is the chamber's
		f.time(path+"waterEmptyAt", v.WaterEmptyAt, noSource)
	})
	whole(f, "setup", s.Setup, func(f *facts, path string, v handover.Setup) {
		f.flag(path+"calibrated", v.Calibrated, noSource)
		for _, p := range v.Points {
			f.add(path+"points."+p.GasPercent.String(), number(p.ReadPercent), "% read of "+p.GasPercent.String()+" %, within tolerance: "+yesNo(p.OK).text, p.Source)
			if p.HumidPercent != nil {
				f.add(path+"points."+p.GasPercent.String()+".humid", number(*p.HumidPercent), "% that a sound sensor reads of it in humidified gas", p.Source)
			}
		}
		f.flag(path+"sealHeld", v.SealHeld, noSource)
		f.add(path+"notDone", joined(v.NotDone), "", noSource)
		f.add(path+"circuitDueOn", maybe(v.CircuitDueOn, func(d entry.Date) cell { return day(d, notCharted) }), "", noSource)
		f.flag(path+"probeCaution", v.ProbeCaution, noSource)
	})
}

// care is what was done, said and asked for.
func (f *facts) care(s *handover.Summary) {
	for _, c := range s.Cares {
		done := strings.TrimRight(strings.Join([]string{c.Side, c.State, c.Text}, " "), " ")
		f.add("cares."+c.What, text(strings.TrimSpace(done), "done"), fmt.Sprint(c.Window, " in the window"), c.Source)
	}
	for _, a := range s.Alarms {
		f.add("alarms."+a.About, text(alarmWords(a), "no more was charted"), "", a.Source)
		f.at("alarms."+a.About+".settledAt", a.SettledAt, a.Source)
	}
	if o := s.Outlook.Value; o != nil {
		f.text("outlook.severity", o.Severity, o.Source)
		for _, x := range o.IfThen {
			f.text("outlook.ifThen", "If "+x.If+", then "+x.Then, o.Source)
		}
		f.text("outlook.callFor", o.CallFor, o.Source)
	}
	f.notes(s.Notes, s.Tasks)
	for _, p := range s.Plans {
		f.add("plans."+p.What+suffix(p.Care), text(p.Every, notCharted), p.Reason, p.Source)
		f.at("plans."+p.What+suffix(p.Care)+".until", p.Until, p.Source)
	}
	for _, r := range s.Remarks {
		f.text("remarks", r.Why, handover.Source{Entry: r.Entry})
	}
	for _, t := range s.Thresholds {
		met := word("a value is missing or too old")
		if t.Met != nil {
			met = yesNo(*t.Met)
		}
		f.add("thresholds."+t.Name, met, t.Text+" ("+t.Source+")", noSource)
	}
	f.add("gaps", list(gapWords(s.Gaps), none), "", noSource)
}

func (f *facts) notes(notes []handover.Note, tasks []handover.Task) {
	for _, n := range notes {
		unit := ""
		if n.ReadOut {
			unit = "read out"
		}
		f.add("notes", text(n.Text, none), unit, n.Source)
	}
	for _, t := range tasks {
		f.text("tasks", t.Text, t.Source)
		f.at("tasks.dueAt", t.DueAt, t.Source)
	}
}

func suffix(care string) string {
	if care == "" {
		return ""
	}
	return "." + care
}

// alarmWords tell what was tried, in order, and what was found.
func alarmWords(a handover.Alarm) string {
	var out []string
	for _, t := range a.Tried {
		found := "not found"
		if t.Found {
			found = "found"
		}
		out = append(out, t.Cause+": "+found)
	}
	if a.Action != "" {
		out = append(out, a.Action)
	}
	return strings.Join(out, "; ")
}
