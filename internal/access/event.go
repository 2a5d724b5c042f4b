package access

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"
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
	TraceLost     EventKind = "trace-lost"     // rows at the end of the trace are gone
	Limit         EventKind = "too-many-tries" // to sign in
)

// EventKinds are all kinds.
var EventKinds = []EventKind{SignIn, SignInRefused, SignOut, SessionEnded, PasswordSet, PINSet, GaveCode, LookedBeyond, Read, Exported,
	Printed, Charted, Corrected, HandedOver, Sent, PolicyPut, Refused, People, Programs, TokenGiven, TokenRefused, TraceRead,
	TraceLost, Limit}

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

	Position int64 `json:"-"` // in the trace, where it was read from there
}

// mostInfants are named one by one in an event; of more it is the whole unit.
const mostInfants = 50

// longestText is of a text of an event, in bytes: of mostScopes scopes, which are the longest.
const longestText = mostScopes * (longestScope + 1)

// errNoEvent is what the trace does not take.
var errNoEvent = errors.New("access: this is no event")

func (e *Event) fit() error {
	if e.Unit == "" || !slices.Contains(EventKinds, e.Kind) {
		return fmt.Errorf("%w: it is without unit or kind", errNoEvent)
	}
	for _, s := range append([]string{e.What, e.Whom, e.Detail, e.Address, e.Request}, e.Infants...) {
		if len(s) > longestText || strings.ContainsFunc(s, func(r rune) bool { return r < ' ' || r == 0x7f }) {
			return fmt.Errorf("%w: it holds what is no word", errNoEvent)
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
