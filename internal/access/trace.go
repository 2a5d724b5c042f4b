package access

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"

	"cotline/internal/journal"
)

// EventKind is what somebody did.
type EventKind string

// Kinds of events. The words are kept for ever: one that was ever used is never taken away
// and never comes to mean something else.
const (
	SignIn        EventKind = "sign-in"
	SignInRefused EventKind = "sign-in-refused"
	SignOut       EventKind = "sign-out"
	SessionEnded  EventKind = "session-ended"
	PasswordSet   EventKind = "password-set"
	PINSet        EventKind = "pin-set"
	GaveCode      EventKind = "let-in" // to a colleague, for one shift
	LookedBeyond  EventKind = "looked-beyond"
	Read          EventKind = "read"     // an infant, the ward, a search
	Exported      EventKind = "exported" // a file that leaves
	Printed       EventKind = "printed"
	Charted       EventKind = "charted"
	Corrected     EventKind = "corrected" // corrections and retractions
	HandedOver    EventKind = "handed-over"
	Sent          EventKind = "sent"           // to another system
	PolicyPut     EventKind = "policy"         // put in force
	Refused       EventKind = "refused"        // something that she may not do
	People        EventKind = "people"         // an account or its roles were changed
	Programs      EventKind = "programs"       // a registration was changed
	TokenGiven    EventKind = "token"          // to a program
	TokenRefused  EventKind = "token-refused"  // to a program
	TraceRead     EventKind = "trace-read"     // by a keeper
	Limit         EventKind = "too-many-tries" // to sign in
)

// EventKinds are all kinds.
var EventKinds = []EventKind{SignIn, SignInRefused, SignOut, SessionEnded, PasswordSet, PINSet, GaveCode, LookedBeyond, Read, Exported,
	Printed, Charted, Corrected, HandedOver, Sent, PolicyPut, Refused, People, Programs, TokenGiven, TokenRefused, TraceRead, Limit}

// Event is one row of the trace. What and Detail are words of this program, permissions,
// formats, resource types, counts: never a patient's data, and nothing that was typed.
type Event struct {
	At      time.Time `json:"at"`
	Unit    string    `json:"unit"`
	Kind    EventKind `json:"kind"`
	What    string    `json:"what,omitempty"`
	Infants []string  `json:"infants,omitempty"` // keys of the record, in order
	Whole   bool      `json:"whole,omitempty"`   // every infant of the unit
	Whom    string    `json:"whom,omitempty"`    // the person whose account it is about
	Detail  string    `json:"detail,omitempty"`
	// Who did it; note fills these.
	Who     string `json:"who,omitempty"` // empty: nobody who was proven
	Program bool   `json:"program,omitempty"`
	Method  Method `json:"method,omitempty"`
	LetInBy string `json:"letInBy,omitempty"`
	Session string `json:"session,omitempty"`
	Device  string `json:"device,omitempty"`
	Address string `json:"address,omitempty"`
	Request string `json:"request,omitempty"`
}

// mostInfants are named one by one in an event; of more it is the whole unit.
const mostInfants = 50

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

// longestText is of a text of an event, in bytes.
const longestText = 500

func (e *Event) fit() error {
	if e.Unit == "" || !slices.Contains(EventKinds, e.Kind) {
		return errors.New("access: an event without unit or kind")
	}
	for _, s := range append([]string{e.What, e.Whom, e.Detail, e.Address, e.Request}, e.Infants...) {
		if len(s) > longestText || strings.ContainsFunc(s, func(r rune) bool { return r < ' ' || r == 0x7f }) {
			return errors.New("access: an event holds what is no word")
		}
	}
	return nil
}

// About chooses events.
type About struct {
	Infant string // those that concern this infant, by name or with the whole unit
	Who    string
	Kinds  []EventKind
	Since  time.Time
}

func (b About) takes(e *Event) bool {
	return (b.Infant == "" || e.Whole || slices.Contains(e.Infants, b.Infant)) &&
		(b.Who == "" || e.Who == b.Who || e.Whom == b.Who) &&
		(len(b.Kinds) == 0 || slices.Contains(b.Kinds, e.Kind)) && !e.At.Before(b.Since)
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
		} else if about.takes(&e) {
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
