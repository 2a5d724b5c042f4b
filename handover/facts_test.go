package handover_test

import (
	"fmt"
	"reflect"
	"strconv"
	"strings"
	"testing"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// fact is one fact of a handover as text. What was not charted is "not charted",
// what is left out for a reason "left out: …", what does not apply is not there.
type fact struct{ path, value string }

// facts takes every fact out of a handover, in its order. Where a fact comes from
// stands at its path with .source: entry, moment, by whom, and what differs.
func facts(h *handover.Handover) []fact {
	w := walker{zone: h.Zone}
	w.walk("", reflect.ValueOf(h))
	return w.out
}

type walker struct {
	zone *time.Location
	from time.Time // where not zero, moments are told by how long they lie from it
	out  []fact
}

// add leaves out what says nothing: no text, and the name that the path ends in.
func (w *walker) add(path, value string) {
	if value != "" && !strings.HasSuffix(path, "."+value+".site") && !strings.HasSuffix(path, "."+value+".use") &&
		!strings.HasSuffix(path, "."+value+".what") && !strings.HasSuffix(path, "."+value+".infant") {
		w.out = append(w.out, fact{path, value})
	}
}

func (w *walker) walk(path string, v reflect.Value) {
	switch x := v.Interface().(type) {
	case handover.NumberFact:
		w.sourced(path, x.Value.String(), x.Source)
		return
	case handover.WordFact:
		w.sourced(path, x.Value, x.Source)
		return
	case handover.Observed:
		w.sourced(path, x.Value, x.Source)
		return
	case handover.Setting:
		if x.Fact != nil {
			w.walk(path, reflect.ValueOf(*x.Fact))
			return
		}
	case handover.Due:
		w.due(path, x)
		return
	}
	if text, told := w.text(v.Interface()); told {
		w.add(path, text)
		return
	}
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			w.walk(path, v.Elem())
		}
	case reflect.String:
		w.add(path, number(v.String()))
	case reflect.Bool, reflect.Int, reflect.Int64:
		w.add(path, fmt.Sprint(v.Interface()))
	case reflect.Array:
		w.add(path, fmt.Sprint(v.Interface()))
	case reflect.Slice:
		w.list(path, v)
	case reflect.Struct:
		if strings.HasPrefix(v.Type().Name(), "Maybe[") {
			w.maybe(path, v)
			return
		}
		for i := range v.NumField() {
			switch f := v.Type().Field(i); {
			case f.Name == "Source" && f.Anonymous:
				w.walk(path+".source", v.Field(i))
			case f.Anonymous:
				w.walk(path, v.Field(i))
			default:
				w.walk(join(path, lowered(f.Name)), v.Field(i))
			}
		}
	default:
		panic("no way to tell a " + v.Type().String())
	}
}

// sourced is one value and where it comes from.
func (w *walker) sourced(path, value string, from handover.Source) {
	w.add(path, value)
	w.add(path+".source", w.source(from))
}

// due is the state with its moment, and beside it what else is told.
func (w *walker) due(path string, d handover.Due) {
	w.add(path, spaced(d.State, w.moment(d.At)+day(d.On)))
	w.add(path+".until", w.moment(d.Until))
	w.add(path+".overdueAt", w.moment(d.OverdueAt))
	w.add(path+".every", spaced(d.Every, map[bool]string{true: "by plan"}[d.Planned]))
	w.add(path+".why", d.Why)
	w.add(path+".text", d.Text)
}

func (w *walker) maybe(path string, v reflect.Value) {
	value, why := v.FieldByName("Value"), v.FieldByName("Why").String()
	switch {
	case !value.IsNil() && value.Elem().Kind() == reflect.Slice && value.Elem().Len() == 0:
		w.add(path, "none")
	case !value.IsNil():
		w.walk(path, value.Elem())
	case v.FieldByName("Applies").Bool():
		w.add(path, "not charted")
	case why != "":
		w.add(path, "left out: "+why)
	}
}

func (w *walker) list(path string, v reflect.Value) {
	if words, ok := v.Interface().([]string); ok {
		if len(words) > 0 {
			w.add(path, strings.Join(words, ", "))
		}
		return
	}
	for i := range v.Len() {
		w.walk(join(path, named(v.Index(i).Interface(), i)), v.Index(i))
	}
}

// named is how an item of a list is told from the others.
func named(item any, i int) string {
	switch x := item.(type) {
	case *handover.Summary:
		return x.Infant
	case handover.Setting:
		return x.Field
	case handover.Observed:
		return x.Field
	case handover.SkinSite:
		return x.Site
	case handover.SiteHours:
		return x.Site
	case handover.Tube:
		return x.Use
	case handover.Care:
		return x.What
	case handover.Reason:
		return x.Reason
	case handover.Change:
		return x.Path
	case handover.Plan:
		return join(x.What, x.Care)
	case handover.Due:
		return join(join(x.What, x.Care), number(x.Task))
	case handover.Conflict:
		return join(x.What, x.Infant)
	case handover.LookAlike:
		return x.Infant
	case handover.Attention:
		return join(x.What, strconv.Itoa(i))
	case handover.Next:
		return join(join(x.What, x.Care), number(x.Task))
	case handover.Old:
		return x.Path
	case handover.Doubt:
		return x.Code
	case handover.NotComputed:
		return x.Path
	case handover.SafetyItem:
		return x.Item
	case handover.Left:
		return x.Infant
	case handover.SensorPoint:
		return x.GasPercent.String()
	}
	return strconv.Itoa(i)
}

