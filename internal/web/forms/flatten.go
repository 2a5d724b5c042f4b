package forms

import (
	"net/url"
	"strconv"
	"strings"
	"time"

	"cotline/handover/entry"
)

// Flatten is an entry's fields as they would be posted, for a form that shows them.
func Flatten(prefix string, specs []entry.Spec, fields []entry.Field, zone *time.Location) url.Values {
	out := url.Values{}
	flatten(out, prefix, specs, fields, zone)
	return out
}

func flatten(out url.Values, prefix string, specs []entry.Spec, fields []entry.Field, zone *time.Location) {
	for i := range specs {
		s := &specs[i]
		name, v := prefix+"."+s.Name, entry.Lookup(fields, s.Name)
		switch {
		case v.Type == entry.Absent:
		case s.Type == entry.Instant, s.Type == entry.Birth:
			FlattenMoment(out, name, v.Text, zone)
		case s.Type == entry.Object:
			flatten(out, name, s.Of, v.Fields, zone)
		case s.Type == entry.List:
			flattenList(out, name, s, v.List, zone)
		case s.Type == entry.PerInfant:
			for _, f := range v.Fields {
				for _, word := range f.Value.List {
					out.Add(name+"."+f.Name, word.Text)
				}
			}
		case v.Type == entry.BoolValue:
			out.Set(name, map[bool]string{true: "yes", false: "no"}[v.Bool])
		default:
			out.Set(name, v.Text)
		}
	}
}

func flattenList(out url.Values, name string, s *entry.Spec, list []entry.Value, zone *time.Location) {
	var numbers []string
	for i, item := range list {
		row := name + "." + strconv.Itoa(i)
		switch {
		case s.Of == nil && s.Item == entry.Number:
			numbers = append(numbers, item.Text)
		case s.Of == nil:
			out.Add(name, item.Text)
		case s.Unique != "":
			out.Add(name, item.Field(s.Of[0].Name).Text)
			flatten(out, row, s.Of[1:], item.Fields, zone)
		default:
			flatten(out, row, s.Of, item.Fields, zone)
		}
	}
	if numbers != nil {
		out.Set(name, strings.Join(numbers, " "))
	}
}

// FlattenMoment is a moment, or a day, as it would be posted.
func FlattenMoment(out url.Values, name, text string, zone *time.Location) {
	m, err := entry.ParseMoment(text)
	if err != nil {
		out.Set(name+".day", text)
		return
	}
	local := m.In(zone)
	out.Set(name+".day", local.Format("2006-01-02"))
	out.Set(name+".time", local.Format("15:04"))
	out.Set(name+".which", text)
}
