package access

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"

	"cotline/internal/journal"
)

// Note keeps what somebody did. It is durable when Note returns without an error; what
// could not be noted must not be done.
func (a *Access) Note(ctx context.Context, by *Who, from Origin, e Event) error {
	return a.write(ctx, func(tx Tx) error { return a.note(tx, e, by, from) })
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
	text := string(encode(e))
	return tx.AppendTrace(e.Unit, Traced{Position: head.Position + 1, Text: text, Chain: head.Chain.Next(text)})
}

// Reading is a unit's trace as it was read: every row held to the chain.
type Reading struct {
	Events   []Event
	Head     journal.Head
	Findings []journal.Finding // empty: it is whole up to its head
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
	if err != nil || by.Kind == TheConsole {
		return r, err
	}
	var infants []string
	if about.Infant != "" {
		infants = []string{about.Infant}
	}
	return r, a.Note(ctx, by, from, Event{Unit: unit, Kind: TraceRead, Infants: infants})
}

func readTrace(v View, unit string, about About) (r Reading, err error) {
	err = v.Trace(unit, 0, func(row Traced) error {
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
		if wrong != "" {
			r.Findings = append(r.Findings, journal.Finding{Position: row.Position, What: wrong})
		} else if e.Position = row.Position; about.takes(&e) {
			r.Events = append(r.Events, e)
		}
		r.Head = journal.Head{Position: row.Position, Chain: row.Chain}
		return nil
	})
	if err != nil {
		return r, err
	}
	head, err := v.TraceHead(unit)
	if err == nil && head != r.Head {
		r.Findings = append(r.Findings, journal.Finding{What: "the trace does not end where its last row is"})
	}
	return r, err
}

// TraceUnits are the units that have a trace.
func (a *Access) TraceUnits(ctx context.Context) (units []string, err error) {
	err = a.read(ctx, func(v View) error { units, err = v.TraceUnits(); return err })
	return units, err
}
