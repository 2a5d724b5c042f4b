package handover

import (
	"strconv"
	"strings"

	"cotline/handover/entry"
)

// compared is one fact that a change is told of.
type compared struct {
	path  string
	value *ChangeValue // nil: null
	entry string
}

// comparing gathers what is compared, in the order in which it is told.
type comparing []compared

// text is a word; an empty one is null.
func (c *comparing) text(path, v, entry string) {
	one := compared{path: path, entry: entry}
	if v != "" {
		one.value = &ChangeValue{Text: v}
	}
	*c = append(*c, one)
}

// bare is a number, or true or false.
func (c *comparing) bare(path, v, entry string) {
	*c = append(*c, compared{path, &ChangeValue{v, true}, entry})
}

func (c *comparing) null(path string) { *c = append(*c, compared{path: path}) }

// comparable lists the facts of a summary that apply, in the order they are told.
func (r *reading) comparable(s *Summary) []compared {
	var c comparing
	if s.Support.State == "on" {
		c.text("support.state", "on", r.spell.resumed.ID)
		c.text("support.mode", s.Support.Mode, s.Support.Entry)
	} else {
		c.text("support.state", s.Support.State, s.Support.Entry)
	}
	r.compareSettings(s, &c)
	if s.Interface.Applies {
		f := s.Interface.orZero()
		c.text("interface", strings.TrimSpace(f.Type+" "+f.Size.orZero()), f.Entry)
	}
	if f := s.Rotation.Value; f != nil {
		if f.Last == nil {
			c.null("rotation.last")
		} else {
			c.text("rotation.last", f.Last.From+" to "+f.Last.To, f.Last.Entry)
		}
	}
	for _, site := range entry.Sites {
		if seen := r.seenAt(site, r.at); seen != nil {
			c.text("skin.sites."+site, seen.finding(), seen.check.ID)
		} else {
			c.null("skin.sites." + site)
		}
	}
	r.compareTubes(&c)
	if f := s.Head.Value; f != nil {
		c.bare("head", f.CircumferenceCm.String(), f.Entry)
	} else {
		c.null("head")
	}
	r.compareBonnet(s, &c)
	c.text("cot", s.Cot, r.cotEntry().ID)
	c.text("mrn", s.MRN, idOf(r.identified("mrn")))
	if !s.Restricted {
		c.text("name", strings.TrimSpace(s.Given+" "+s.Family), r.namedBy())
	}
	c.text("outlook.severity", s.Outlook.orZero().Severity, s.Outlook.orZero().Entry)
	return c
}

func (r *reading) compareSettings(s *Summary, c *comparing) {
	for _, x := range s.Settings {
		if x.Fact == nil {
			c.null("settings." + x.Field)
		} else {
			c.bare("settings."+x.Field, x.Fact.Value.String(), x.Fact.Entry)
		}
	}
	for _, field := range []string{"upperPressureCmH2O", "rateMin", "inspiratoryS"} {
		if r.in(ratedModes) && r.setAt(r.spell, field, r.at) == nil {
			c.null("settings." + field)
		}
	}
}

func (r *reading) compareTubes(c *comparing) {
	for _, use := range tubeUses {
		t := r.tube(use)
		path := "tubes." + use
		if !t.told {
			c.null(path + ".in")
			continue
		}
		c.bare(path+".in", strconv.FormatBool(t.in), t.settled.ID)
		if t.in {
			c.text(path+".route", t.route, t.routed.ID)
			mark, _ := t.mark.Number("markCm")
			c.bare(path+".markCm", mark.String(), t.mark.ID)
		}
	}
}

func (r *reading) compareBonnet(s *Summary, c *comparing) {
	b := r.readBonnet()
	switch {
	case b.in:
		c.bare("bonnet.in", "true", b.putOn.ID)
		c.text("bonnet.size", b.size, b.since.ID)
	case b.off != nil:
		c.bare("bonnet.in", "false", b.off.ID)
	default:
		c.null("bonnet.in")
	}
	if f := s.Bonnet.Value; f != nil {
		if len(f.Reasons) == 0 {
			c.null("bonnet.due")
		} else {
			c.text("bonnet.due", f.DueOn.String()+" "+f.Reason, f.Reasons[0].Entry)
		}
	}
}

func idOf(e *entry.Standing) string {
	if e == nil {
		return ""
	}
	return e.ID
}

// namedBy is the later of the entries that gave the present names.
func (r *reading) namedBy() string {
	family, given := r.identified("family"), r.identified("given")
	switch {
	case family == nil:
		return idOf(given)
	case given == nil || entry.InOrder(family, given) > 0:
		return family.ID
	}
	return given.ID
}

// changesOf tells what differs from what the last nurse was told: the same
// compilation as it was at since, with what was known then.
func (r *reading) changesOf(now, then []compared, before *entry.Record, amended bool, untold func(*entry.Entry) bool) []Change {
	out := []Change{}
	for _, c := range now {
		for _, was := range then {
			if was.path != c.path || same(was, c) {
				continue
			}
			entry, stands := c.entry, find(r.all, c.entry)
			if entry == "" {
				entry, stands = was.entry, find(before.Entries, was.entry)
			}
			out = append(out, Change{Path: c.path, From: was.value, To: c.value, Entry: entry, Why: r.why(stands, amended, untold),
				Revised: r.revised(was)})
		}
	}
	return out
}

// revised says whether a setting was another one at since than the last nurse was told.
func (r *reading) revised(was compared) bool {
	field, is := strings.CutPrefix(was.path, "settings.")
	spell := r.spellAt(r.since)
	if !is || spell == nil {
		return is
	}
	stood := compared{path: was.path}
	if v := numberAt(r.appliesAt(spell, field, r.since), field); v != nil {
		stood.value = &ChangeValue{v.String(), true}
	}
	return !same(was, stood)
}

func same(a, b compared) bool {
	if a.path == "rotation.last" && a.value != nil && b.value != nil && a.entry != b.entry {
		return false // turned again: the same words, another moment
	}
	if a.value == nil || b.value == nil {
		return a.value == b.value
	}
	if a.value.Bare && b.value.Bare {
		x, err := entry.ParseDecimal(a.value.Text)
		y, err2 := entry.ParseDecimal(b.value.Text)
		if err == nil && err2 == nil {
			return x.Cmp(y) == 0
		}
	}
	return *a.value == *b.value
}

// why is the first that holds: the fact's entry happened by since and the last nurse was
// not told of it; it happened after; something of this infant was corrected or withdrawn
// after. Where none does, the passing of time made the difference.
func (r *reading) why(e *entry.Standing, amended bool, untold func(*entry.Entry) bool) string {
	switch {
	case e != nil && !e.At.After(r.since) && untold(e.Entry):
		return "late"
	case e != nil && e.At.After(r.since) || !amended:
		return "happened"
	}
	return "corrected"
}
