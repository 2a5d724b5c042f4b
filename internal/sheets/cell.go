package sheets

import (
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// cell is a value and how it is shown.
type cell struct {
	show   show
	text   string
	number entry.Decimal
	when   time.Time // of a moment in the unit's zone, of a day at midnight UTC
	to     *place    // where a click on it goes
	entry  bool      // it is an entry's id, and a click goes there
}

// place is a row of another sheet: an infant's first, an entry's; without a key the
// sheet's first cell.
type place struct{ sheet, key string }

// entryCell is an entry's id that leads to the entry, or the word where there is none.
func entryCell(id, empty string) cell {
	c := text(id, empty)
	c.entry = id != ""
	return c
}

// leadsTo is where a click on a cell goes; nil for nowhere.
func (c *cell) leadsTo() *place {
	if c.entry {
		return &place{entriesName, c.text}
	}
	return c.to
}

// linked is a cell that leads to an entry, where there is one.
func (c cell) linked(entry string) cell {
	if entry != "" {
		c.to = &place{entriesName, entry}
	}
	return c
}

// show is what a cell holds; the zero value is a fixed word of this package.
type show int8

const (
	showWord   show = iota // one of this package's own words
	showText               // charted text or an identifier: a text cell, whatever it looks like
	showNumber             // a number with its own decimals
	showMoment
	showDay
	showOffset // a moment's offset from UTC
)

// The words that stand where there is no value.
const (
	notCharted   = "not charted"
	doesNotApply = "does not apply"
	none         = "none"
	noPart       = "–" // the row has no such part
	notShown     = "not shown"
	unchanged    = "unchanged"
	notSetYet    = "not set yet"
	notCorrected = "not corrected"
	onTime       = "when it happened"
)

// filler says that a cell holds no value: a column of nothing else says nothing of
// any row.
func (c cell) filler() bool {
	if c.show != showWord {
		return false
	}
	switch c.text {
	case notCharted, doesNotApply, none, noPart, unchanged, notSetYet, notCorrected, onTime, computed, notSeen, "never":
		return true
	}
	return false
}

func word(s string) cell { return cell{text: entry.Undirected(s)} }

// text is charted text or an identifier, or the word where it is empty.
func text(s, empty string) cell {
	if s == "" {
		return word(empty)
	}
	return cell{show: showText, text: entry.Undirected(s)}
}

func number(d entry.Decimal) cell { return cell{show: showNumber, number: d} }

func count(n int) cell { return number(entry.Int(int64(n))) }

func yesNo(b bool) cell {
	if b {
		return word("yes")
	}
	return word("no")
}

// day is a civil day, or the word where there is none.
func day(d entry.Date, empty string) cell {
	if d.IsZero() {
		return word(empty)
	}
	t, err := time.Parse(time.DateOnly, d.String())
	if err != nil {
		return word(empty) // a Date always prints as one
	}
	return cell{show: showDay, when: t}
}

// clock shows moments in the unit's zone.
type clock struct{ zone *time.Location }

// moment is wall time in the unit's zone, or the word where there is none.
func (c clock) moment(t time.Time, empty string) cell {
	if t.IsZero() {
		return word(empty)
	}
	return cell{show: showMoment, when: t.In(c.zone)}
}

// stamp is a moment within a text, with its offset: a change of the clock may lie between two.
func (c clock) stamp(t time.Time) string {
	return t.In(c.zone).Format("2006-01-02 15:04 " + offsetFormat)
}

// offset is a moment's offset from UTC in the unit's zone.
func (c clock) offset(t time.Time) string { return t.In(c.zone).Format(offsetFormat) }

const offsetFormat = "-07:00"

// maybe shows a value that may be not charted or not apply.
func maybe[T any](m handover.Maybe[T], as func(T) cell) cell {
	switch {
	case !m.Applies && m.Why != "":
		return word("left out: " + m.Why)
	case !m.Applies:
		return word(doesNotApply)
	case m.Value == nil:
		return word(notCharted)
	}
	return as(*m.Value)
}
