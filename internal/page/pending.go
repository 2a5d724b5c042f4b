package page

import (
	"slices"
	"strings"
	"time"

	"cotline/handover"
)

func (v view) isOld(f *handover.Summary, path string) bool { return false }

func (v view) howOld(f *handover.Summary, path string, at time.Time) string { return "" }

func (v view) shortHanded(f *handover.Summary) row { return row{Label: "Handed"} }

func (v view) shortDoubts(f *handover.Summary) row { return row{Label: "Doubts"} }

func (v view) coming(f *handover.Summary) []string {
	type later struct {
		at   time.Time
		text string
	}
	var all []later
	moment := func(what, state string, at handover.Maybe[time.Time]) {
		if at.Value != nil && state == "not-due" {
			all = append(all, later{*at.Value, what + " " + v.when(*at.Value)})
		}
	}
	if x := f.Rotation.Value; x != nil {
		moment("rotation", x.State, x.DueAt)
	}
	moment("skin", f.Skin.State, f.Skin.DueAt)
	slices.SortStableFunc(all, func(a, b later) int { return a.at.Compare(b.at) })
	var out []string
	for _, l := range all {
		out = append(out, l.text)
	}
	return out
}

// attention are the things of an infant that need eyes, few words each. Those that
// need a person now are marked; the mark is kept for them, since one that stands
// beside every infant is read by nobody.
func (v view) attention(f *handover.Summary) (marked, plain []string) {
	if x := f.Outlook.Value; x != nil && x.Severity == "unstable" {
		marked = append(marked, "UNSTABLE")
	}
	for _, c := range f.Conflicts {
		marked = append(marked, "CONFLICT "+c.What+" "+v.otherCot(c.Infant))
	}
	var overdue []string
	for _, d := range f.Due {
		if d.State == "overdue" {
			overdue = append(overdue, overdueName(d))
		}
	}
	if len(overdue) > 0 {
		marked = append(marked, "OVERDUE "+strings.Join(overdue, ", "))
	}
	if t := f.Tubes.Value; t != nil && slices.ContainsFunc(*t, func(t handover.Tube) bool { return t.Moved }) {
		marked = append(marked, "TUBE MOVED")
	}
	for _, l := range f.LookAlikes {
		plain = append(plain, "LOOK-ALIKE "+v.otherCot(l.Infant))
	}
	if slices.ContainsFunc(f.Skin.Sites, func(s handover.SkinSite) bool { return s.Change == "worse" }) {
		plain = append(plain, "skin worse")
	}
	if n := len(f.Gaps); n > 0 {
		plain = append(plain, string(whole(n))+" not charted")
	}
	return marked, plain
}

// overdueName is a thing that is overdue, in a word or two.
func overdueName(d handover.Due) string {
	switch d.What {
	case "care":
		return plain(d.Care)
	case "task", "skin", "tube", "circuit", "bonnet", "head":
		return d.What
	}
	return dueNames[d.What]
}
