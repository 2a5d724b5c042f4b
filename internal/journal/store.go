package journal

import (
	"context"
	"errors"
	"fmt"
)

// Store keeps the journals of one or more units. A driver passes the suite of
// internal/store/storetest.
type Store interface {
	// Write runs do in one transaction with no other writer in it, from its
	// start to its end, in this process or another. When do returns an error,
	// nothing is kept and the error is returned. When Write returns nil, all
	// that do wrote is durable: no crash and no power cut loses it. Then the mark
	// is written; when that fails it returns *Unproven, and all is durable too.
	Write(ctx context.Context, unit string, do func(Tx) error) error
	// Read runs do on one consistent state of the store, which writers neither
	// wait for nor change.
	Read(ctx context.Context, unit string, do func(View) error) error
	// Salvage calls do for every row that can still be read, each once, in no order
	// that matters, and tells how many places it had to pass over. Upto is the
	// greatest position there may be, as far as it is known.
	Salvage(ctx context.Context, unit string, upto int64, do func(Row)) (passed int64, err error)
	// Check looks through the store's own structures. A fault is ErrDamaged.
	Check(ctx context.Context) error
	Close() error
}

// What a driver says beside its own words, for callers to tell apart.
var (
	ErrDamaged  = errors.New("the record is damaged")
	ErrBusy     = errors.New("another program holds the record")
	ErrFull     = errors.New("the disk is full")
	ErrNewer    = errors.New("the record was written by a newer version of the program")
	ErrForeign  = errors.New("not a record of this program")
	ErrReadOnly = errors.New("it cannot be written to")
	ErrBehind   = errors.New("entries that were taken are gone")
)

// Unproven is a fault that spoils nothing that was read or taken, only what could
// be told later: a mark of the newest entry, outside the store, that could not be
// read or written.
type Unproven struct{ Why string }

func (u *Unproven) Error() string { return u.Why }

// Mark is where a journal ended, kept outside the store.
type Mark struct {
	Head
	State MarkState
}

// MarkState tells whether there is a mark.
type MarkState int

// States of a mark.
const (
	Unmarked   MarkState = iota // there is none: nothing tells whether the end was lost
	Marked                      // Head is where the journal ended
	MarkSpoilt                  // there is one, and it cannot be read
)

// Behind is ErrBehind: the store ends before the newest entry that was taken.
type Behind struct {
	Ends  Head // of the store
	Taken Mark
}

func (b *Behind) Error() string {
	switch {
	case b.Taken.State == MarkSpoilt:
		return fmt.Sprintf("the record ends at position %d; whether entries after it were taken cannot be told, for the head file "+
			"cannot be read", b.Ends.Position)
	case b.Ends.Position < b.Taken.Position:
		return fmt.Sprintf("%s: the record ends at position %d, and entries up to position %d were taken", ErrBehind, b.Ends.Position,
			b.Taken.Position)
	}
	return fmt.Sprintf("%s: the record ends at position %d, and what it holds at position %d is not what was taken there", ErrBehind,
		b.Ends.Position, b.Taken.Position)
}

// Is makes it an ErrBehind.
func (b *Behind) Is(target error) bool { return target == ErrBehind }

// Forms of what is kept of a signed handover.
const (
	WholeWard = 1 // every infant of the ward, as before the form was told
	Named     = 2 // the infants that it names, and what concerns them of others
	// Kept came from a record of which not all was whole: the bytes, where they
	// were, stand as they were signed and cannot be compiled again.
	Kept = 3
)

// View is what can be read of one unit's journal. It says what the store says:
// what is proven of it is this package's work. Lists are by position.
type View interface {
	// Head is the last row's position and chain; the zero Head when there is none.
	Head() (Head, error)
	// Rows calls do for each row, in order, until it returns an error.
	Rows(do func(Row) error) error
	// At is the row at a position, and whether there is one.
	At(position int64) (Row, bool, error)
	// Mark is where the journal ended when it was last written to, as it stands
	// outside what a crash or a damage of the store can take with it. It was read
	// before the state that the view shows, so the journal never ends before it
	// unless something was lost.
	Mark() (Mark, error)
	// Top is what was kept last by SetTop, nil when nothing was.
	Top() ([]byte, error)
	// Node is what was kept under a number by PutNode, nil when nothing was.
	Node(id int64) ([]byte, error)
	// Nodes calls do for everything kept by PutNode, by number. The bytes may be
	// used again after do.
	Nodes(do func(id int64, body []byte) error) error
	// Stream calls do for the rows of a stream, in the order of their links.
	Stream(name string, do func(Row) error) error
	// Links calls do for every link of every stream, by stream, then number.
	Links(do func(stream string, n, position int64) error) error
	// Policy is a policy's text by its hash, and whether it is kept.
	Policy(hash string) (string, bool, error)
	// Policies are the hashes of all policies kept.
	Policies() ([]string, error)
	// InForce are the policies that were put in force, in that order.
	InForce() ([]InForce, error)
	// Signed is what a handover was signed on, and whether it is kept.
	Signed(id string) (Signed, bool, error)
	// Cuts are all of them without their bytes, by position, then id.
	Cuts() ([]Signed, error)
}

// Tx is a View that can also be written to. It reads what it wrote.
type Tx interface {
	View
	// Append adds rows. It is an error if their positions do not follow the head,
	// or if an id is there already.
	Append(rows []Row) error
	// KeepPolicy keeps a policy's text; what is kept under the hash already stays.
	KeepPolicy(hash, text string) error
	// PutInForce adds to the policies that were put in force one that is kept.
	PutInForce(InForce) error
	KeepSigned(Signed) error
	// SetTop and PutNode keep bytes in place of those before.
	SetTop([]byte) error
	PutNode(id int64, body []byte) error
	// Link adds positions to a stream that has so many links already; what it had
	// from there on goes.
	Link(stream string, has int64, positions []int64) error
}

// Row is one entry as kept.
type Row struct {
	Position int64 // from 1
	ID       string
	Infant   string // empty on an entry of the whole unit
	Kind     string
	Text     string // canonical JSON
	Accepted string // RFC 3339 with an offset
	Chain    Hash
}

// Signed is what a handover was signed on.
type Signed struct {
	ID       string // of the handover entry
	Position int64
	Chain    Hash   // at Position
	Policy   string // SHA-256 of the canonical policy, hex
	Engine   string // version
	Digest   string // SHA-256 of JSON, hex
	Form     int    // WholeWard, Named or Kept
	JSON     []byte // nil when the bytes kept cannot be read
}

// InForce is a policy of the unit as it was put in force.
type InForce struct {
	From     int64  // position of the first entry that was taken under it, or is to be
	Accepted string // when it was put in force, RFC 3339 with an offset
	Policy   string // SHA-256 of its text, hex
}

// NoPolicy is a journal in which no policy is in force.
type NoPolicy struct{ Why string }

func (n *NoPolicy) Error() string { return "no policy is in force: " + n.Why }
