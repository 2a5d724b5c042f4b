package intake

import (
	"slices"
	"strings"

	"cotline/handover/entry"
)

// A header with points in it is a part of a nested field, or of a kind of its own.
//
//	sites.septum              of the list of sites, the item septum: its finding in the cell
//	points.21                 of the list of points, that of 21 % gas: what was read
//	tried.1                   of an ordered list, the first: "cause: found"
//	ifThen.1.if               of an ordered list, a field of the first
//	silverman.chest           of an object, a field
//	observations.spo2Percent  the field of an entry of that kind, made of this row
//	care.what.mouth-care      an entry of that kind, of which the word is that
//
// A row under headers of kinds is a round: one infant, moment and nurse, and an entry of each kind in which something
// stands. The ids of these entries follow from the row's own and their kind, so that the row again adds nothing.
type target struct {
	kind  string // of a round; empty: the row's own
	field string
	rest  []string
}

// targetOf reads a header with points; ok is false where it is none of a kind's.
func targetOf(header string) (to target, ok bool) {
	parts := strings.Split(header, ".")
	if len(parts) < 2 {
		return to, false
	}
	if k, is := entry.KindOf(parts[0]); is {
		s, has := k.Spec(parts[1])
		to = target{kind: parts[0], field: parts[1], rest: parts[2:]}
		return to, has && fits(s, to.rest)
	}
	to = target{field: parts[0], rest: parts[1:]}
	return to, slices.ContainsFunc(entry.Kinds, func(k entry.Kind) bool {
		s, has := k.Spec(to.field)
		return has && fits(s, to.rest)
	})
}

// fits says whether a field has such a part.
func fits(s *entry.Spec, rest []string) bool {
	switch {
	case len(rest) == 0:
		return true
	case s.Type == entry.Object:
		return len(rest) == 1 && slices.ContainsFunc(s.Of, func(of entry.Spec) bool { return of.Name == rest[0] })
	case s.Type == entry.List && len(s.Of) > 0:
		return len(rest) == 1 || len(rest) == 2 && slices.ContainsFunc(s.Of, func(of entry.Spec) bool { return of.Name == rest[1] })
	case s.Type == entry.Word: // which entry it is
		return len(rest) == 1
	}
	return false
}

// root is the field that a path starts with.
func root(path string) string {
	if i := strings.IndexAny(path, ".["); i >= 0 {
		return path[:i]
	}
	return path
}
