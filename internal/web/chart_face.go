package web

import (
	"slices"
	"strconv"
	"strings"

	"cotline/handover/entry"
	"cotline/internal/web/forms"
	"cotline/internal/web/words"
)

func whole(n int) string { return strconv.Itoa(n) }

// lower is a label within a sentence, but for abbreviations.
func lower(label string) string {
	first, _, _ := strings.Cut(label, " ")
	if strings.ToLower(first[1:]) != first[1:] {
		return label
	}
	return strings.ToLower(label[:1]) + label[1:]
}

// onFace asks with one touch for the type that is on and its size, from the unit's list.
type onFace struct{}

// otherSize is the size of a type for which the unit has no list.
const otherSize = ".size"

func (onFace) ask(c *charting, p *sheetPart, a *forms.Asked, faults forms.Faults, v *partView) {
	name := p.name + ".on"
	on := &forms.Control{Name: name, As: forms.AsChoice, Label: words.Say("On the face"), Value: c.posted.Get(name),
		Options: []forms.Option{{Label: words.Say("not charted")}}}
	free := false
	for _, kind := range entry.InterfaceTypes {
		switch sizes := c.policy.Sizes[kind]; {
		case kind == "off":
			on.Options = append(on.Options, forms.Option{Value: "off|", Label: words.Say("off: nothing on the face")})
		case len(sizes) == 0:
			free = true
			on.Options = append(on.Options, forms.Option{Value: kind + "|", Label: kind})
		default:
			for _, size := range sizes {
				on.Options = append(on.Options, forms.Option{Value: kind + "|" + size, Label: kind + " " + size})
			}
		}
	}
	for i := range on.Options {
		on.Options[i].Checked = on.Options[i].Value == on.Value
	}
	if f := faults[name]; f != nil {
		on.Fault = f.Text
	}
	if b := c.interfaceBefore(); b != nil {
		on.Before = words.Say("now %s", b.said)
	}
	v.Controls = []*forms.Control{on}
	if free {
		v.Controls = append(
			v.Controls,
			&forms.Control{Name: p.name + otherSize, As: forms.AsLine, Label: words.Say("Size, where the unit has no list"),
				Value: c.posted.Get(p.name + otherSize)},
		)
	}
	v.Controls = append(v.Controls, a.Controls(p.name, seenOfFace(p), c.posted, faults)...)
}

// seenOfFace are the fields of an interface but type and size.
func seenOfFace(p *sheetPart) []entry.Spec {
	return slices.DeleteFunc(slices.Clone(p.kind.Fields), func(s entry.Spec) bool { return s.Name == "type" || s.Name == "size" })
}

func (onFace) read(c *charting, p *sheetPart, a *forms.Asked, faults forms.Faults) *forms.Read {
	r := a.Read(p.name, seenOfFace(p), c.posted, faults)
	kind, size, _ := strings.Cut(c.posted.Get(p.name+".on"), "|")
	if kind != "" && kind != "off" && size == "" {
		size = strings.TrimSpace(c.posted.Get(p.name + otherSize))
	}
	var fields []entry.Field
	if kind != "" {
		fields = append(fields, entry.TextField("type", kind))
	}
	if size != "" {
		fields = append(fields, entry.TextField("size", size))
	}
	r.Fields = append(fields, r.Fields...)
	r.Came("type", p.name+".on")
	r.Came("size", p.name+".on")
	return r
}

// causes asks of an alarm what it is about, and has the unit's causes of it tried in order.
type causes struct{}

// causesView are the causes of one kind of alarm.
type causesView struct {
	About, Label string
	Causes       []*forms.Control
}

// ownCauses are lines for causes that the unit's list lacks.
const ownCauses = 2

func causeInput(p *sheetPart, about string, i int) string {
	return p.name + ".tried." + about + "." + whole(i)
}

func (causes) ask(c *charting, p *sheetPart, a *forms.Asked, faults forms.Faults, v *partView) {
	about, _ := p.kind.Spec("about")
	action, _ := p.kind.Spec("action")
	settled, _ := p.kind.Spec("settledAt")
	v.Controls = a.Controls(p.name, []entry.Spec{*about}, c.posted, faults)
	for _, word := range about.Words {
		view := causesView{About: word, Label: forms.Say(word)}
		list := c.policy.Alarms[word]
		for i := range len(list) + ownCauses {
			x := &forms.Control{Name: causeInput(p, word, i), As: forms.AsGroup, Label: words.Say("Another cause")}
			if i < len(list) {
				x.Label = list[i]
			} else {
				cause := x.Name + ".cause"
				x.In = []*forms.Control{{Name: cause, As: forms.AsLine, Label: words.Say("Another cause"), Value: c.posted.Get(cause)}}
			}
			asks := x.Label
			if i >= len(list) {
				asks = words.Say("Was it that?")
			}
			value := c.posted.Get(x.Name + ".found")
			x.In = append(x.In, &forms.Control{Name: x.Name + ".found", As: forms.AsChoice, Label: asks, Options: []forms.Option{
				{Label: words.Say("not tried"), Checked: value == ""}, {Value: "no", Label: words.Say("not it"), Checked: value == "no"},
				{Value: "yes", Label: words.Say("found"), Checked: value == "yes"}}})
			if f := faults[x.Name]; f != nil {
				x.Fault = f.Text
			}
			view.Causes = append(view.Causes, x)
		}
		v.Causes = append(v.Causes, view)
	}
	ends := a.Controls(p.name, []entry.Spec{*action, *settled}, c.posted, faults)
	ends[0].Label, ends[0].Help = words.Say("What was found, and what was done"), ""
	v.More = ends
}

func (causes) read(c *charting, p *sheetPart, a *forms.Asked, faults forms.Faults) *forms.Read {
	about, _ := p.kind.Spec("about")
	plain := slices.DeleteFunc(slices.Clone(p.kind.Fields), func(s entry.Spec) bool { return s.Name == "tried" })
	r := a.Read(p.name, plain, c.posted, faults)
	chosen := c.posted.Get(p.name + ".about")
	tried := entry.Value{Type: entry.ListValue}
	for _, word := range about.Words {
		list := c.policy.Alarms[word]
		for i := range len(list) + ownCauses {
			name := causeInput(p, word, i)
			found, cause := c.posted.Get(name+".found"), strings.TrimSpace(c.posted.Get(name+".cause"))
			if i < len(list) {
				cause = list[i]
			}
			switch {
			case found == "" && (i < len(list) || cause == ""):
			case word != chosen:
				faults.Add(p.name+".about",
					words.Say("Causes of %s are marked. Choose that alarm, or take the marks away.", forms.Say(word)))
			case found == "":
				faults.Add(name, words.Say("Was it that, or not?"))
			case cause == "":
				faults.Add(name, words.Say("Say what was tried."))
			default:
				r.Came("tried["+whole(len(tried.List))+"]", name)
				tried.List = append(tried.List, entry.Value{Type: entry.ObjectValue, Fields: []entry.Field{
					{
						Name:  "cause",
						Value: entry.NewText(cause),
					}, {Name: "found", Value: entry.NewFlag(found == "yes")}}})
			}
		}
	}
	if len(tried.List) > 0 {
		at := slices.IndexFunc(r.Fields, func(f entry.Field) bool { return f.Name != "about" })
		if at < 0 {
			at = len(r.Fields)
		}
		r.Fields = slices.Insert(r.Fields, at, entry.Field{Name: "tried", Value: tried})
	}
	return r
}
