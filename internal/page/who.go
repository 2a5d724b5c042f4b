package page

import (
	"slices"
	"strconv"
	"strings"

	"cotline/handover"
)

// name is how an infant is called; a restricted one never is.
func name(restricted bool, family, given, temporary string) string {
	switch full := joined(", ", family, given); {
	case restricted:
		return "name not shown"
	case full != "":
		return said(full)
	case temporary != "":
		return said(temporary)
	}
	return "no name charted"
}

func nameOf(f *handover.Summary) string { return name(f.Restricted, f.Family, f.Given, f.Temporary) }

// number is the hospital's, for a list whose heading says so.
func number(f *handover.Summary) string {
	if f.MRN == "" {
		return "no number"
	}
	return said(f.MRN)
}

// called is an infant by cot, name and number.
func called(f *handover.Summary) string {
	cot := said(f.Cot) + ": " + nameOf(f)
	if f.MRN == "" {
		return cot + ", no number"
	}
	return cot + ", number " + said(f.MRN)
}

// other is another infant by cot, name and number.
func (v view) other(key string) string {
	f := v.others[key]
	if f == nil {
		return key
	}
	return "cot " + called(f)
}

// otherCot is for where there is no room.
func (v view) otherCot(key string) string {
	if f := v.others[key]; f != nil {
		return said(f.Cot)
	}
	return key
}

// identity is what tells this infant from any other, beside cot, name and number.
func (v view) identity(f *handover.Summary) []string {
	var out []string
	add := func(s string) {
		if s != "" {
			out = append(out, s)
		}
	}
	named := !f.Restricted && f.Family+f.Given != ""
	if named || f.Restricted {
		add(prefixed("label ", said(f.Temporary)))
	}
	if !f.Restricted {
		add(prefixed("formerly ", said(f.Formerly)))
	}
	add("record key " + f.Infant)
	add(prefixed("visit ", said(f.Visit)))
	add(f.Sex)
	switch {
	case f.BirthOrder != "" && f.Multiples != "":
		add(f.BirthOrder + " of " + f.Multiples + " in this birth")
	case f.Multiples != "":
		add(f.Multiples + " in this birth")
	case f.BirthOrder != "":
		add("number " + f.BirthOrder + " in this birth")
	}
	about := ""
	if f.Age.About {
		about = "about "
	}
	switch {
	case f.Age.Gestation == "":
		add("gestation not charted")
	default:
		add("born at " + f.Age.Gestation + " weeks")
		if f.Age.Postmenstrual != "" {
			add("postmenstrual age " + about + f.Age.Postmenstrual + " weeks")
		}
	}
	add("day of life " + strconv.Itoa(f.Age.DayOfLife) + " (day of birth is 0)")
	return out
}

// warnings are what must be known before anything is done to this infant.
func (v view) warnings(f *handover.Summary) []string {
	var out []string
	for _, l := range f.LookAlikes {
		out = append(out, "LOOK-ALIKE ("+l.Why+"): "+v.other(l.Infant))
	}
	for _, c := range f.Conflicts {
		what := c.What
		if what == "number" {
			what = "hospital number"
		}
		out = append(out, "CONFLICT: same "+what+" "+said(c.Value)+" charted for "+v.other(c.Infant))
	}
	return out
}

// eyes are the things of an infant that need eyes, few words each. Those that
// need a person now are marked; the mark is kept for them, since one that stands
// beside every infant is read by nobody.
func (v view) eyes(f *handover.Summary) (marked, plain []string) {
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
		plain = append(plain, strconv.Itoa(n)+" not charted")
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

// mode is the state of support in a word or two.
func (v view) mode(f *handover.Summary) string {
	switch f.Support.State {
	case "on":
		return f.Support.Mode
	case "off":
		return "off since " + v.when(f.Support.StoppedAt)
	}
	return "no support"
}
