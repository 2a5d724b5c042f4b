package entry

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"
)

// What is offered is made clean when it is accepted, before it is judged, stored and
// hashed: whatever brought it, a number that looks the same is the same, and a text
// holds nothing that nobody sees. What is held already stands as it was taken, with its
// chain; to compare it with what is offered, it is made clean too, so that a file that
// was taken before is still held.

// OneForm is a number or label in the form that is compared: without blanks around
// it, in NFKC (Unicode Standard Annex 15), in which characters of one meaning and
// several shapes, such as digits of full width, are one.
func OneForm(s string) string {
	if plainASCII(s) {
		return strings.Trim(s, " ")
	}
	return strings.TrimSpace(norm.NFKC.String(s))
}

// withoutUnseen is a text without zero-width characters and direction marks (Unicode Standard
// Annex 9, section 2), with which one text can look like another.
func withoutUnseen(s string) string {
	if plainASCII(s) {
		return s
	}
	return norm.NFC.String(strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Bidi_Control, r) || zeroWidth(r) {
			return -1
		}
		return r
	}, s))
}

// Undirected is a text with a sign in place of each direction mark, for records from
// before such marks were taken out: in what goes out, none may turn what stands beside it.
func Undirected(s string) string {
	if plainASCII(s) || !utf8.ValidString(s) {
		return s
	}
	return strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Bidi_Control, r) {
			return utf8.RuneError
		}
		return r
	}, s)
}

// zeroWidth says whether a character joins or parts those beside it without a width.
func zeroWidth(r rune) bool {
	switch r {
	case '\u200b', '\u200c', '\u200d', '\u2060', '\ufeff', '\u180e':
		return true
	}
	return false
}

// unseen is the first character of an identifier that shows nothing, or changes how
// those beside it show; 0 when there is none.
func unseen(s string) rune {
	for _, r := range s {
		if r != ' ' && (!unicode.IsPrint(r) || unicode.Is(unicode.Other_Default_Ignorable_Code_Point, r) ||
			unicode.Is(unicode.Variation_Selector, r) || r == '\u2800') { // blank of braille
			return r
		}
	}
	return 0
}

func plainASCII(s string) bool {
	for i := range len(s) {
		if s[i] < ' ' || s[i] >= utf8.RuneSelf-1 {
			return false
		}
	}
	return true
}

// clean is the entry with identifiers and texts in the form that is stored. It is the
// entry itself where nothing changes.
func (e *Entry) clean() *Entry {
	if e.isClean {
		return e
	}
	fields, of, changed := e.cleaned()
	if !changed {
		return e
	}
	as := *e
	as.Fields, as.Corrected = fields, of
	return &as
}

// cleaned is what changes in the entry, if anything does.
func (e *Entry) cleaned() (fields []Field, of *Entry, changed bool) {
	kind, ok := KindOf(e.Kind)
	if !ok {
		return e.Fields, e.Corrected, false
	}
	fields, changed = cleanFields(e.Fields, kind.Fields)
	if of = e.Corrected; of != nil {
		of = of.clean()
	}
	return fields, of, changed || of != e.Corrected
}

func cleanFields(fields []Field, specs []Spec) ([]Field, bool) {
	out := fields
	for i := range fields {
		if t := fields[i].Value.Type; t == NumberValue || t == BoolValue {
			continue // nothing to clean
		}
		spec, ok := SpecOf(specs, fields[i].Name)
		if !ok {
			continue
		}
		v, changed := cleanValue(fields[i].Value, spec)
		if !changed {
			continue
		}
		if &out[0] == &fields[0] {
			out = append([]Field(nil), fields...)
		}
		out[i].Value = v
	}
	return out, len(fields) > 0 && &out[0] != &fields[0]
}

func cleanValue(v Value, s *Spec) (Value, bool) {
	switch {
	case s.Type == Text && v.Type == TextValue:
		was := v.Text
		if v.Text = withoutUnseen(was); s.Identifies {
			v.Text = OneForm(was)
		}
		return v, v.Text != was
	case s.Type == Object && v.Type == ObjectValue:
		fields, changed := cleanFields(v.Fields, s.Of)
		v.Fields = fields
		return v, changed
	case s.Type == List && s.Of != nil && v.Type == ListValue:
		var list []Value
		for i := range v.List {
			if fields, changed := cleanFields(v.List[i].Fields, s.Of); changed {
				if list == nil {
					list = append(list, v.List...)
				}
				list[i].Fields = fields
			}
		}
		if list != nil {
			v.List = list
			return v, true
		}
	}
	return v, false
}

// zeros refuses a minus before zero: a number that looks the same is the same.
func (a *acceptance) zeros(e *Entry) {
	as, prefix := e, ""
	if e.Corrected != nil {
		as, prefix = e.Corrected, "entry."
	}
	a.noMinus(e, as.Fields, prefix)
}

func (a *acceptance) noMinus(e *Entry, fields []Field, prefix string) {
	for i := range fields {
		f := &fields[i]
		if s := f.Value.Text; f.Value.Type == NumberValue && strings.HasPrefix(s, "-") && strings.Trim(s, "-0.") == "" {
			a.add(e, prefix+f.Name, CodeNumber, s, "zero has no minus")
		}
		a.noMinus(e, f.Value.Fields, prefix+f.Name+".")
		for n, v := range f.Value.List {
			at := fmt.Sprintf("%s%s[%d]", prefix, f.Name, n)
			if v.Type == NumberValue {
				a.noMinus(e, []Field{{Name: at, Value: v}}, "")
			}
			a.noMinus(e, v.Fields, at+".")
		}
	}
}

// identifiers refuses what an identifier must not hold, and a text of which nothing is
// left once what nobody sees is taken out.
func (a *acceptance) identifiers(e *Entry) {
	as, prefix := e, ""
	if e.Corrected != nil {
		a.visible(e, e.Fields, e.Kind, "")
		as, prefix = e.Corrected, "entry."
	}
	a.visible(e, as.Fields, as.Kind, prefix)
}

func (a *acceptance) visible(e *Entry, fields []Field, kind, prefix string) {
	k, ok := KindOf(kind)
	if !ok {
		return
	}
	for i := range fields {
		f := &fields[i]
		spec, ok := k.Spec(f.Name)
		if !ok || spec.Type != Text || f.Value.Type != TextValue {
			continue
		}
		switch r := unseen(f.Value.Text); {
		case spec.Identifies && r != 0:
			a.add(e, prefix+f.Name, CodeText, "", fmt.Sprintf("no character that nobody sees, or that turns the direction (U+%04X)", r))
		case strings.TrimSpace(f.Value.Text) == "":
			a.add(e, prefix+f.Name, CodeText, "", "not empty: leave the field out")
		}
	}
}
