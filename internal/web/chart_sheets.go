package web

import (
	"slices"
	"strconv"
	"strings"

	"cotline/handover/entry"
	"cotline/internal/web/words"
)

// sheet is a page to chart with: of one kind, or a round that charts what belongs together.
type sheet struct {
	name, title, says string
	newInfant         bool // it admits
	parts             func(*charting) []*sheetPart
}

// rounds chart what belongs together, for one infant.
func rounds() []*sheet {
	return []*sheet{
		{name: "round", title: words.Say("Round"), says: words.Say("observations, settings, interface"), parts: routineRound},
		{name: "face", title: words.Say("Change of interface"), says: words.Say("what is on the face, and the skin"), parts: faceRound},
		{name: "gastric-tube", title: words.Say("Gastric tube"), says: words.Say("mark, pH, aspirate"), parts: tubeRound},
		{name: "measure", title: words.Say("Weekly measuring"), says: words.Say("head, weight, bonnet"), parts: measureRound},
		{name: "set-up", title: words.Say("Set-up"), says: words.Say("circuit, steps, oxygen sensor, seal"), parts: setupRound},
		{name: "safety-check", title: words.Say("Safety check"), says: words.Say("of this shift, at the cot"), parts: safetyRound},
		{name: "alarm-now", title: words.Say("Alarm"), says: words.Say("causes to try, and what was found"), parts: alarmRound},
	}
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
	return slices.Concat(rounds(), plainSheets(true))
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
	observations := partOf("observations").saying(words.Say("Observations")).
		showing(true, "spo2Percent", "heartRateBpm", "respRateBpm", "axillaryC",
			"pressureCmH2O", "fio2Percent")
	settings := partOf("settings").
		saying(words.Say("Settings"), words.Say("What is set and prescribed. A field left empty stays as it was."))
	var applies []string
	for _, s := range c.summary.Settings {
		applies = append(applies, s.Field)
	}
	settings.showing(true, applies...)
	settings.before, settings.last = c.settingsBefore(), c.lastSettings()
	if len(applies) == 0 { // no support
		settings = nil
	}
	face := partOf("interface").saying(words.Say("On the face"), words.Say("To put on another, use Change of interface.")).
		showing(false, "fit", "clear")
	face.before = c.interfaceBefore()
	if face.before == nil {
		face = nil
	}
	humidifier := partOf("humidifier").saying(words.Say("Humidifier")).showing(true, "chamberC", "water")
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
			out["settings."+s.Field] = words.Say("not charted")
		default:
			out["settings."+s.Field] = words.Say("last %s %s, %s", s.Fact.Value.String(), spec.Unit, age(s.Fact.At, c.now))
		}
	}
	return out
}

func faceRound(c *charting) []*sheetPart {
	face := partOf("interface").saying(words.Say("What is on the face now"))
	face.own = onFace{}
	return []*sheetPart{skinPart(), face}
}

func tubeRound(c *charting) []*sheetPart {
	p := partOf("tube").saying(words.Say("Gastric tube"), words.Say("Looked and none in: choose none."))
	if c.summary.Tubes.Value != nil {
		for _, t := range *c.summary.Tubes.Value {
			tube, mark, reference := t.Route, t.MarkCm.String(), t.ReferenceMarkCm.String()
			if t.SizeFr.Value != nil {
				tube = words.Say("%s, %s Fr", tube, t.SizeFr.Value.String())
			}
			said := words.Say("In now, for %s: %s; mark %s cm, %s; reference mark %s cm.", t.Use, tube, mark, age(t.At, c.now), reference)
			if x := t.EstimateCm.Value; x != nil {
				said = words.Say(
					"In now, for %s: %s; mark %s cm, %s; reference mark %s cm; estimate by weight %s cm (a prompt, not an order).",
					t.Use, tube, mark, age(t.At, c.now), reference, x.String())
			}
			p.intro = append(p.intro, said)
		}
	}
	return []*sheetPart{p}
}

func measureRound(c *charting) []*sheetPart {
	head := partOf("head").
		saying(words.Say("Head"), words.Say("Round the widest part: above the eyebrows, round the back of the head."))
	weight := partOf("weight").saying(words.Say("Weight"))
	bonnet := partOf("bonnet").saying(words.Say("Bonnet"))
	if h := c.summary.Head.Value; h != nil {
		head.intro = append(head.intro, words.Say("Last: %s cm, %s.", h.CircumferenceCm.String(), age(h.At, c.now)))
	}
	if w := c.summary.Weight.Value; w != nil {
		weight.intro = append(weight.intro, words.Say("Last: %s g, %s.", w.WeightG.String(), age(w.At, c.now)))
	}
	if b := c.summary.Bonnet.Value; b != nil && b.Size.Value != nil {
		bonnet.intro = append(bonnet.intro, words.Say("On now: size %s.", *b.Size.Value))
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
		partOf("circuit").saying(words.Say("Circuit"), words.Say("Fitted now, or found soiled or faulty.")),
		partOf("setup").saying(words.Say("Steps"), words.Say("The unit's own, in order.")),
		partOf("humidifier").saying(words.Say("Humidifier")),
		partOf("calibration").saying(words.Say("Oxygen sensor"),
			words.Say("Expose it to each gas, wait until it is steady, and read it: %s.", strings.Join(points, " "+words.Say("and")+" "))),
		partOf("seal").saying(words.Say("Seal"), words.Say("Close the end of the circuit before use: does it hold the pressure?")),
	)
}

func numbered(all ...*sheetPart) []*sheetPart {
	for i, p := range all {
		p.title = strconv.Itoa(i+1) + ". " + p.title
	}
	return all
}

func safetyRound(c *charting) []*sheetPart {
	p := partOf("safety").saying(words.Say("At the cot"), words.Say("Look at each one, then say whether it is all right."))
	if len(c.policy.Checks) == 0 {
		p.intro = []string{words.Say("The unit's policy has no list for this check.")}
	}
	return []*sheetPart{p}
}

func alarmRound(c *charting) []*sheetPart {
	p := partOf("alarm").saying(words.Say("Alarm"), words.Say("The infant first. Then try causes in order, until one is found."))
	p.own = causes{}
	return []*sheetPart{p}
}
