package handover

import (
	"cmp"
	"math/bits"
	"slices"
	"unicode"

	"golang.org/x/text/cases"
	"golang.org/x/text/unicode/norm"

	"cotline/handover/entry"
)

// together adds what needs the whole ward: conflicts and look-alikes among the
// infants admitted, of those who are told of. The others stand in Elsewhere.
func together(h *Handover, readings, others []*reading) {
	told := len(readings)
	all := make([]traits, 0, told+len(others))
	for i, r := range readings {
		all = append(all, traitsOf(h.Infants[i], r))
	}
	for _, r := range others {
		s := r.who()
		h.Elsewhere = append(h.Elsewhere, s)
		all = append(all, traitsOf(s, r))
	}
	// In the order of keys, whoever is told of.
	slices.SortStableFunc(all, func(a, b traits) int { return cmp.Compare(a.s.Infant, b.s.Infant) })
	isTold := map[string]bool{}
	for _, s := range h.Infants {
		isTold[s.Infant] = true
	}
	for i := range all {
		for j := i + 1; j < len(all); j++ {
			a, b := &all[i], &all[j]
			if !isTold[a.s.Infant] && !isTold[b.s.Infant] {
				continue
			}
			for _, c := range a.conflicts(b) {
				a.s.Conflicts = append(a.s.Conflicts, Conflict{c.What, c.Value, b.s.Infant})
				b.s.Conflicts = append(b.s.Conflicts, Conflict{c.What, c.Value, a.s.Infant})
			}
			if why := a.like(b); why != "" {
				a.s.LookAlikes = append(a.s.LookAlikes, LookAlike{b.s.Infant, why})
				b.s.LookAlikes = append(b.s.LookAlikes, LookAlike{a.s.Infant, why})
			}
		}
	}
}

// traits are what two infants are compared by.
type traits struct {
	s              *Summary
	driver         string // in a current spell
	born           entry.Date
	family, number letters
}

func traitsOf(s *Summary, r *reading) traits {
	t := traits{s: s, born: r.born(), family: lettersOf(normalised(r.identity("family"))), number: lettersOf([]rune(s.MRN))}
	if r.spell != nil {
		t.driver = r.spell.driver
	}
	return t
}

// conflicts are what two infants cannot share.
func (a *traits) conflicts(b *traits) []Conflict {
	var out []Conflict
	shared := func(what, x, y string) {
		if x != "" && x == y {
			out = append(out, Conflict{What: what, Value: x})
		}
	}
	shared("driver", a.driver, b.driver)
	shared("cot", a.s.Cot, b.s.Cot)
	shared("number", a.s.MRN, b.s.MRN)
	return out
}

// like says why two infants could be mistaken for each other; the first that holds.
func (a *traits) like(b *traits) string {
	most := 1
	if len(a.family.runes) >= 7 && len(b.family.runes) >= 7 {
		most = 2
	}
	switch {
	case a.s.Mother != "" && a.s.Mother == b.s.Mother, a.born == b.born && alike(&a.family, &b.family, 0):
		return "sibling"
	case alike(&a.number, &b.number, 1):
		return "number"
	case alike(&a.family, &b.family, most):
		return "name"
	}
	return ""
}

var fold = cases.Fold()

// normalised is a name with marks stripped, case folded, letters only.
func normalised(name string) []rune {
	var out []rune
	for _, r := range fold.String(norm.NFKD.String(name)) {
		if unicode.IsLetter(r) {
			out = append(out, r)
		}
	}
	return out
}

// letters is a text to be compared, with which letters it has: a bit each.
type letters struct {
	runes []rune
	has   uint
}

func lettersOf(runes []rune) letters {
	l := letters{runes: runes}
	for _, r := range runes {
		l.has |= 1 << (uint(r) % bits.UintSize) // #nosec G115 -- a letter is never negative
	}
	return l
}

// alike says whether the optimal string alignment distance (one edit, or one
// swap of neighbours, each counting 1) of two texts is at most so much; a text of
// no letters is like none. An edit changes at most one letter of each, so that most
// pairs are told apart by which letters they have.
func alike(a, b *letters, most int) bool {
	if len(a.runes) == 0 || len(b.runes) == 0 || bits.OnesCount(a.has^b.has) > most+most {
		return false
	}
	if d := len(a.runes) - len(b.runes); d > most || -d > most {
		return false
	}
	return distance(a.runes, b.runes, most) <= most
}

// distance is the optimal string alignment distance, or some number over most.
func distance(a, b []rune, most int) int {
	width := len(b) + 1
	rows := make([]int, 3*width)
	before, last, row := rows[:width], rows[width:2*width], rows[2*width:]
	for j := range last {
		last[j] = j
	}
	for i := 1; i <= len(a); i++ {
		row[0] = i
		least := i
		for j := 1; j <= len(b); j++ {
			cost := 1
			if a[i-1] == b[j-1] {
				cost = 0
			}
			row[j] = min(last[j]+1, row[j-1]+1, last[j-1]+cost)
			if i > 1 && j > 1 && a[i-1] == b[j-2] && a[i-2] == b[j-1] {
				row[j] = min(row[j], before[j-2]+1)
			}
			least = min(least, row[j])
		}
		if least > most {
			return least
		}
		before, last, row = last, row, before
	}
	return last[len(b)]
}
