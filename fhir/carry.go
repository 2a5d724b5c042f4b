package fhir

import (
	"maps"
	"slices"

	"cotline/fhir/internal/r4"
	"cotline/handover/entry"

	"cotline/handover"
)

// An export carries the text of the entries that it is made of, so that it can be read
// back without loss. The text is an extension of the first resource that an entry
// yields, or stands on a Basic resource where it yields none. The corrections and
// retractions of an entry stand beside it, each a text of its own.
//
// Admission, identity, move and discharge always stand on a Basic resource, and so does
// what is not of the present stay. A Basic resource then depends on its entry alone, so
// that a receiver of deltas holds what a receiver of the whole does.

// group is an entry with what amends it, as known.
type group struct {
	original *entry.Entry
	amended  []*entry.Entry // by charted, then by id
}

func (g *group) all() []*entry.Entry {
	return append([]*entry.Entry{g.original}, g.amended...)
}

// bounds are the kinds that say whose stay it is, and from when to when.
var bounds = map[string]bool{"admission": true, "identity": true, "move": true, "discharge": true}

// carrier puts the texts into an export.
type carrier struct {
	*builder
	groups    map[string]*group // by the original's id
	infants   map[string]*infant
	exported  map[string]*infant // of them
	summaries map[string]*handover.Summary
	hosts     map[string]*r4.Resource // by the entry's id
	present   map[string]bool         // entries of the stay that an infant is in
	windows   handover.Windows
	now       map[string]bool // infants of whom the reading tells
	in        map[*group]bool
	carriers  []*r4.Resource
	text      []byte // of an entry, before its size is known
	err       error
}

// carrier makes ready to carry the texts of an export.
func (b *builder) carrier(infants []*infant, exported map[string]*infant, held []Held) *carrier {
	c := &carrier{builder: b, groups: map[string]*group{}, infants: map[string]*infant{}, exported: exported,
		hosts: map[string]*r4.Resource{}, present: map[string]bool{}, now: map[string]bool{}, in: map[*group]bool{},
		windows: handover.WindowsOf(b.policy, entry.Replay(b.entries[""], b.ask.Known).Unit, b.ask.At)}
	c.group()
	for _, i := range infants {
		c.infants[i.record.Infant] = i
		last := i.stays[len(i.stays)-1]
		c.now[i.record.Infant] = i.admitted() || c.windows.Holds(i.record.Infant, last)
	}
	for _, h := range held {
		delete(c.now, h.Infant)
	}
	return c
}

// carry builds the infants that are exported, one after the other, each with its texts,
// and adds the texts of those who left in the window, and of the whole unit. An export of
// one infant alone holds what is charted for it and the handovers that name it. Once an
// infant's texts ride, nothing changes its resources any more: they are done.
func (c *carrier) carry(done func([]*r4.Resource) error) error {
	for _, key := range slices.Sorted(maps.Keys(c.entries)) {
		switch i := c.exported[key]; {
		case key == "":
		case i != nil:
			c.build(i)
			c.take(key, func(*group) bool { return true })
			c.leave(i)
			if out := i.finish(); c.err == nil {
				c.err = done(out)
			}
		case c.infants[key] == nil && (c.ask.Infant == "" || c.ask.Infant == key): // no stay is left of it
			out, err := c.builder.gone(key, nil)
			if c.err = err; c.err == nil {
				c.err = done(out)
			}
		case c.ask.Infant == "" && c.now[key]:
			c.take(key, func(g *group) bool { return bounds[g.original.Kind] })
		}
		if c.err != nil {
			return c.err
		}
	}
	c.take("", func(g *group) bool { return c.ask.Infant == "" || g.names(c.ask.Infant) })
	if c.err == nil {
		c.err = done(c.carriers)
	}
	return c.err
}

// leave forgets what hosts an infant's texts: all of them ride.
func (c *carrier) leave(i *infant) {
	for _, r := range slices.Concat(i.facts, i.uses) {
		delete(c.hosts, r.Entry)
	}
}

