package sheets

import (
	"fmt"
	"strings"

	"cotline/handover"
)

// sentences are the facts that a line tells in words of its own, by path: lists
// whose items are told in one line each, and what needs a word beside the value.
var sentences map[string]func(*factLines, *handover.Summary, *handover.Fact)

func init() { // they call what calls them
	sentences = map[string]func(*factLines, *handover.Summary, *handover.Fact){
		"age.postmenstrual": postmenstrualLine,
		"silverman":         silvermanLine,
		"rotation.last":     lastRotationLine,
		"tubes":             tubeLines,
		"head.growthFrom":   growthFromLine,
		"bonnet.reasons":    reasonLines,
		"setup.points":      pointLines,
		"cares":             careLines,
		"alarms":            alarmLines,
		"outlook.ifThen":    ifThenLines,
		"notes":             func(f *factLines, s *handover.Summary, _ *handover.Fact) { f.notes(s.Notes) },
		"tasks":             func(f *factLines, s *handover.Summary, _ *handover.Fact) { f.tasks(s.Tasks) },
		"plans":             planLines,
		"remarks":           remarkLines,
		"thresholds":        thresholdLines,
		"gaps":              gapLine,
		"attention":         attentionLines,
		"next":              nextLines,
		"old":               oldLines,
		"doubts":            doubtLines,
		"safety":            safetyLines,
		"told":              toldLines,
		"notComputed":       notComputedLines,
	}
}

var noSource handover.Source

func postmenstrualLine(f *factLines, s *handover.Summary, x *handover.Fact) {
	about := ""
	if s.Age.About {
		about = "about "
	}
	f.add(x.Path, text(about+s.Age.Postmenstrual, notCharted), x.Remark, x.Source)
}

// silvermanLine tells a score that is left out under its total.
func silvermanLine(f *factLines, s *handover.Summary, x *handover.Fact) {
	if x.State == handover.Charted {
		f.plain(s, x)
	} else if x.State == handover.NotCharted || x.Why != "" {
		f.add(x.Path+".total", word(stateWords(x)), "", noSource)
	}
}

func lastRotationLine(f *factLines, s *handover.Summary, x *handover.Fact) {
	if last := s.Rotation.Value.Last; last != nil {
		remark := "" // a handover that was signed before this was told lacks it
		if !last.FromSince.IsZero() {
			remark = fmt.Sprintf("%s from %s to %s", last.From, f.stamp(last.FromSince), f.stamp(last.FromUntil))
		}
		f.add(x.Path, text(last.From+" to "+last.To, none), remark, last.Source)
	} else {
		f.add(x.Path, word(none), "not yet in this spell", noSource)
	}
}

func tubeLines(f *factLines, s *handover.Summary, x *handover.Fact) {
	if x.State == handover.Charted && len(x.Items) == 0 {
		f.add(x.Path, word("none in"), "", noSource)
	} else {
		f.plain(s, x)
	}
}

func growthFromLine(f *factLines, s *handover.Summary, x *handover.Fact) {
	from := s.Head.Value.Growth.From
	f.add(x.Path, number(from.Value), x.Parts[0].Remark, from.Source)
}

func reasonLines(f *factLines, s *handover.Summary, x *handover.Fact) {
	for _, r := range s.Bonnet.Value.Reasons {
		f.add(x.Path+"."+r.Reason, day(r.On, doesNotApply), "", handover.Source{Entry: r.Entry})
	}
}

func pointLines(f *factLines, s *handover.Summary, x *handover.Fact) {
	for _, p := range s.Setup.Value.Points {
		gas := p.GasPercent.String()
		f.add(x.Path+"."+gas, number(p.ReadPercent), "% read of "+gas+" %, within tolerance: "+yesNo(p.OK).text, p.Source)
		if p.HumidPercent != nil {
			f.add(x.Path+"."+gas+".humid", number(*p.HumidPercent), "% that a sound sensor reads of it in humidified gas", p.Source)
		}
	}
}

func careLines(f *factLines, s *handover.Summary, x *handover.Fact) {
	for _, c := range s.Cares {
		done := strings.TrimRight(strings.Join([]string{c.Side, c.State, c.Text}, " "), " ")
		f.add(x.Path+"."+c.What, text(strings.TrimSpace(done), "done"), fmt.Sprint(c.Window, " in the window"), c.Source)
		f.text(x.Path+"."+c.What+".amount", c.Amount, c.Source)
		f.text(x.Path+"."+c.What+".look", c.Look, c.Source)
	}
}

func alarmLines(f *factLines, s *handover.Summary, x *handover.Fact) {
	for _, a := range s.Alarms {
		f.add(x.Path+"."+a.About, text(alarmWords(a), "no more was charted"), "", a.Source)
		f.at(x.Path+"."+a.About+".settledAt", a.SettledAt, a.Source)
	}
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

func ifThenLines(f *factLines, s *handover.Summary, x *handover.Fact) {
	for _, y := range s.Outlook.Value.IfThen {
		f.text(x.Path, "If "+y.If+", then "+y.Then, x.Source)
	}
}

func (f *factLines) notes(notes []handover.Note) {
	for _, n := range notes {
		remark := ""
		if n.ReadOut {
			remark = "read out"
		}
		f.add("notes", text(n.Text, none), remark, n.Source)
	}
}

func (f *factLines) tasks(tasks []handover.Task) {
	for _, t := range tasks {
		f.text("tasks", t.Text, t.Source)
		f.at("tasks.dueAt", t.DueAt, t.Source)
	}
}

func planLines(f *factLines, s *handover.Summary, x *handover.Fact) {
	for _, p := range s.Plans {
		path := x.Path + "." + p.What
		if p.Care != "" {
			path += "." + p.Care
		}
		f.add(path, text(p.Every, notCharted), p.Reason, p.Source)
		f.at(path+".until", p.Until, p.Source)
	}
}

func remarkLines(f *factLines, s *handover.Summary, x *handover.Fact) {
	for _, r := range s.Remarks {
		f.text(x.Path, r.Why, handover.Source{Entry: r.Entry})
	}
}

func thresholdLines(f *factLines, s *handover.Summary, x *handover.Fact) {
	for _, t := range s.Thresholds {
		met := word("a value is missing or too old")
		if t.Met != nil {
			met = yesNo(*t.Met)
		}
		f.add(x.Path+"."+t.Name, met, t.Text+" ("+t.Source+")", noSource)
	}
}

func gapLine(f *factLines, s *handover.Summary, x *handover.Fact) {
	f.add(x.Path, list(gapWords(s.Gaps), none), "", noSource)
}
