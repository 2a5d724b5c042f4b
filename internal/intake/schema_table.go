package intake

import (
	"strconv"
	"strings"
	"unicode/utf8"

	"cotline/handover/entry"
)

// Width of the table of kinds, and of its first column, in characters: what a terminal
// and a page hold.
const (
	tableWidth = 100
	kindWidth  = 13
)

// SchemaTable is the kinds and their fields for people, within 100 columns.
func SchemaTable() string {
	var b strings.Builder
	b.WriteString("* is required; a|b: one of these words; 1-9: a number, ends in; ≤ 200: characters; [...]: a list;\n" +
		"moment: 2026-03-09T07:30:00+01:00; key: letters, digits, . _ -; id: a UUID; unit's: its own list\n\n")
	tableRow(&b, "every entry", entry.Common)
	for i := range entry.Kinds {
		k := &entry.Kinds[i]
		extra := []string{}
		for _, of := range []struct {
			words  string
			fields []string
		}{{"exactly one of ", k.OneOf}, {"at least one of ", anyOf(k)}} {
			if len(of.fields) > 0 {
				extra = append(extra, of.words+strings.Join(of.fields, ", "))
			}
		}
		if k.NotBoth[0] != "" {
			extra = append(extra, "not both "+k.NotBoth[0]+" and "+k.NotBoth[1])
		}
		tableRow(&b, k.Name, k.Fields, extra...)
	}
	return b.String()
}

// anyOf are fields of which one must be there, where they are not simply all.
func anyOf(k *entry.Kind) []string {
	if len(k.AnyOf) == len(k.Fields) || len(k.AnyOf) == 0 {
		return nil
	}
	return []string{"the others"}
}

// nbsp is a blank at which no line is broken.
const nbsp = "\u00a0"

// tableRow is a kind: its fields, then what holds between them, wrapped between fields.
func tableRow(b *strings.Builder, name string, fields []entry.Spec, extra ...string) {
	line := name + strings.Repeat(" ", max(1, kindWidth-len(name)))
	put := func(s string) {
		for _, word := range strings.SplitAfter(strings.ReplaceAll(s, "|", "|\x00"), "\x00") {
			for _, part := range strings.SplitAfter(strings.TrimSuffix(word, "\x00"), " ") {
				if utf8.RuneCountInString(line)+utf8.RuneCountInString(strings.TrimRight(part, " ")) > tableWidth {
					b.WriteString(strings.TrimRight(line, " ") + "\n")
					line = strings.Repeat(" ", kindWidth)
				}
				line += strings.ReplaceAll(part, nbsp, " ")
			}
		}
		line += " "
	}
	for i := range fields {
		s := fieldShown(&fields[i])
		if i < len(fields)-1 || len(extra) > 0 {
			s += ";"
		}
		put(s)
	}
	if len(extra) > 0 {
		put(strings.Join(extra, "; "))
	}
	b.WriteString(strings.TrimRight(line, " ") + "\n")
}

// fieldShown is a field with what it takes.
func fieldShown(s *entry.Spec) string {
	name := s.Name
	if s.Required {
		name += "*"
	}
	takes := valueShown(s)
	if w := s.When; w.Field != "" {
		takes += " (*" + nbsp + "when" + nbsp + strings.Join(w.Is, "|") + ")"
	}
	return strings.TrimSpace(name + " " + strings.TrimSpace(takes))
}

func valueShown(s *entry.Spec) string {
	switch {
	case s.List == "care" && s.Required:
		return strings.Join(s.Words, "|") + "|unit's"
	case s.List == "care":
		return "a" + nbsp + "care"
	case s.List != "":
		return "unit's"
	}
	switch s.Type {
	case entry.Word:
		return strings.Join(s.Words, "|")
	case entry.Number, entry.Whole:
		return rangeShown(s)
	case entry.Flag:
		return "true|false"
	case entry.Instant:
		return "moment"
	case entry.Birth:
		return "moment" + nbsp + "or" + nbsp + "date"
	case entry.Gestation:
		return "26+3" + nbsp + "or" + nbsp + "26"
	case entry.Key:
		return "key"
	case entry.Reference:
		return "id"
	case entry.Interval:
		return "4h|90m|7d|none|policy"
	case entry.PerInfant:
		return "{key: [" + strings.Join(s.Words, "|") + "]}"
	case entry.EntryType:
		return "{kind*, at*, its fields}"
	case entry.Object:
		return "{" + partsShown(s.Of) + "}"
	case entry.List:
		if s.Of != nil {
			return "[{" + partsShown(s.Of) + "}]"
		}
		item := *s
		item.Type = s.Item
		return "[" + valueShown(&item) + "]"
	}
	return textShown(s)
}

func rangeShown(s *entry.Spec) string {
	r := ""
	if s.Min != "" {
		r = s.Min + "-" + s.Max
	}
	if strings.HasPrefix(s.Min, "-") {
		r = s.Min + nbsp + "to" + nbsp + s.Max
	}
	return strings.Trim(r+nbsp+s.Unit, nbsp)
}

func textShown(s *entry.Spec) string {
	if s.Longest == 0 {
		return ""
	}
	return "≤" + nbsp + grouped(s.Longest)
}

func partsShown(of []entry.Spec) string {
	parts := make([]string, len(of))
	for i := range of {
		parts[i] = fieldShown(&of[i])
	}
	return strings.Join(parts, ", ")
}

// grouped is a number with a comma at the thousands.
func grouped(n int) string {
	s := strconv.Itoa(n)
	if len(s) > 3 {
		s = s[:len(s)-3] + "," + s[len(s)-3:]
	}
	return s
}
