package access

import (
	"slices"
	"strings"
)

// By is who did it, and how she was proven, for people to read.
func (e *Event) By() string {
	switch {
	case e.Who == "":
		return "nobody known"
	case e.LetInBy != "":
		return e.Who + " (let in by " + e.LetInBy + ")"
	case e.Program:
		return e.Who + " (program)"
	}
	return e.Who
}

// Done is what was done, to whom and of which infants, for people to read.
func (e *Event) Done() string {
	parts := []string{e.What, e.Detail}
	if e.Whom != "" {
		parts = append(parts, "of "+e.Whom)
	}
	parts = append(parts, e.Infants...)
	if e.Whole {
		parts = append(parts, "the whole unit")
	}
	return strings.Join(slices.DeleteFunc(parts, func(s string) bool { return s == "" }), " ")
}
