package web

import (
	"slices"
	"strings"

	"cotline/internal/access"
	"cotline/internal/web/words"
)

// way is a link of the bar on top.
type way struct {
	Path, Name string
	Current    string // as aria-current has it: the page itself, true for one beneath it, empty for another
}

// waysOf are the links that somebody has on top of a page at a path, the most needed first, of
// the units that are served. A unit is named where there are several.
func waysOf(who *access.Who, served []string, at string) (out []way) {
	add := func(path, name string) {
		x := way{Path: path, Name: name}
		switch {
		case at == path:
			x.Current = "page"
		case strings.HasPrefix(at, path+"/"):
			x.Current = "true"
		}
		out = append(out, x)
	}
	units := func(p access.Permission) []string {
		return slices.DeleteFunc(who.Units(p), func(unit string) bool { return !slices.Contains(served, unit) })
	}
	of := func(units []string, path func(unit string) string, name string) {
		for _, unit := range units {
			if len(units) > 1 {
				add(path(unit), name+" "+unit)
			} else {
				add(path(unit), name)
			}
		}
	}
	seen, kept := units(access.ReadInfants), units(access.ManagePeople)
	of(seen, wardPath, words.Say("Ward"))
	of(units(access.HandOver), handoversPath, words.Say("Handover"))
	of(units(access.Export), tablesPath, words.Say("Tables"))
	of(kept, peoplePath, words.Say("People"))
	of(kept, tracePath, words.Say("Who did what"))
	may := func(p access.Permission) bool { return who.May(who.Unit, p) }
	if may(access.LetIn) {
		add(letInPath, words.Say("Let in"))
	}
	if may(access.LookBeyond) && len(served) > len(seen) {
		add("/beyond", words.Say("Another unit"))
	}
	if may(access.OwnAccount) {
		add("/account", words.Say("Your account"))
	}
	return out
}
