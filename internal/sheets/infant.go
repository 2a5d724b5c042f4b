package sheets

import (
	"iter"
	"strings"
	"unicode"

	"cotline/handover"
	"cotline/handover/entry"
)

// of is one fact of an infant.
type of[F any] struct {
	*handover.Summary
	fact F
}

// each yields the facts of every infant, in the order of the handover.
func each[F any](h *handover.Handover, facts func(*handover.Summary) []F) iter.Seq[of[F]] {
	return func(yield func(of[F]) bool) {
		for _, s := range h.Infants {
			for _, f := range facts(s) {
				if !yield(of[F]{s, f}) {
					return
				}
			}
		}
	}
}

// infantColumns tell who a row is about: never by one identifier alone.
func infantColumns[T any](infant func(T) *handover.Summary) []column[T] {
	var of *handover.Summary // rows of an infant follow each other, and share where they lead to
	var to *place
	return []column[T]{
		{"Cot", 10, func(r T) cell {
			if s := infant(r); s != of {
				of, to = s, text("", none).back(s).to
			}
			return text(infant(r).Cot, notCharted).at(to)
		}},
		{numberHead, 16, func(r T) cell { return text(numberOrLabel(infant(r).MRN, infant(r).Temporary), notCharted) }},
		{"Name", 20, func(r T) cell { return name(infant(r)) }},
	}
}

// numberOrLabel is the hospital number, or the unit's own label until there is one.
func numberOrLabel(mrn, temporary string) string {
	if mrn != "" {
		return mrn
	}
	return temporary
}

// keyColumn is the record's own key, which entries carry.
func keyColumn[T any](key func(T) string) column[T] {
	return column[T]{keyHead, 12, func(r T) cell { return text(key(r), wholeUnit) }}
}

// back leads to an infant's row of the first sheet of infants.
func (c cell) back(s *handover.Summary) cell {
	if s.Infant != "" {
		c.to = &place{handoverName, s.Infant}
	}
	return c
}

const wholeUnit = "the whole unit"

// temporary is the unit's own label, which stands until there is a hospital number.
func temporary(s *handover.Summary) cell {
	if s.MRN != "" {
		return text(s.Temporary, doesNotApply)
	}
	return text(s.Temporary, notCharted)
}

func name(s *handover.Summary) cell {
	if s.Restricted {
		return word(notShown)
	}
	n := fullName(s.Family, s.Given)
	if s.Formerly != "" {
		n = strings.TrimSpace(n + " (formerly " + s.Formerly + ")")
	}
	return text(n, notCharted)
}

func fullName(family, given string) string {
	if family == "" || given == "" {
		return family + given
	}
	return family + ", " + given
}

// headOf is a column's header for a field: its label, and its unit.
func headOf(s entry.Spec) string {
	if s.Unit == "" {
		return s.Label
	}
	return s.Label + " (" + s.Unit + ")"
}

// pathWords says a path of the handover's JSON form in words, settings and observations as their forms call them.
func pathWords(path string) string {
	if kind, _, _ := strings.Cut(path, "."); kind == "settings" || kind == "observations" {
		if label := handover.LabelOf(path); label != "" && kind != path {
			return label
		}
	}
	var b strings.Builder
	for _, r := range path {
		switch {
		case r == '.':
			b.WriteByte(' ')
		case unicode.IsUpper(r):
			b.WriteByte(' ')
			b.WriteRune(unicode.ToLower(r))
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// list joins words, or says that there are none.
func list(items []string, empty string) cell { return text(strings.Join(items, "; "), empty) }
