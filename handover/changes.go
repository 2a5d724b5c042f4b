package handover

import (
	"strings"

	"cotline/handover/entry"
)

// compared is one fact that a change is told of.
type compared struct {
	path  string
	value *ChangeValue // nil: null
	entry string
}

// comparable lists the facts of a summary that apply, in the order they are told.
func (r *reading) comparable(s *Summary) []compared {
	var out []compared
	text := func(path, v, entry string) {
		c := compared{path: path, entry: entry}
		if v != "" {
			c.value = &ChangeValue{Text: v}
		}
		out = append(out, c)
	}
	bare := func(path, v, entry string) { out = append(out, compared{path, &ChangeValue{v, true}, entry}) }
	null := func(path string) { out = append(out, compared{path: path}) }

	if s.Support.State == "on" {
		text("support.state", "on", r.spell.resumed.ID)
		text("support.mode", s.Support.Mode, s.Support.Entry)
	} else {
		text("support.state", s.Support.State, s.Support.Entry)
	}
	for _, x := range s.Settings {
		if x.Fact == nil {
			null("settings." + x.Field)
		} else {
			bare("settings."+x.Field, x.Fact.Value.String(), x.Fact.Entry)
		}
	}
	for _, field := range []string{"upperPressureCmH2O", "rateMin", "inspiratoryS"} {
		if r.in(ratedModes) && r.setAt(r.spell, field, r.at) == nil {
			null("settings." + field)
		}
	}
	if s.Interface.Applies {
		f := s.Interface.orZero()
		text("interface", strings.TrimSpace(f.Type+" "+f.Size.orZero()), f.Entry)
	}
	if f := s.Rotation.Value; f != nil {
		if f.Last == nil {
			null("rotation.last")
		} else {
			text("rotation.last", f.Last.From+" to "+f.Last.To, f.Last.Entry)
		}
	}
	for _, site := range entry.Sites {
		if seen := r.seenAt(site, r.at); seen != nil {
			text("skin.sites."+site, seen.finding(), seen.check.ID)
		} else {
			null("skin.sites." + site)
		}
	}
	for _, use := range tubeUses {
		t := r.tube(use)
		path := "tubes." + use
		if !t.told {
			null(path + ".in")
			continue
		}
		bare(path+".in", boolText(t.in), t.settled.ID)
		if t.in {
			text(path+".route", t.route, t.routed.ID)
			mark, _ := t.mark.Number("markCm")
			bare(path+".markCm", mark.String(), t.mark.ID)
		}
	}
	if f := s.Head.Value; f != nil {
		bare("head", f.CircumferenceCm.String(), f.Entry)
	} else {
		null("head")
	}
	r.compareBonnet(s, text, bare, null)
	text("cot", s.Cot, r.cotEntry().ID)
	text("mrn", s.MRN, idOf(r.identified("mrn")))
	if !s.Restricted {
		text("name", strings.TrimSpace(s.Given+" "+s.Family), r.namedBy())
	}
	text("outlook.severity", s.Outlook.orZero().Severity, s.Outlook.orZero().Entry)
	return out
}

func (r *reading) compareBonnet(s *Summary, text, bare func(string, string, string), null func(string)) {
	b := r.readBonnet()
	switch {
	case b.in:
		bare("bonnet.in", "true", b.putOn.ID)
		text("bonnet.size", b.size, b.since.ID)
	case b.off != nil:
		bare("bonnet.in", "false", b.off.ID)
	default:
		null("bonnet.in")
	}
	if f := s.Bonnet.Value; f != nil {
		if len(f.Reasons) == 0 {
			null("bonnet.due")
		} else {
			text("bonnet.due", f.DueOn.String()+" "+f.Reason, f.Reasons[0].Entry)
		}
	}
}

func boolText(b bool) string {
	if b {
		return "true"
	}
	return "false"
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
