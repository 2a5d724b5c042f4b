package web

import (
	"slices"
	"strconv"
	"strings"

	"cotline/handover/entry"
)

// sheet is a page to chart with: of one kind, or a round that charts what belongs together.
type sheet struct {
	name, title, says string
	newInfant         bool // it admits
	parts             func(*charting) []*sheetPart
}

// rounds chart what belongs together, for one infant.
var rounds = []*sheet{
	{name: "round", title: "Round", says: "observations, settings, interface", parts: routineRound},
	{name: "face", title: "Change of interface", says: "what is on the face, and the skin", parts: faceRound},
	{name: "gastric-tube", title: "Gastric tube", says: "mark, pH, aspirate", parts: tubeRound},
	{name: "measure", title: "Weekly measuring", says: "head, weight, bonnet", parts: measureRound},
	{name: "set-up", title: "Set-up", says: "circuit, steps, oxygen sensor, seal", parts: setupRound},
	{name: "safety-check", title: "Safety check", says: "of this shift, at the cot", parts: safetyRound},
	{name: "alarm-now", title: "Alarm", says: "causes to try, and what was found", parts: alarmRound},
}

// roundAlone are kinds for which a round asks all that their own page does, and more
// besides: the menu leads to the round.
var roundAlone = []string{"tube", "safety", "alarm"}

// signing are kinds that have pages of their own: nobody signs or amends on a plain form.
var signing = []string{"handover", "acceptance", "correction", "retraction"}

// plainSheets are a sheet a kind: of an infant, or of the whole unit.
func plainSheets(infant bool) (out []*sheet) {
	for i := range entry.Kinds {
		k := &entry.Kinds[i]
		admits := k.Name == "admission"
		if slices.Contains(signing, k.Name) || infant && admits || !infant && k.Ward == entry.OfInfant && !admits {
			continue
		}
		out = append(out, &sheet{name: k.Name, title: k.Label, says: k.Help, newInfant: admits,
			parts: func(*charting) []*sheetPart { return []*sheetPart{partOf(k.Name)} }})
	}
	return out
}

// sheetsOf are all sheets of an infant, or with an empty key of the unit.
func sheetsOf(infant string) []*sheet {
	if infant == "" {
		return plainSheets(false)
	}
	return slices.Concat(rounds, plainSheets(true))
}

func sheetOf(name, infant string) *sheet {
	all := sheetsOf(infant)
	if i := slices.IndexFunc(all, func(s *sheet) bool { return s.name == name }); i >= 0 {
		return all[i]
	}
	return nil
}

// routineRound is what is looked at each hour. What is measured starts empty.
func routineRound(c *charting) []*sheetPart {
	observations := partOf(
		"observations",
	).saying("Observations").
		showing(true, "spo2Percent", "heartRateBpm", "respRateBpm", "axillaryC",
			"pressureCmH2O", "fio2Percent")
	settings := partOf("settings").saying("Settings", "What is set and prescribed. A field left empty stays as it was.")
	var applies []string
	for _, s := range c.summary.Settings {
		applies = append(applies, s.Field)
	}
	settings.showing(true, applies...)
	settings.before, settings.last = c.settingsBefore(), c.lastSettings()
	if len(applies) == 0 { // no support
		settings = nil
	}
	face := partOf("interface").saying("On the face", "To put on another, use Change of interface.").showing(false, "fit", "clear")
	face.before = c.interfaceBefore()
	if face.before == nil {
		face = nil
	}
	humidifier := partOf("humidifier").saying("Humidifier").showing(true, "chamberC", "water")
	if !c.summary.Humidifier.Applies {
		humidifier = nil
	}
	return parts(observations, settings, face, humidifier)
}

// parts leaves out what does not apply.
func parts(all ...*sheetPart) []*sheetPart {
	return slices.DeleteFunc(all, func(p *sheetPart) bool { return p == nil })
}

