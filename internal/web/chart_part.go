package web

import (
	"slices"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/web/forms"
	"cotline/internal/web/words"
)

// sheetPart asks for one entry of a kind.
type sheetPart struct {
	name   string // that the names of its inputs begin with; the entry's id comes from it
	kind   *entry.Kind
	title  string
	intro  []string
	show   []string // the fields that stand open, in this order; nil: all
	more   bool     // the others stand behind one touch; else they are not asked here
	before *before  // what was charted last and may be charted as it was
	last   map[string]string
	own    ownPart // asks and reads in a way of its own, nil: by the table alone
}

// ownPart is a part that does not ask field by field.
type ownPart interface {
	ask(*charting, *sheetPart, *forms.Asked, forms.Faults, *partView)
	read(*charting, *sheetPart, *forms.Asked, forms.Faults) *forms.Read
}

// before is what 'as before' charts again: settings, interface and size alone. It is what
// was shown that is charted, and only while it still holds.
type before struct {
	fields []entry.Field
	said   string // with its age
}

// partOf is a part that asks for all of a kind.
func partOf(kind string) *sheetPart {
	k, ok := entry.KindOf(kind)
	if !ok {
		panic("no kind " + kind) // of this program's own lists
	}
	return &sheetPart{name: kind, kind: k, title: k.Label, intro: sentences(k.Help)}
}

func sentences(help string) []string {
	if help == "" {
		return nil
	}
	return []string{help}
}

// showing has some fields stand open and the others, if more, behind one touch.
func (p *sheetPart) showing(more bool, fields ...string) *sheetPart {
	p.show, p.more = fields, more
	return p
}

func (p *sheetPart) saying(title string, intro ...string) *sheetPart {
	p.title, p.intro = title, intro
	return p
}

// specs are the fields that stand open, and those behind one touch.
func (p *sheetPart) specs() (open, more []entry.Spec) {
	if p.show == nil {
		return p.kind.Fields, nil
	}
	for _, name := range p.show {
		if s, ok := p.kind.Spec(name); ok {
			open = append(open, *s)
		}
	}
	for _, s := range p.kind.Fields {
		if p.more && !slices.Contains(p.show, s.Name) {
			more = append(more, s)
		}
	}
	return open, more
}

// all are the fields that are asked, in the table's order.
func (p *sheetPart) all() (out []entry.Spec) {
	for _, s := range p.kind.Fields {
		if p.show == nil || p.more || slices.Contains(p.show, s.Name) {
			out = append(out, s)
		}
	}
	return out
}

func (p *sheetPart) read(c *charting, a *forms.Asked, faults forms.Faults) *forms.Read {
	if p.own != nil {
		return p.own.read(c, p, a, faults)
	}
	r := a.Read(p.name, p.all(), c.posted, faults)
	if p.before != nil {
		r.Came("type", p.name+".before") // what is seen of it alone lacks it
	}
	p.readBefore(c, r, faults)
	return r
}

// readBefore adds what is as before, where something else was not typed. What was shown is
// held to what is so now.
func (p *sheetPart) readBefore(c *charting, r *forms.Read, faults forms.Faults) {
	if p.before == nil || c.posted.Get(p.name+".before") == "" {
		if c.posted.Get(p.name+".before") != "" {
			faults.Add(p.name+".before", words.Say("There is nothing before it any more: fill it in."))
		}
		return
	}
	for _, f := range p.before.fields {
		if c.posted.Get(p.name+".was."+f.Name) != f.Value.Text {
			faults.Add(p.name+".before", words.Say("It was changed meanwhile. Look at what holds now, and touch again if it is so."))
			return
		}
	}
	var out []entry.Field
	for _, s := range p.kind.Fields {
		v := entry.Lookup(r.Fields, s.Name)
		if v.Type == entry.Absent {
			v = entry.Lookup(p.before.fields, s.Name)
			r.Came(s.Name, p.name+".before")
		}
		if v.Type != entry.Absent {
			out = append(out, entry.Field{Name: s.Name, Value: v})
		}
	}
	r.Fields = out
}

