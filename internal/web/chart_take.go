package web

import (
	"context"
	"errors"
	"slices"
	"strings"
	"time"

	"cotline/handover/entry"
	"cotline/internal/access"
	"cotline/internal/journal"
	"cotline/internal/web/forms"
	"cotline/internal/web/words"
)

// errPolicy says that another policy was put in force while a form was read.
var errPolicy = errors.New("another policy was put in force meanwhile")

// take takes what make makes: nothing with a fault, what is in doubt only when asked, and
// what was taken already once. The page shows the form again.
func (c *charting) take(make func(time.Time, forms.Faults) []*draft, page func(int, forms.Faults) answer, kind access.EventKind,
	to string) (answer, error) {
	faults := forms.Faults{}
	all := make(c.when(), faults)
	if len(all) == 0 && len(faults) == 0 {
		faults.Add("", words.Say("Nothing was filled in, so nothing was charted."))
	}
	if len(faults) > 0 {
		return page(422, faults), nil
	}
	again, err := c.judge(&all, make, faults)
	if err != nil {
		return answer{}, err
	}
	if len(faults) > 0 {
		return page(422, faults), nil
	}
	if doubts := c.doubts(all); len(doubts) > 0 && !again && c.posted.Get("sure") != digestOf(doubts) {
		return c.askSure(all, doubts), nil
	}
	if err := c.noteCharted(kind, all); err != nil {
		return answer{}, err
	}
	return c.append(make, page, to)
}

// judge holds what is offered to what is held. What is held already is made again for the
// moment at which it was taken: sent twice, it is the same.
func (c *charting) judge(all *[]*draft, make func(time.Time, forms.Faults) []*draft, faults forms.Faults) (again bool, err error) {
	err = c.journal.Holding(c.r.Context(), func(held entry.Holding) {
		if was := heldOf(held, *all); was != nil {
			again = true
			*all = make(was.At.Time, faults)
		}
		if _, issues := entry.Accept(held, entriesOf(*all), c.policy.Lists(), c.policy.ClockTolerance, c.now.In(c.policy.Zone)); len(
			issues,
		) > 0 {
			tellAll(*all, issues, faults)
		}
	})
	return again, err
}

// noteCharted traces what is about to be taken; what cannot be traced is not.
func (c *charting) noteCharted(kind access.EventKind, all []*draft) error {
	var kinds, infants []string
	for _, o := range all {
		what := o.Kind
		if o.Corrected != nil {
			what += " of " + o.Corrected.Kind
		}
		if !slices.Contains(kinds, what) {
			kinds = append(kinds, what)
		}
		for _, key := range o.About() {
			if !slices.Contains(infants, key) {
				infants = append(infants, key)
			}
		}
	}
	return c.Access.Note(c.r.Context(), c.r.who, c.r.from, access.Event{Unit: c.r.unit, Kind: kind, What: strings.Join(kinds, ", "),
		Infants: infants, Whole: len(infants) == 0})
}

// append takes it, within a transaction in which what is held is looked at once more.
func (c *charting) append(make func(time.Time, forms.Faults) []*draft, page func(int, forms.Faults) answer, to string) (answer, error) {
	faults := forms.Faults{}
	var all []*draft
	ctx := context.WithoutCancel(c.r.Context()) // a tablet that goes away does not undo a touch
	_, err := c.journal.Append(ctx, c.policy, func(held *journal.Held) ([]*entry.Entry, error) {
		if held.Policy == nil || held.Policy.Hash() != c.policy.Hash() {
			return nil, errPolicy
		}
		all = make(c.when(), faults)
		if was := heldOf(held, all); was != nil {
			all = make(was.At.Time, faults)
		}
		return entriesOf(all), nil
	})
	var refused *journal.Refused
	var unproven *journal.Unproven
	switch {
	case errors.As(err, &refused):
		tellAll(all, refused.Issues, faults)
		return page(422, faults), nil
	case errors.Is(err, errPolicy):
		changed := words.Say("The unit's policy was changed just now. Nothing was taken: look at the form, and send it again.")
		return page(422, forms.Faults{"": {Text: changed}}), nil
	case errors.As(err, &unproven):
		c.Log.Error("entries were taken, but what proves them whole could not be kept", "request", c.r.id)
	case err != nil:
		return answer{}, err
	}
	return answer{to: to}, nil
}