// lastSettings tells beside each field what was set last.
func (c *charting) lastSettings() map[string]string {
	out := map[string]string{}
	k, _ := entry.KindOf("settings")
	for _, s := range c.summary.Settings {
		spec, ok := k.Spec(s.Field)
		switch {
		case !ok:
		case s.Fact == nil:
			out["settings."+s.Field] = "not charted"
		default:
			out["settings."+s.Field] = "last " + s.Fact.Value.String() + " " + spec.Unit + ", " + age(s.Fact.At, c.now)
		}
	}
	return out
}

func faceRound(c *charting) []*sheetPart {
	face := partOf("interface").saying("What is on the face now")
	face.own = onFace{}
	return []*sheetPart{skinPart(), face}
}

func tubeRound(c *charting) []*sheetPart {
	p := partOf("tube").saying("Gastric tube", "Looked and none in: choose none.")
	if c.summary.Tubes.Value != nil {
		for _, t := range *c.summary.Tubes.Value {
			said := "In now, for " + t.Use + ": " + t.Route
			if t.SizeFr.Value != nil {
				said += ", " + t.SizeFr.Value.String() + " Fr"
			}
			said += "; mark " + t.MarkCm.String() + " cm, " + age(
				t.At,
				c.now,
			) + "; reference mark " + t.ReferenceMarkCm.String() + " cm"
			if t.EstimateCm.Value != nil {
				said += "; estimate by weight " + t.EstimateCm.Value.String() + " cm (a prompt, not an order)"
			}
			p.intro = append(p.intro, said+".")
		}
	}
	return []*sheetPart{p}
}

func measureRound(c *charting) []*sheetPart {
	head := partOf("head").saying("Head", "Round the widest part: above the eyebrows, round the back of the head.")
	weight := partOf("weight").saying("Weight")
	bonnet := partOf("bonnet").saying("Bonnet")
	if h := c.summary.Head.Value; h != nil {
		head.intro = append(head.intro, "Last: "+h.CircumferenceCm.String()+" cm, "+age(h.At, c.now)+".")
	}
	if w := c.summary.Weight.Value; w != nil {
		weight.intro = append(weight.intro, "Last: "+w.WeightG.String()+" g, "+age(w.At, c.now)+".")
	}
	if b := c.summary.Bonnet.Value; b != nil && b.Size.Value != nil {
		bonnet.intro = append(bonnet.intro, "On now: size "+*b.Size.Value+".")
	}
	return []*sheetPart{head, weight, bonnet}
}

// setupRound is in the order in which a circuit is set up.
func setupRound(c *charting) []*sheetPart {
	var points []string
	for _, p := range c.policy.SensorPoints {
		points = append(points, p.String()+" %")
	}
	return numbered(
		partOf("circuit").saying("Circuit", "Fitted now, or found soiled or faulty."),
		partOf("setup").saying("Steps", "The unit's own, in order."),
		partOf("humidifier").saying("Humidifier"),
		partOf(
			"calibration",
		).saying("Oxygen sensor", "Expose it to each gas, wait until it is steady, and read it: "+strings.Join(points, " and ")+"."),
		partOf("seal").saying("Seal", "Close the end of the circuit before use: does it hold the pressure?"),
	)
}

func numbered(all ...*sheetPart) []*sheetPart {
	for i, p := range all {
		p.title = strconv.Itoa(i+1) + ". " + p.title
	}
	return all
}

func safetyRound(c *charting) []*sheetPart {
	p := partOf("safety").saying("At the cot", "Look at each one, then say whether it is all right.")
	if len(c.policy.Checks) == 0 {
		p.intro = []string{"The unit's policy has no list for this check."}
	}
	return []*sheetPart{p}
}

func alarmRound(c *charting) []*sheetPart {
	p := partOf("alarm").saying("Alarm", "The infant first. Then try causes in order, until one is found.")
	p.own = causes{}
	return []*sheetPart{p}
}