// partView is a part as the page shows it.
type partView struct {
	Name, Title    string
	Intro          []string
	Fault          string
	Before         *beforeView
	Controls, More []*forms.Control
	MoreOpen       bool
	Skin           *skinView
	Causes         []causesView
}

type beforeView struct {
	Name, Said string
	Checked    bool
	Fault      string
	Was        []carried
}

func (p *sheetPart) view(c *charting, faults forms.Faults) *partView {
	a := c.asked(c.now)
	v := &partView{Name: p.name, Title: p.title, Intro: p.intro}
	if f := faults[p.name]; f != nil {
		v.Fault = f.Text
	}
	if p.before != nil {
		b := &beforeView{Name: p.name + ".before", Said: p.before.said, Checked: c.posted.Get(p.name+".before") != ""}
		for _, f := range p.before.fields {
			b.Was = append(b.Was, carried{p.name + ".was." + f.Name, f.Value.Text})
		}
		if f := faults[b.Name]; f != nil {
			b.Fault, b.Checked = f.Text, false
		}
		v.Before = b
	}
	if p.own != nil {
		p.own.ask(c, p, a, faults, v)
		return v
	}
	open, more := p.specs()
	v.Controls = a.Controls(p.name, open, c.posted, faults)
	v.More = a.Controls(p.name, more, c.posted, faults)
	v.MoreOpen = slices.ContainsFunc(v.More, filled)
	for _, x := range v.Controls {
		x.Before = p.last[x.Name]
	}
	return v
}

// filled says whether something was put into a control, or is wrong with it.
func filled(x *forms.Control) bool {
	return x.Value != "" || x.Fault != "" || x.Day != "" || x.Time != "" || slices.ContainsFunc(x.In, filled) ||
		slices.ContainsFunc(x.Options, func(o forms.Option) bool { return o.Checked && o.Value != "" })
}

// age is how long ago something was, as a nurse says it.
func age(at, now time.Time) string {
	d := now.Sub(at)
	minutes, hours, days := int(d/time.Minute)%60, int(d/time.Hour)%24, int(d/(24*time.Hour))
	switch {
	case d < time.Minute:
		return words.Say("just now")
	case d < time.Hour:
		return words.Say("%d min ago", minutes)
	case d < 24*time.Hour && minutes > 0:
		return words.Say("%d h %d min ago", hours, minutes)
	case d < 24*time.Hour:
		return words.Say("%d h ago", hours)
	case d < 7*24*time.Hour && hours > 0:
		return words.Say("%d d %d h ago", days, hours)
	}
	return words.Say("%d d ago", days)
}

// settingsBefore are the settings in force, each with its age.
func (c *charting) settingsBefore() *before {
	var b before
	k, _ := entry.KindOf("settings")
	for _, s := range k.Fields {
		i := slices.IndexFunc(c.summary.Settings, func(x handover.Setting) bool { return x.Field == s.Name && x.Fact != nil })
		if i < 0 {
			continue
		}
		fact := c.summary.Settings[i].Fact
		b.fields = append(b.fields, entry.Field{Name: s.Name, Value: entry.NewNumber(fact.Value.String())})
		if b.said != "" {
			b.said += "; "
		}
		b.said += lower(s.Label) + " " + fact.Value.String() + " " + s.Unit + ", " + age(fact.At, c.now)
	}
	if len(b.fields) == 0 {
		return nil
	}
	return &b
}

// interfaceBefore is what is on the face, with its size.
func (c *charting) interfaceBefore() *before {
	x := c.summary.Interface.Value
	if x == nil || x.Type == "off" {
		return nil
	}
	b := &before{fields: []entry.Field{entry.TextField("type", x.Type)}}
	since, ago := clockIn(x.Since, c.now, c.policy.Zone), age(x.Since, c.now)
	if x.Size.Value == nil {
		b.said = words.Say("%s, on since %s, %s", x.Type, since, ago)
		return b
	}
	b.fields = append(b.fields, entry.TextField("size", *x.Size.Value))
	b.said = words.Say("%s size %s, on since %s, %s", x.Type, *x.Size.Value, since, ago)
	return b
}
