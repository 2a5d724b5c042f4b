package sheets

import (
	"slices"
	"strings"

	"cotline/handover"
	"cotline/handover/entry"
)

// input is a column of a form.
type input struct {
	spec  entry.Spec
	name  string // its header, which cotline chart reads
	label string
	note  string
	words []string // to choose from, where the description has none; others are taken too
	show  show
	ready bool // filled in already
	width int
	// narrow: its name may go over lines.
	narrow bool
}

// inputOf is the column of a field.
func inputOf(s entry.Spec, note string) input {
	i := input{spec: s, name: s.Name, label: headOf(s), note: note, width: noteWidth}
	switch s.Type {
	case entry.Number, entry.Whole, entry.Flag:
		i.show = showWord
	case entry.Instant:
		i.show = showMoment
	case entry.Birth:
		i.show = showDay
	default:
		i.show = showText
		if s.Longest > line200 || s.Type == entry.PerInfant || s.Type == entry.EntryType {
			i.width = textWidth
		}
	}
	return i
}

// inputs are a kind's columns: who, when and by whom, its fields, when charted, and what is ready.
func inputs(k *entry.Kind, p *handover.Policy) []input {
	common := commonSpecs()
	var out []input
	if k.Ward != entry.OfUnit {
		note := "required; choose, or the record's key of the infant"
		if k.Ward == entry.OfEither {
			note = "the record's key of the infant; empty: the whole unit"
		}
		out = append(out, inputOf(common["infant"], note))
	}
	out = append(out, inputOf(common["at"], "required; date and time by the clock in "+p.Zone.String()+", as 2026-03-09 07:30"),
		inputOf(common["by"], "required; staff key"))
	for _, s := range k.Fields {
		out = append(out, fieldInputs(k, s, p)...)
	}
	out = append(out, inputOf(common["charted"], "when it was written down; empty: when it is taken"))
	for _, name := range []string{"kind", "id"} {
		out = append(out, inputOf(common[name], "ready: leave it as it is"))
		out[len(out)-1].ready = true
	}
	out[len(out)-1].width = 36
	return out
}

func commonSpecs() map[string]entry.Spec {
	out := map[string]entry.Spec{}
	for _, s := range entry.Common {
		out[s.Name] = s
	}
	return out
}

const line200 = 200 // characters of a short text

// noteOf says what a field takes: whether it must be there, unit and range, and its form.
func noteOf(k *entry.Kind, s entry.Spec) string {
	var out []string
	switch {
	case s.Required:
		out = append(out, "required")
	case s.When.Field != "":
		out = append(out, "required when "+s.When.Field+" is "+strings.Join(s.When.Is, " or "))
	case slices.Contains(k.OneOf, s.Name):
		out = append(out, "exactly one of "+strings.Join(k.OneOf, ", "))
	}
	switch s.Type {
	case entry.Number:
		out = append(out, strings.TrimSpace(s.Min+" to "+s.Max+" "+s.Unit))
	case entry.Whole:
		out = append(out, strings.TrimSpace("whole number, "+s.Min+" to "+s.Max+" "+s.Unit))
	case entry.Word, entry.Flag:
		out = append(out, "choose")
	case entry.Instant:
		out = append(out, "date and time")
	case entry.Birth:
		out = append(out, "a day; with its time as 2026-03-09T07:30:00+01:00")
	case entry.Gestation:
		out = append(out, `weeks+days, as 26+3, or weeks`)
	case entry.Interval:
		out = append(out, "as 90m, 4h, 1h30m or 7d")
	case entry.Reference:
		out = append(out, "the id of the entry")
	case entry.List:
		out = append(out, strings.TrimSuffix("with commas between: "+strings.Join(s.Words, ", "), ": "))
	case entry.PerInfant:
		out = append(out, "by infant, as in-01: pressure, fio2; in-02: skin. Words: "+strings.Join(s.Words, ", "))
	case entry.EntryType:
		out = append(out, "the whole entry, as kind: settings; at: 2026-03-09 07:30; pressureCmH2O: 5.0")
	}
	if s.Help != "" {
		out = append(out, s.Help)
	}
	return strings.Join(out, "; ")
}
