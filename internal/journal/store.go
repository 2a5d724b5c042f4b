package journal

import (
	"context"
	"errors"
)

// Store keeps the journals of one or more units. A driver passes the suite of
// internal/store/storetest.
type Store interface {
	// Write runs do in one transaction with no other writer in it, from its
	// start to its end, in this process or another. When do returns an error,
	// nothing is kept and the error is returned. When Write returns nil, all
	// that do wrote is durable: no crash and no power cut loses it.
	Write(ctx context.Context, unit string, do func(Tx) error) error
	// Read runs do on one consistent state of the store, which writers neither
	// wait for nor change.
	Read(ctx context.Context, unit string, do func(View) error) error
	// Check looks through the store's own structures. A fault is ErrDamaged.
	Check(ctx context.Context) error
	Close() error
}

// What a driver says beside its own words, for callers to tell apart.
var (
	ErrDamaged = errors.New("the record is damaged")
	ErrBusy    = errors.New("another program holds the record")
	ErrFull    = errors.New("the disk is full")
	ErrNewer   = errors.New("the record was written by a newer version of the program")
	ErrForeign = errors.New("not a record of this program")
)

// View is what can be read of one unit's journal. Lists are by position.
type View interface {
	// Head is the last row's position and chain; the zero Head when there is none.
	Head() (Head, error)
	// Rows calls do for each row, in order, until it returns an error.
	Rows(do func(Row) error) error
	// Row is the row of an entry, and whether there is one.
	Row(id string) (Row, bool, error)
	// Infant are the rows of one infant.
	Infant(key string) ([]Row, error)
	// Keys are the keys of all infants, each once, in no order that matters.
	Keys() ([]string, error)
	// Policy is a policy's text by its hash, and whether it is kept.
	Policy(hash string) (string, bool, error)
	// Policies are the hashes of all policies kept.
	Policies() ([]string, error)
	// Signed is what a handover was signed on, and whether it is kept.
	Signed(id string) (Signed, bool, error)
	// Cuts are the positions that signed handovers were cut at, by id.
	Cuts() (map[string]int64, error)
}

// Tx is a View that can also be written to. It reads what it wrote.
type Tx interface {
	View
	// Append adds rows. It is an error if their positions do not follow the head,
	// or if an id is there already.
	Append(rows []Row) error
	// KeepPolicy keeps a policy's text; what is kept under the hash already stays.
	KeepPolicy(hash, text string) error
	KeepSigned(Signed) error
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
	JSON     []byte // nil when the bytes kept cannot be read
}
