package web

import (
	"slices"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/web/forms"
	"cotline/internal/web/words"
)

// skinPart is a check of skin on a map of face, ears and back of head.
func skinPart() *sheetPart {
	p := partOf("skin").saying(words.Say("Skin"),
		words.Say("Touch each site that you saw. A site that is not touched counts as not seen."),
		words.Say("In dark skin redness may not show. Compare warmth and firmness with the skin beside it."))
	p.own = skinMap{}
	return p
}

// skinMap asks site by site. One touch says intact of those marked as seen for which
// nothing else was chosen, and of no other.
type skinMap struct{}

// skinView is the map.
type skinView struct {
	Sites  []*siteView
	Intact bool
	Fault  string
}

type siteView struct {
	Site, Label, Name string
	Seen              bool
	Last              string
	Due               bool
	Controls          []*forms.Control
	Fault             string
}

// siteSpecs are the fields of a site, without its name.
func siteSpecs(p *sheetPart) []entry.Spec { return p.kind.Fields[0].Of[1:] }

func siteInput(p *sheetPart, site string) string { return p.name + "." + site }

func (skinMap) ask(c *charting, p *sheetPart, a *forms.Asked, faults forms.Faults, v *partView) {
	m := &skinView{Intact: c.posted.Get(p.name+".intact") != ""}
	if f := faults[p.name+".intact"]; f != nil {
		m.Fault = f.Text
	}
	for _, site := range entry.Sites {
		name := siteInput(p, site)
		s := &siteView{Site: site, Label: forms.Say(site), Name: name, Seen: slices.Contains(c.posted[p.name+".seen"], site),
			Due: slices.Contains(c.summary.Skin.DueSites, site) &&
				(c.summary.Skin.State == "due" || c.summary.Skin.State == "overdue"),
			Last: words.Say("not seen yet")}
		i := slices.IndexFunc(c.summary.Skin.Sites, func(x handover.SkinSite) bool { return x.Site == site })
		if i >= 0 {
			x := c.summary.Skin.Sites[i]
			s.Last = forms.Say(x.Finding) + ", " + age(x.At, c.now)
		}
		s.Controls = a.Controls(name, siteSpecs(p), c.posted, faults)
		s.Controls[0].Options[0].Label = words.Say("nothing chosen") // what one touch may call intact
		if f := faults[name]; f != nil {
			s.Fault = f.Text
		}
		m.Sites = append(m.Sites, s)
	}
	v.Skin = m
}

func (skinMap) read(c *charting, p *sheetPart, a *forms.Asked, faults forms.Faults) *forms.Read {
	intact, out := c.posted.Get(p.name+".intact") != "", &forms.Read{}
	list := entry.Value{Type: entry.ListValue}
	for _, site := range entry.Sites {
		name := siteInput(p, site)
		own := a.Read(name, siteSpecs(p), c.posted, faults)
		seen := slices.Contains(c.posted[p.name+".seen"], site)
		if len(own.Fields) == 0 && !seen {
			continue
		}
		at := "sites[" + whole(len(list.List)) + "]"
		for _, s := range siteSpecs(p) {
			out.Came(at+"."+s.Name, name+"."+s.Name)
		}
		out.Came(at, name)
		fields := own.Fields
		if entry.Lookup(fields, "finding").Type == entry.Absent {
			switch {
			case seen && intact:
				fields = append([]entry.Field{{Name: "finding", Value: entry.NewText("intact")}}, fields...)
			case seen:
				faults.Add(name, words.Say("Marked as seen. Choose what was found, or touch 'Intact' for those marked as seen."))
			default:
				faults.Add(name, words.Say("Something is noted of it. Mark it as seen, and choose what was found."))
			}
		}
		list.List = append(list.List, entry.Value{Type: entry.ObjectValue,
			Fields: append([]entry.Field{entry.TextField("site", site)}, fields...)})
	}
	if intact && len(c.posted[p.name+".seen"]) == 0 {
		faults.Add(p.name+".intact", words.Say("No site is marked as seen: touch those that you saw."))
	}
	if len(list.List) > 0 {
		out.Fields = []entry.Field{{Name: "sites", Value: list}}
		out.Came("sites", p.name)
	}
	return out
}
