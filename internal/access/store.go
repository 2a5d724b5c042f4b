package access

import (
	"context"
	"time"

	"cotline/internal/journal"
)

// Store keeps what this package needs, beside the record. A driver passes the suite of
// internal/store/storetest.
type Store interface {
	// Write runs do in one transaction with no other writer in it, in this process or
	// another. When do returns an error, nothing is kept. When Write returns nil, all is
	// durable. A driver may run do again.
	Write(ctx context.Context, do func(Tx) error) error
	// Read runs do on one consistent state.
	Read(ctx context.Context, do func(View) error) error
}

// Item is one thing that is kept: an account, a session, a link. Kind and key are unique in
// the whole store; the unit is the one that it belongs to.
type Item struct {
	Unit, Kind, Key string
	Owner           string    // whose it is; items are listed by it
	Until           time.Time // from when it may be swept, to the second; zero: never
	Body            []byte    // JSON
}

// Traced is a row of a unit's trace. Positions start at 1 and follow each other.
type Traced struct {
	Position int64
	Text     string // canonical JSON of an Event
	Chain    journal.Hash
}

// View is what can be read.
type View interface {
	Get(kind, key string) (Item, bool, error)
	// List is all items of a kind by key; of one owner, where one is named.
	List(kind, owner string) ([]Item, error)
	// TraceHead is the last row's position and chain, zero when there is none.
	TraceHead(unit string) (journal.Head, error)
	// TraceMark is where a trace ended when it was last written to, as it stands outside what
	// a crash or a damage of the store can take with it; it was read before the state that
	// the view shows. A driver may have none.
	TraceMark(unit string) (journal.Mark, error)
	// Trace calls do for each row after a position, in order, until it returns an error.
	Trace(unit string, after int64, do func(Traced) error) error
	// TraceUnits are the units that have a trace, in order.
	TraceUnits() ([]string, error)
}

// Tx is a View that can be written to. It reads what it wrote.
type Tx interface {
	View
	// Put keeps an item in place of the one under its kind and key.
	Put(Item) error
	// Remove removes an item, or does nothing where there is none.
	Remove(kind, key string) error
	// Sweep removes every item whose Until is not after a moment.
	Sweep(now time.Time) error
	// AppendTrace adds a row. It is an error if its position does not follow the head.
	AppendTrace(unit string, row Traced) error
}