// text tells what is one fact; told is false for what has parts.
func (w *walker) text(v any) (text string, told bool) {
	switch x := v.(type) {
	case *time.Location:
		return x.String(), true
	case entry.Decimal:
		return x.String(), true
	case time.Time:
		return w.moment(x), true
	case entry.Date:
		return day(x), true
	case handover.Setting:
		return "not charted", true
	case *handover.SkinSite: // the worst of those listed
		if x == nil {
			return "", true
		}
		return spaced(x.Site, x.Finding), true
	case handover.SiteHours:
		return x.Hours.String(), true
	case handover.Source:
		return w.source(x), true
	case handover.Reason:
		return spaced(x.On.String(), number(x.Entry)), true
	case handover.Change:
		why := x.Why
		if x.Revised && why == "happened" { // of the others it goes without saying
			why = "revised, " + why
		}
		return fmt.Sprintf("%s to %s, %s %s", valueOf(x.From), valueOf(x.To), why, number(x.Entry)), true
	case handover.Remark:
		return number(x.Entry) + " " + x.Why, true
	case handover.Late:
		return fmt.Sprintf("%s %s %s, %s of %s by %s, charted %s: %s", x.Infant, x.How, number(x.Entry), x.Kind, w.moment(x.At), x.By,
			w.moment(x.Charted), x.Text), true
	case handover.Attention:
		return strings.TrimSpace(fmt.Sprintf("%s: %s (%s) %s %s", x.Level, x.Text, x.Path, number(x.Entry), w.moment(x.At))), true
	case handover.Next:
		return spaced(w.moment(x.DueAt)+day(x.On)+" "+x.Text, w.moment(x.OverdueAt)), true
	case handover.Old:
		return w.moment(x.At), true
	case handover.Doubt:
		return x.Text + " (" + x.Path + ") " + number(x.Entry), true
	case handover.NotComputed:
		return x.Why, true
	case handover.SafetyItem:
		return fmt.Sprint(x.OK), true
	case handover.LookAlike:
		return x.Why, true
	case handover.Conflict:
		return x.Value, true
	case handover.EpisodeCount:
		return fmt.Sprintf("%d, signs %d, recovered %d", x.Count, x.BySign, x.ByRecovered), true
	case handover.Tried:
		return fmt.Sprintf("%s %t", x.Cause, x.Found), true
	}
	return "", false
}

func day(d entry.Date) string {
	if d.IsZero() {
		return ""
	}
	return d.String()
}

func valueOf(v *handover.ChangeValue) string {
	if v == nil {
		return "null"
	}
	return v.Text
}

func (w *walker) moment(t time.Time) string {
	switch {
	case t.IsZero():
		return ""
	case !w.from.IsZero():
		return t.Sub(w.from).String()
	}
	return shown(t, w.zone)
}

func (w *walker) source(s handover.Source) string {
	if s.Entry == "" {
		return ""
	}
	text := spaced(number(s.Entry), spaced(w.moment(s.At), s.By))
	if !s.Charted.IsZero() {
		text += " charted " + w.moment(s.Charted)
	}
	if s.Corrected != nil {
		text += " corrected " + w.moment(s.Corrected.Charted) + " " + s.Corrected.By
	}
	return text
}

// number is the short form of an id: #7. A UUID that no story made stays itself.
func number(id string) string {
	rest, ok := strings.CutPrefix(id, "00000000-0000-4000-8000-")
	if !ok {
		return id
	}
	return "#" + strings.TrimLeft(rest, "0")
}

func spaced(a, b string) string { return strings.TrimSpace(a + " " + b) }

func join(path, name string) string { return strings.Trim(path+"."+name, ".") }

// lowered is a field's name as the JSON form writes it.
func lowered(name string) string {
	switch name {
	case "FiO2", "SpO2", "MRN", "PH", "ID", "SF", "OSI", "OK":
		return strings.ToLower(name)
	}
	return strings.ToLower(name[:1]) + name[1:]
}

// What is told in one line is told whole, but for how JSON writes it (Word, Bare): a
// field more must be told too.
func TestFactsTellEveryField(t *testing.T) {
	for item, fields := range map[any]int{
		handover.Source{}: 5, handover.NumberFact{}: 2, handover.WordFact{}: 2, handover.Observed{}: 4, handover.Setting{}: 2,
		handover.Amended{}:   2,
		handover.SiteHours{}: 2, handover.Reason{}: 3, handover.Change{}: 6, handover.ChangeValue{}: 2, handover.Remark{}: 2,
		handover.Late{}:      8,
		handover.LookAlike{}: 2, handover.Conflict{}: 3, handover.EpisodeCount{}: 3, handover.Tried{}: 2, handover.Due{}: 12,
		handover.Attention{}: 6, handover.Next{}: 7, handover.Old{}: 2, handover.Doubt{}: 4, handover.NotComputed{}: 2,
		handover.SafetyItem{}: 2,
	} {
		if n := reflect.TypeOf(item).NumField(); n != fields {
			t.Errorf("%T has %d fields, %d are told", item, n, fields)
		}
	}
}
