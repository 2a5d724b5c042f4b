package page

import (
	"slices"
	"strings"
	"unicode"

	"cotline/handover"

	"github.com/rivo/uniseg"
)

// withInitials is a handover whose infants are called by the initials of their
// names. Labels, numbers and what was charted in free text stay.
func withInitials(h *handover.Handover) *handover.Handover {
	out := *h
	out.Infants, out.Elsewhere = summariesWithInitials(h.Infants), summariesWithInitials(h.Elsewhere)
	out.Late = slices.Clone(h.Late)
	for i := range out.Late { // what names may stand in is told by its kind alone
		if l := &out.Late[i]; l.Kind == "admission" || l.Kind == "identity" {
			l.Text = ""
		}
	}
	out.Left = slices.Clone(h.Left)
	for i := range out.Left {
		l := &out.Left[i]
		l.Family, l.Given = initials(l.Family), initials(l.Given)
	}
	return &out
}

func summariesWithInitials(all []*handover.Summary) []*handover.Summary {
	out := make([]*handover.Summary, len(all))
	for i, f := range all {
		s := *f
		s.Family, s.Given, s.Formerly = initials(f.Family), initials(f.Given), initials(f.Formerly)
		if h := f.HandedOver; h != nil && h.Accepted != nil { // what was asked may be of several infants, by name
			over, accepted := *h, *h.Accepted
			accepted.Asked = ""
			over.Accepted = &accepted
			s.HandedOver = &over
		}
		s.Changes = slices.Clone(f.Changes)
		for j := range s.Changes {
			if c := &s.Changes[j]; c.Path == "name" {
				c.From, c.To = changeOfInitials(c.From), changeOfInitials(c.To)
			}
		}
		out[i] = &s
	}
	return out
}

func changeOfInitials(x *handover.ChangeValue) *handover.ChangeValue {
	if x == nil {
		return nil
	}
	short := *x
	short.Text = initials(x.Text)
	return &short
}

// initials are the first letters of a name's words, hyphens kept: Anna-Maria is
// A.-M. A letter is all that a reader takes for one (Unicode Standard Annex 29),
// its marks with it; what stands before it, such as an apostrophe, is passed over.
func initials(name string) string {
	var words []string
	for _, word := range strings.Fields(name) {
		var parts []string
		for _, part := range strings.FieldsFunc(word, func(r rune) bool { return unicode.Is(unicode.Pd, r) }) {
			parts = append(parts, firstLetter(part)+".")
		}
		if len(parts) > 0 {
			words = append(words, strings.Join(parts, "-"))
		}
	}
	if len(words) == 0 && name != "" {
		return "?"
	}
	return strings.Join(words, " ")
}

// firstLetter is the first letter or digit of a word; of one without, its first character.
func firstLetter(word string) string {
	first := ""
	for g := uniseg.NewGraphemes(word); g.Next(); {
		r := g.Runes()[0]
		if unicode.IsLetter(r) || unicode.IsDigit(r) {
			return g.Str()
		}
		if first == "" {
			first = g.Str()
		}
	}
	return first
}
