package sheets

import (
	"slices"
	"strings"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// described is a column as the dictionary tells it.
type described struct{ file, column, meaning, unit, kind string }

// dictionary is a row a column of every table, its own too.
func dictionary(zone *time.Location, tables []sheet) sheet {
	var rows []described
	all := func(yield func(described) bool) { slices.Values(rows)(yield) }
	s := table("Dictionary", "", all, func(d described) string { return d.column },
		column[described]{"File", 0, func(d described) cell { return text(d.file, none) }},
		column[described]{"Column", 0, func(d described) cell { return text(d.column, none) }},
		column[described]{"Meaning", 0, func(d described) cell { return text(d.meaning, none) }},
		column[described]{"Unit", 0, func(d described) cell { return text(d.unit, none) }},
		column[described]{"Type", 0, func(d described) cell { return text(d.kind, none) }},
	)
	for _, t := range append(slices.Clone(tables), s) {
		fields := fieldMeanings(t.name)
		for _, head := range t.heads {
			d := meaningOf(t.name, head, zone, fields)
			d.file, d.column = fileOf(t.name), head
			rows = append(rows, d)
		}
	}
	return s
}

// meaningOf finds a column among the fields of its sheet's kinds, or among this package's own.
func meaningOf(sheet, head string, zone *time.Location, fields map[string]described) described {
	if d, ok := fields[head]; ok {
		return d
	}
	if moment, ok := strings.CutSuffix(head, ", offset from UTC"); ok {
		return described{meaning: "the offset of: " + moment, kind: "offset"}
	}
	name, timed := strings.CutSuffix(head, " ("+zone.String()+")")
	d, ok := meanings[sheet+"."+name]
	if !ok {
		d = meanings[name]
	}
	if timed && d.kind == "" {
		d.kind = "moment in " + zone.String()
	}
	return d
}

// fieldMeanings are the columns of a sheet that come from the table of kinds, by header.
func fieldMeanings(sheet string) map[string]described {
	out := map[string]described{}
	if sheet == handoverName || sheet == moreName {
		if k, ok := entry.KindOf("settings"); ok {
			describeFields(out, k, "", "", k.Fields)
		}
	}
	i := slices.IndexFunc(histories, func(h history) bool { return h.sheet == sheet })
	if i < 0 {
		return out
	}
	for _, name := range histories[i].kinds {
		k, ok := entry.KindOf(name)
		if !ok {
			continue
		}
		fields := k.Fields
		if s, ok := k.Spec(histories[i].each); ok {
			fields = s.Of
		}
		for j := range fields {
			describeFields(out, k, prefix(k, &fields[j], len(histories[i].kinds) > 1), "", fields[j:j+1])
		}
	}
	return out
}

// describeFields tells fields under the headers that fieldColumn gives them.
func describeFields(out map[string]described, k *entry.Kind, prefix, of string, fields []entry.Spec) {
	for _, s := range fields {
		if s.Type == entry.Object {
			describeFields(out, k, prefix+s.Label+": ", s.Label+": ", s.Of)
			continue
		}
		meaning := of + s.Label
		if meaning != k.Label {
			meaning = k.Label + ": " + meaning
		}
		if s.Help != "" {
			meaning += "; " + s.Help
		}
		out[prefix+headOf(s)] = described{meaning: meaning, unit: s.Unit, kind: typeWords(s)}
	}
}

// typeWords tells what a field may hold.
func typeWords(s entry.Spec) string {
	words := map[entry.Type]string{
		entry.Text: "text", entry.Word: "word", entry.Number: "number", entry.Whole: "whole number",
		entry.Flag:    "yes or no",
		entry.Instant: "text: a moment as charted", entry.Birth: "text: a moment or a day as charted", entry.Key: "identifier",
		entry.Reference: "identifier", entry.Gestation: "text: weeks+days", entry.Interval: "text: an interval",
		entry.List: "text: a list",
	}[s.Type]
	switch {
	case len(s.Words) > 0:
		words += ": " + strings.Join(s.Words, ", ")
	case s.Min != "":
		words += ", " + s.Min + " to " + s.Max
	}
	return words
}

// meanings are this package's own columns, by header, or by sheet and header where one header means two things; zones
// are left out.
var meanings = map[string]described{
	"Cot":                       {meaning: "where the infant lies; never an identifier by itself", kind: "text"},
	"Hospital number":           {meaning: "the hospital's number of the infant", kind: "identifier"},
	"Temporary label":           {meaning: "the unit's own label until there is a hospital number", kind: "identifier"},
	"Hospital number, or label": {meaning: "the hospital's number, or else the unit's own label", kind: "identifier"},
	"Name":                      {meaning: "family name, given name, and the former name for 7 days", kind: "text"},
	"Infant's key":              {meaning: "the record's own key of the infant", kind: "identifier"},
	"By":                        {meaning: "who charted it, or the correction that holds", kind: "identifier"},
	"Entry":                     {meaning: "the id of the entry it comes from", kind: "identifier"},
	"Happened":                  {meaning: "when it happened"},
	"Charted":                   {meaning: "when it was written down"},
	"Corrected":                 {meaning: "when the correction that holds was written down"},
	"Kind":                      {meaning: "the kind of entry", kind: "word"},
	"Path":                      {meaning: "the fact's place in the handover's JSON form", kind: "text"},

	"Handover.Mode": {
		meaning: "mode of support, of two pressures with the upper; off with the reason, or never on support",
		kind:    "text",
	},
	"Handover.Interface, size":    {meaning: "what is on the face, and its size", kind: "text"},
	"Handover, more.Rotation due": {meaning: "when mask and prongs are to be alternated"},
	"Handover.Skin, worst": {meaning: "the worst of the latest findings, and its site; the order of findings is for sorting only",
		kind: "text"},
	"Handover.Outlook": {meaning: "as charted, never computed", kind: "word"},
	"Handover.Tube mark (cm)": {
		meaning: "mark of the feeding tube; of several tubes, each by its use",
		unit:    "cm",
		kind:    "number, or text",
	},
	"Handover.Reference mark (cm)": {meaning: "the mark it was placed at", unit: "cm", kind: "number, or text"},
	"Handover.Tube moved": {
		meaning: "MOVED, or no: whether the mark is off the reference by more than the policy's limit",
		kind:    "word",
	},
	"Handover.Next due":           {meaning: "what falls due next, and when", kind: "text"},
	"Handover, more.Gastric tube": {meaning: "each tube that is in, with its mark and the reference mark", kind: "text: a list"},
	"Handover, more.Head (cm)": {meaning: "latest head circumference", unit: handover.FieldOf("head", "circumferenceCm").Unit,
		kind: "number"},
	"Handover, more.Bonnet due":      {meaning: "when head and bonnet are to be looked at", kind: "day"},
	"Handover, more.Humidifier":      {meaning: "state of the heated humidifier", kind: "word"},
	"Handover, more.Due and overdue": {meaning: "what is due, overdue or deferred at the moment", kind: "text: a list"},
	"Handover.Look first": {
		meaning: "what needs a person now, each thing after !!, then what is to be known",
		kind:    "text: a list",
	},
	"Handover, more.Look-alikes": {meaning: "infants who could be mistaken for this one, and why", kind: "text: a list"},
	"Handover, more.Conflicts":   {meaning: "what two infants cannot share", kind: "text: a list"},
	"Handover, more.Not charted": {meaning: "what applies and nobody charted", kind: "text: a list"},

	"Due.What":           {meaning: "what is due", kind: "word"},
	"Due.State":          {meaning: "overdue, due, next (within the hours that the policy says), or deferred", kind: "word"},
	"Due.Due":            {meaning: "when it is due", kind: "moment, or day"},
	"Due.Overdue from":   {meaning: "from when it is overdue"},
	"Due.Deferred until": {meaning: "until when a nurse deferred it"},
	"Due.Care or task":   {meaning: "which care, or the text of the task", kind: "text"},
	"Due.Every":          {meaning: "the interval it is counted by", kind: "text: an interval"},
	"Due.Interval by":    {meaning: "whose interval it is: the unit's policy or the infant's plan", kind: "text"},
	"Due.Why":            {meaning: "what it is about; of a deferral, its reason", kind: "text"},
	"Due.Task":           {meaning: "the id of the task's entry", kind: "identifier"},

	"Changes.Fact": {meaning: "what is otherwise than at the last handover", kind: "text"},
	"Changes.From": {meaning: "what it was", kind: "number, yes or no, or text"},
	"Changes.To":   {meaning: "what it is", kind: "number, yes or no, or text"},
	"Changes.Why":  {meaning: "how it came about", kind: "word"},

	"Facts.Fact":           {meaning: "which fact, in words", kind: "text"},
	"Facts.Value":          {meaning: "the fact", kind: "number, moment, day, yes or no, or text"},
	"Facts.Unit or remark": {meaning: "the unit of the value, or a remark on it", kind: "text"},

	"Interfaces.Type":     {meaning: "what was on the face", kind: "word"},
	"Interfaces.Size":     {meaning: "its size, as the unit calls it", kind: "text"},
	"Interfaces.On from":  {meaning: "when it was put on, or support started again with it"},
	"Interfaces.On until": {meaning: "when the period ended"},
	"Interfaces.Hours on support": {meaning: "hours of the period within spells of support, breaks left out, up to the moment",
		unit: "h", kind: "number"},
	"Interfaces.Ended by":             {meaning: "what ended the period", kind: "text"},
	"Interfaces.Reason it was put on": {meaning: "the reason as charted", kind: "word"},

	"Entries.What was charted": {meaning: "the entry's fields in words", kind: "text"},
	"Entries.Standing": {meaning: "whether the entry stands, is corrected or retracted, or holds as a correction",
		kind: "word"},
	"Entries.Amends, or amended by": {meaning: "the id of the entry that this one amends, or that amends it", kind: "identifier"},

	"About.What":   {meaning: "what the line tells", kind: "text"},
	"About.Value":  {meaning: "its value", kind: "number, moment or text"},
	"About.Detail": {meaning: "where it comes from", kind: "text"},

	"Dictionary.File":    {meaning: "the file that the column is in", kind: "text"},
	"Dictionary.Column":  {meaning: "the column's header", kind: "text"},
	"Dictionary.Meaning": {meaning: "what the column tells", kind: "text"},
	"Dictionary.Unit":    {meaning: "the unit of its numbers", kind: "text"},
	"Dictionary.Type":    {meaning: "what its cells hold; words such as not charted may stand in place of any", kind: "text"},
}
