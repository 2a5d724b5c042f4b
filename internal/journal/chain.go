package journal

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"

	"cotline/handover/entry"
)

// Hash is a link of the chain. Its zero value stands before the first row.
type Hash [sha256.Size]byte

// String is the hash in hex; its first 12 digits go on paper.
func (h Hash) String() string { return hex.EncodeToString(h[:]) }

// Next is the link after h for an entry's canonical text.
func (h Hash) Next(text string) Hash {
	return h.then(sha256.Sum256([]byte(text)))
}

// Head is the end of a journal, or a place in it.
type Head struct {
	Position int64
	Chain    Hash
}

func hashOf(b []byte) Hash { return sha256.Sum256(b) }

// digest is the SHA-256 in hex of bytes that are kept.
func digest(b []byte) string {
	sum := sha256.Sum256(b)
	return hex.EncodeToString(sum[:])
}

// row is the entry as it is kept after a head.
func (h Head) row(e *entry.Entry, accepted string) Row {
	text := string(e.AppendCanonical(nil))
	return Row{
		Position: h.Position + 1, ID: e.ID, Infant: e.Infant, Kind: e.Kind,
		Text: text, Accepted: accepted, Chain: h.Chain.Next(text),
	}
}

// entry reads a row back. An entry whose charted was not offered is stamped with
// the moment of acceptance.
func (r Row) entry() (*entry.Entry, error) { return r.entryOf([]byte(r.Text)) }

// entryOf is entry, of the text's bytes.
func (r Row) entryOf(text []byte) (*entry.Entry, error) {
	var e entry.Entry
	var issues []entry.Issue
	if no := entry.WithJSON(text, func(v entry.Value) { e, issues = entry.Decode(v) }); len(no) > 0 {
		return nil, errors.New("its text is no JSON object")
	}
	if len(issues) > 0 {
		return nil, fmt.Errorf("its text is no entry: %s [%s]", issues[0].Path, issues[0].Code)
	}
	accepted, err := entry.ParseMoment(r.Accepted)
	if err != nil {
		return nil, errors.New("its moment of acceptance cannot be read")
	}
	if !e.Offered {
		e.Charted = accepted
	}
	return &e, nil
}
