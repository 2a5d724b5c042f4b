package sheets

import (
	"fmt"
	"strings"

	"cotline/handover"
	"cotline/handover/entry"
)

const (
	triesAsked    = 4
	ifThensAsked  = 3
	othersHead    = "others"
	saysOfASite   = "ok, or finding, more; note"
	saysOfATry    = "cause and whether it was it, as tubing off: found, or mouth open: not found"
	saysOfAllRest = "yes: every site without an entry of its own in this row was seen and is intact"
)

// fieldInputs are the columns of a field: one, or of a nested one a column a part, so that no cell holds more than one
// thing. What the parts are comes from the kinds and from the unit's own lists.
func fieldInputs(k *entry.Kind, s entry.Spec, p *handover.Policy) []input {
	part := func(of entry.Spec, key, label, note string) input {
		i := inputOf(of, note)
		i.name, i.label = s.Name+"."+key, label
		return i
	}
	var out []input
	switch {
	case s.Type == entry.Object:
		for _, of := range s.Of {
			out = append(out, part(of, of.Name, s.Label+": "+headOf(of), noteOf(k, of)))
		}
	case s.Name == "sites":
		site := entry.Spec{Type: entry.Text, Longest: line200}
		for _, name := range entry.Sites {
			i := part(site, name, siteHead(name), saysOfASite)
			i.words = append([]string{"ok"}, entry.Findings...)
			out = append(out, i)
		}
		i := part(site, othersHead, "All others intact", saysOfAllRest)
		i.words = []string{"yes"}
		out = append(out, i)
	case s.Name == "points":
		for _, gas := range p.SensorPoints {
			out = append(out, part(s.Of[1], gas.String(), fmt.Sprintf("Read in %s %% oxygen (%%)", gas), noteOf(k, s.Of[1])))
		}
	case s.Name == "tried":
		for n := range triesAsked {
			out = append(out, part(entry.Spec{Type: entry.Text, Longest: line200}, fmt.Sprint(n+1), fmt.Sprintf("Tried, %d", n+1),
				saysOfATry))
		}
	case s.Name == "ifThen":
		for n := range ifThensAsked {
			for _, of := range s.Of {
				out = append(out, part(of, fmt.Sprintf("%d.%s", n+1, of.Name), fmt.Sprintf("%s, %d", of.Label, n+1), noteOf(k, of)))
			}
		}
	case s.Type == entry.List && len(s.Of) == 2 && s.Of[1].Type == entry.Flag: // the unit's own list, ticked off
		names := p.Setup
		if s.Of[0].List == "safety" {
			names = p.Checks
		}
		for _, name := range names {
			out = append(out, part(s.Of[1], name, s.Of[1].Label+": "+name, "choose; empty: not looked at"))
		}
	default:
		out = append(out, inputOf(s, noteOf(k, s)))
	}
	return out
}

// roundKinds are what one row of the round sheet may say, what stands before the labels of each, and the fields that it
// asks for; none: all of them.
var roundKinds = []struct {
	kind, before string
	fields       []string
}{
	{"observations", "", nil}, {"settings", "", nil}, {"interface", "Interface: ", nil}, {"skin", "Skin: ", nil},
	{"tube", "Tube: ", []string{"action", "markCm", "route", "sizeFr", "ph", "aspirate", "aspirateMl", "aspirateLook", "use", "xray"}},
	{"humidifier", "Humidifier: ", nil}, {"care", "Care: ", nil}, {"setup", "Set-up: ", nil}, {"calibration", "Sensor: ", nil},
	{"seal", "Seal: ", nil}, {"safety", "Safety: ", nil}, {"alarm", "Alarm: ", nil}, {"outlook", "Outlook: ", nil}, {"weight", "", nil},
	{"head", "", nil}, {"note", "Note: ", nil},
}

const (
	roundName  = "Round"
	roundWidth = 11
)

// roundSheet is one infant's round a row: who, when and by whom once, and a column for each thing.
func roundSheet(p *handover.Policy) formSheet {
	common := commonSpecs()
	common["infant"] = entry.Spec{Name: "infant", Label: "Infant", Type: entry.Text, Longest: line200}
	switchSpec := entry.Spec{Name: "written", Label: "Written down", Type: entry.Text, Longest: line200}
	columns := []input{
		inputOf(common["infant"], "required; choose from the list of sheet Infants, or the record's key"),
		inputOf(common["at"], "required; date and time by the clock in "+p.Zone.String()+", as 2026-03-09 07:30"),
		inputOf(common["by"], "required; staff key"),
		inputOf(switchSpec, "as it happened, or copied later: said once, it holds for the rows below too; at first: copied later"),
	}
	columns[3].words = []string{"as it happened", "copied later"}
	columns[0].width = 30
	for _, of := range roundKinds {
		k, ok := entry.KindOf(of.kind)
		if !ok {
			continue
		}
		for _, in := range roundInputs(k, of.fields, p) {
			in.name = k.Name + "." + in.name
			in.label = of.before + in.label
			if rest, ok := strings.CutPrefix(in.note, "required"); ok && !strings.HasPrefix(rest, " when") {
				in.note = "needed with anything else of it" + rest // the row may leave the whole of it out
			}
			in.width = max(roundWidth, longestPiece(in.label)+1)
			in.narrow = true
			columns = append(columns, in)
		}
	}
	id := inputOf(common["id"], "ready: leave it as it is")
	id.ready, id.width = true, 36
	return formSheet{name: roundName, key: "round", columns: append(columns, id),
		title: "Round: a row is one infant's round; what is empty was not seen, set or done"}
}

func roundInputs(k *entry.Kind, fields []string, p *handover.Policy) []input {
	var out []input
	if k.Name == "care" { // each care has a column, and its cell says how
		for _, what := range p.AllCares() {
			i := inputOf(entry.Spec{Type: entry.Text, Longest: line200}, "x, or how; text")
			i.name, i.label = "what."+what, strings.ReplaceAll(what, "-", " ")
			out = append(out, i)
		}
		return out
	}
	specs := k.Fields
	if fields != nil {
		specs = nil
		for _, f := range fields {
			if s, ok := k.Spec(f); ok {
				specs = append(specs, *s)
			}
		}
	}
	for _, s := range specs {
		if k.Name == "tube" && s.Name == "action" {
			s.Help, s.Required = "empty: checked", false
		}
		out = append(out, fieldInputs(k, s, p)...)
	}
	return out
}
