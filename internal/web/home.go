package web

import (
	"slices"

	"cotline/internal/access"
	"cotline/internal/web/words"
)

// home leads to the ward: of the own unit, or of the first whose infants may be seen; who
// may export tables alone, to them; a keeper to people. Who may none of it is told where
// her work is done.
func home(s *Server, r *request) (answer, error) {
	units := slices.DeleteFunc(r.who.Units(access.ReadInfants), func(unit string) bool { return s.units[unit] == nil })
	switch {
	case slices.Contains(units, r.who.Unit):
		return answer{to: wardPath(r.who.Unit)}, nil
	case len(units) > 0:
		return answer{to: wardPath(units[0])}, nil
	}
	for _, unit := range r.who.Units(access.Export) {
		if s.units[unit] != nil {
			return answer{to: tablesPath(unit)}, nil
		}
	}
	for _, unit := range r.who.Units(access.ManagePeople) {
		if s.units[unit] != nil {
			return answer{to: peoplePath(unit)}, nil
		}
	}
	return answer{page: "home", title: words.Say("Signed in")}, nil
}
