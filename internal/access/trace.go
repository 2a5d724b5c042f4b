package access

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"

	"cotline/internal/journal"
)

// Note keeps what somebody did. It is durable when Note returns without an error; what
// could not be noted must not be done. What is noted at the same time becomes durable
// together: many who read wait for one sync of the disk, not for each other's.
func (a *Access) Note(ctx context.Context, by *Who, from Origin, e Event) error {
	a.ready()
	return a.together.note(ctx, Noted{by, from, e}, a.Notes)
}

// Notes keeps several in one transaction, in their order: all of them or none.
func (a *Access) Notes(ctx context.Context, all []Noted) error {
	return a.write(ctx, func(tx Tx) error {
		for _, n := range all {
			if err := a.note(tx, n.Event, n.By, n.From); err != nil {
				return err
			}
		}
		return nil
	})
}

func (a *Access) note(tx Tx, e Event, by *Who, from Origin) error {
	e.At = a.Now().UTC()
	if by != nil {
		e.Who, e.Program, e.Method, e.LetInBy, e.Session = by.Name, by.Kind == AProgram, by.Method, by.LetInBy, by.Session
		e.Device = by.Device
	}
	if key, ok := keyOf(from.Device); ok && e.Device == "" {
		e.Device = idOf(key)
	}
	e.Address, e.Request = from.Address, from.Request
	if e.Infants = slices.Clone(e.Infants); len(e.Infants) > mostInfants {
		e.Infants, e.Whole = nil, true
	}
	slices.Sort(e.Infants)
	e.Infants = slices.Compact(e.Infants)
	if err := e.fit(); err != nil {
		return err
	}
	head, err := tx.TraceHead(e.Unit)
	if err != nil {
		return err
	}
	mark, err := tx.TraceMark(e.Unit)
	if err != nil {
		return err
	}
	if mark.State == journal.Marked && mark.Position > head.Position { // the loss stands in the trace from then on
		lost := Event{At: e.At, Unit: e.Unit, Kind: TraceLost,
			Detail: fmt.Sprintf("it ended at position %d, and rows up to position %d were kept", head.Position, mark.Position)}
		if head, err = appended(tx, head, lost); err != nil {
			return err
		}
	}
	_, err = appended(tx, head, e)
	return err
}

// appended adds an event after a head, and gives the new one.
func appended(tx Tx, head journal.Head, e Event) (journal.Head, error) {
	text := string(encode(e))
	row := Traced{Position: head.Position + 1, Text: text, Chain: head.Chain.Next(text)}
	return journal.Head{Position: row.Position, Chain: row.Chain}, tx.AppendTrace(e.Unit, row)
}

// Reading is a unit's trace as it was read: every row held to the chain.
type Reading struct {
	Events   []Event
	Head     journal.Head
	Findings []journal.Finding // empty: what was read is whole up to its head
	Older    int64             // of a part: before this position stands what was not read; zero: nothing does
}

// Trace reads a unit's trace for who may, holding every row to the chain, and gives what is
// asked about. It goes on past what is damaged, and tells it.
func (a *Access) Trace(ctx context.Context, by *Who, from Origin, unit string, about About) (r Reading, err error) {
	if err := a.Allow(ctx, by, from, unit, ReadTrace); err != nil {
		return r, err
	}
	err = a.read(ctx, func(v View) error {
		r, err = readTrace(v, unit, about)
		return err
	})
	if err != nil {
		return r, err
	}
	return r, a.noteTraceRead(ctx, by, from, unit, about)
}

// noteTraceRead traces that a trace was read; the console stands outside it.
func (a *Access) noteTraceRead(ctx context.Context, by *Who, from Origin, unit string, about About) error {
	if by.Kind == TheConsole {
		return nil
	}
	var infants []string
	if about.Infant != "" {
		infants = []string{about.Infant}
	}
	return a.Note(ctx, by, from, Event{Unit: unit, Kind: TraceRead, Infants: infants})
}

func readTrace(v View, unit string, about About) (r Reading, err error) {
	mark, err := v.TraceMark(unit)
	if err != nil {
		return r, err
	}
	var there journal.Hash // at the mark's position
	err = v.Trace(unit, 0, func(row Traced) error {
		r.hold(row, unit, about)
		if row.Position == mark.Position {
			there = row.Chain
		}
		return nil
	})
	if err != nil {
		return r, err
	}
	head, err := v.TraceHead(unit)
	if err == nil && head != r.Head {
		r.Findings = append(r.Findings, journal.Finding{What: "the trace does not end where its last row is"})
	}
	r.holdEnd(mark, there)
	return r, err
}

// hold holds the next row to the one before it, and keeps what is asked about. It gives the
// event, nil where the row is not what was kept.
func (r *Reading) hold(row Traced, unit string, about About) *Event {
	var wrong string
	var e Event
	switch {
	case row.Position != r.Head.Position+1:
		wrong = fmt.Sprintf("rows of the trace are missing before it, from position %d on", r.Head.Position+1)
	case row.Chain != r.Head.Chain.Next(row.Text):
		wrong = "the row of the trace is not what was kept"
	case json.Unmarshal([]byte(row.Text), &e) != nil || string(encode(e)) != row.Text || e.Unit != unit:
		wrong = "the row of the trace is none of this program"
	}
	r.Head = journal.Head{Position: row.Position, Chain: row.Chain}
	if wrong != "" {
		r.Findings = append(r.Findings, journal.Finding{Position: row.Position, What: wrong})
		return nil
	}
	if e.Position = row.Position; about.takes(&e) {
		r.Events = append(r.Events, e)
	}
	return &e
}

// holdEnd holds the head to the mark; there is the chain at the mark's position.
func (r *Reading) holdEnd(mark journal.Mark, there journal.Hash) {
	switch {
	case mark.State == journal.MarkSpoilt:
		r.Findings = append(r.Findings,
			journal.Finding{What: "where the trace ended cannot be read, so whether rows are gone cannot be told"})
	case mark.State == journal.Marked && mark.Position > r.Head.Position:
		r.Findings = append(r.Findings, rowsGone(r.Head.Position, mark.Position))
	case mark.State == journal.Marked && mark.Position > 0 && there != mark.Chain:
		r.Findings = append(r.Findings, journal.Finding{Position: mark.Position, What: "the trace holds another row than was kept"})
	}
}

func rowsGone(end, kept int64) journal.Finding {
	return journal.Finding{
		What: fmt.Sprintf("rows of the trace are gone: it ends at position %d, and rows up to position %d were kept", end, kept)}
}

// TraceUnits are the units that have a trace.
func (a *Access) TraceUnits(ctx context.Context) (units []string, err error) {
	err = a.read(ctx, func(v View) error { units, err = v.TraceUnits(); return err })
	return units, err
}
