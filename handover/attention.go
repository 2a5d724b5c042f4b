package handover

import "slices"

// attentionTable is what a person must see, in the order in which it is told. Of one thing,
// what is now stands before what is to be known.
var attentionTable = []struct {
	what string
	rows func(*look) []Attention
}{
	{"conflict", (*look).conflicts},
	{"alarm", (*look).alarms},
	{"episode", (*look).episodes},
	{"spo2", (*look).spo2},
	{"support", (*look).support},
	{"tube", (*look).tubes},
	{"interface", (*look).face},
	{"skin", (*look).skin},
	{"outlook", (*look).outlook},
	{"overdue", (*look).overdue},
	{"warmth", (*look).warmth},
	{"sensor", (*look).sensors},
	{"bonnet", (*look).bonnet},
	{"rule", (*look).rules},
	{"read-out", (*look).readOut},
	{"missing", (*look).missing},
	{"late", (*look).lates},
	{"old", (*look).oldFacts},
	{"handing-over", (*look).handingOver},
	{"new", (*look).newcomer},
	{"look-alike", (*look).lookAlikes},
}

// attention is what a person must see of the infant, made after everything else.
func (r *reading) attention(s *Summary, u *unitReading, late int, ward map[string]*Summary) []Attention {
	l := &look{r, s, u, late, ward}
	out := []Attention{}
	for _, x := range attentionTable {
		rows := x.rows(l)
		slices.SortStableFunc(rows, func(a, b Attention) int {
			return rankIn([]string{Now, Know}, a.Level) - rankIn([]string{Now, Know}, b.Level)
		})
		for _, row := range rows {
			row.What = x.what
			out = append(out, row)
		}
	}
	return out
}