// build makes an infant's resources, once: before its turn where an entry was moved to
// it, for then it must be known what carries that.
func (c *carrier) build(i *infant) {
	if i.built || c.err != nil {
		return
	}
	i.built = true
	c.err = i.build(c.summaries[i.record.Infant])
	if c.err == nil && c.ask.needs != nil {
		c.err = i.keep(c.ask.needs)
	}
	c.host(i)
}

// group puts each entry together with what amended it by then.
func (c *carrier) group() {
	for _, entries := range c.entries {
		amended := amendments(entries, c.ask.Known)
		for _, e := range entries {
			if !e.Amends() && !e.Charted.After(c.ask.Known) {
				c.groups[e.ID] = &group{e, amended[e.ID]}
			}
		}
	}
}

// host finds the first resource of each entry: an Observation, or a period of use.
func (c *carrier) host(i *infant) {
	for _, r := range slices.Concat(i.facts, i.uses) {
		if (r.Type == "Observation" || r.Type == "DeviceUseStatement") && c.hosts[r.Entry] == nil {
			c.hosts[r.Entry] = r
		}
	}
	for _, e := range i.entries {
		c.present[e.ID] = i.admitted() || c.ask.Infant != ""
	}
}

// take adds an infant's entries, or the unit's, that had happened by then.
func (c *carrier) take(infant string, wanted func(*group) bool) {
	if c.ask.mute {
		return
	}
	var some []*group
	for _, e := range c.entries[infant] {
		if g := c.groups[e.ID]; g != nil && wanted(g) && g.happened(c.ask) && (c.ask.Infant == "" || !c.leaves(g)) {
			some = append(some, g)
		}
	}
	slices.SortFunc(some, func(a, b *group) int { return entry.Order(a.original, b.original) })
	for _, g := range some {
		c.add(g, false)
	}
}

// happened says whether any version of an entry lies before the moment asked for. Older
// versions count, because changes in a window are told against what stood at its start.
func (g *group) happened(ask Ask) bool {
	return slices.ContainsFunc(g.all(), func(e *entry.Entry) bool {
		return (e == g.original || e.Corrected != nil) && !e.Says().At.After(ask.At)
	})
}

// names says whether a handover or an acceptance is of an infant.
func (g *group) names(infant string) bool {
	return slices.ContainsFunc(g.all(), func(e *entry.Entry) bool { return e.Says().Names("infants", infant) })
}

// leaves says whether an entry was moved to another infant. It belongs to that one
// then, and an export of this infant alone leaves it out.
func (c *carrier) leaves(g *group) bool {
	return slices.ContainsFunc(g.amended, func(e *entry.Entry) bool {
		to := c.groups[e.Reference("movedTo")]
		return to != nil && to.original.Infant != g.original.Infant
	})
}

// add carries an entry once, and then the entries that it names, so that nothing that
// is read back names what is not there.
func (c *carrier) add(g *group, apart bool) {
	if c.in[g] {
		return
	}
	c.in[g] = true
	texts := c.texts(g)
	if texts == nil {
		return
	}
	infant := g.original.Infant
	host := c.hosts[g.original.ID]
	if bounds[g.original.Kind] {
		host = nil
	}
	if host != nil {
		extend(host.Model, texts)
	}
	i := c.infants[infant]
	here := i != nil && (i.admitted() || c.ask.Infant != "")
	if host == nil || apart || here && !c.present[g.original.ID] {
		c.carriers = append(c.carriers, c.basic(g, texts))
	}
	for _, e := range g.all() {
		for _, field := range []string{"task", "handover"} {
			if to := c.groups[e.Says().Reference(field)]; to != nil {
				c.add(to, false)
			}
		}
		if to := c.groups[e.Reference("movedTo")]; to != nil {
			c.moved(to, infant)
		}
	}
}

// moved carries the entry that another one was moved to, and what is needed to read it
// back in case its infant is not in the export.
func (c *carrier) moved(to *group, from string) {
	infant := to.original.Infant
	i := c.infants[infant]
	if c.exported[infant] != nil {
		c.build(i)
	}
	if infant == from || i != nil && i.admitted() {
		c.add(to, false)
		return
	}
	for _, e := range c.entries[infant] {
		if g := c.groups[e.ID]; g != nil && bounds[e.Kind] {
			c.add(g, true)
		}
	}
	c.add(to, true)
}
