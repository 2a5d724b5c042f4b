package page

import (
	"slices"
	"strings"
	"time"

	"cotline/handover"
)

// shortOutlook says how the infant was judged, when, and what to do if.
func (v view) shortOutlook(f *handover.Summary) row {
	r := row{Label: "Outlook"}
	x := f.Outlook.Value
	if x == nil {
		return r
	}
	when := v.aged(f, "outlook", x.At)
	if x.At.Before(f.Since) {
		when = "from the shift before (" + when + ")"
		if v.at.Sub(x.At) >= 48*time.Hour {
			when = "from days before (" + v.aged(f, "outlook", x.At) + ")"
		}
	}
	r.add(strings.ToUpper(x.Severity), when)
	for _, c := range x.IfThen {
		r.add("if " + quoted(c.If) + ": " + quoted(c.Then))
	}
	r.add(prefixed("call for ", quoted(x.CallFor)))
	return r
}

// shortGaps names what nobody charted and does not stand above, and what is asked
// about.
func (v view) shortGaps(f *handover.Summary) row {
	r := row{Label: "Gaps"}
	var gaps []string
	for _, path := range f.Gaps {
		if words := pathSaid(path); !above(f, "missing", path) && !slices.Contains(gaps, words) {
			gaps = append(gaps, words)
		}
	}
	switch {
	case len(gaps) > 0:
		r.add(strings.Join(gaps, ", "))
	case len(f.Gaps) == 0:
		r.add("none")
	default:
		r.add("as above")
	}
	var doubts []string
	for _, d := range f.Doubts {
		if words := pathSaid(d.Path); !slices.Contains(doubts, words) {
			doubts = append(doubts, words)
		}
	}
	r.add(prefixed("IN DOUBT: ", strings.Join(doubts, ", ")))
	return r
}

// shortHanded is the latest handover of the stay.
func (v view) shortHanded(f *handover.Summary) row {
	r := row{Label: "Handed"}
	h := f.HandedOver
	if h == nil {
		return r
	}
	accepted := "NOT ACCEPTED"
	if h.Accepted != nil {
		accepted = "accepted"
	}
	r.add(v.person(h.By)+" to "+v.person(h.To)+" "+v.when(h.At), accepted)
	if a := h.Accepted; a != nil && len(a.NotConfirmed) > 0 {
		not := "not confirmed: " + Confirmed(a.NotConfirmed)
		if len(a.Confirmed) == 0 {
			not = "nothing confirmed"
		}
		r.add(not)
	}
	return r
}
