package journal

import (
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"strconv"
	"time"
)

// top is what a whole journal is proven by. It is kept anew with every commit.
type top struct {
	Head
	seal    Hash  // over every row as kept, see Row.sum
	cuts    int64 // how many handovers were signed
	cutSeal Hash  // over what they were signed on, by position, then id
	root    limb  // of the index
	nodes   int64 // the greatest number of a node of it

	policies   int64 // how many were put in force, one after the other
	policySeal Hash  // over them

	sound time.Time // see Clock, to the millisecond; zero: nothing was taken since tops know it
}

// Forms of a top: the first knew no policies, the second nothing of the clock.
const (
	topOfRows     = 1
	topOfPolicies = 2
	topNow        = 3
)

// topSize is how many bytes a top of a form takes, less the sum at its end.
var topSize = map[byte]int{
	topOfRows:     1 + 8 + 32 + 32 + 8 + 32 + 8 + 32 + 8,
	topOfPolicies: 1 + 8 + 32 + 32 + 8 + 32 + 8 + 32 + 8 + 8 + 32,
	topNow:        1 + 8 + 32 + 32 + 8 + 32 + 8 + 32 + 8 + 8 + 32 + 8,
}

func (t *top) encode() []byte {
	b := make([]byte, 1, topSize[topNow]+sha256.Size)
	b[0] = topNow
	b = binary.BigEndian.AppendUint64(b, uint64(t.Position)) // #nosec G115 -- the same 64 bits, there and back
	b = append(append(b, t.Chain[:]...), t.seal[:]...)
	b = binary.BigEndian.AppendUint64(b, uint64(t.cuts)) // #nosec G115 -- the same 64 bits, there and back
	b = append(b, t.cutSeal[:]...)
	b = binary.BigEndian.AppendUint64(b, uint64(t.root.id)) // #nosec G115 -- the same 64 bits, there and back
	b = append(b, t.root.hash[:]...)
	b = binary.BigEndian.AppendUint64(b, uint64(t.nodes))    // #nosec G115 -- the same 64 bits, there and back
	b = binary.BigEndian.AppendUint64(b, uint64(t.policies)) // #nosec G115 -- the same 64 bits, there and back
	b = append(b, t.policySeal[:]...)
	b = binary.BigEndian.AppendUint64(b, uint64(millis(t.sound))) // #nosec G115 -- the same 64 bits, there and back
	sum := sha256.Sum256(b)
	return append(b, sum[:]...)
}

// topOf is the top that a view keeps; nil of a journal that no version has written
// to that keeps one.
func topOf(v View) (*top, error) {
	b, err := v.Top()
	if err != nil || b == nil {
		return nil, err
	}
	size, known := 0, false
	if len(b) > 0 {
		size, known = topSize[b[0]]
	}
	if !known || len(b) != size+sha256.Size || sha256.Sum256(b[:size]) != [sha256.Size]byte(b[size:]) {
		return nil, fmt.Errorf("%w: what tells where the record ends is not what was kept", ErrDamaged)
	}
	form := b[0]
	// #nosec G115 -- the same 64 bits, there and back
	number := func() (n int64) { n, b = int64(binary.BigEndian.Uint64(b)), b[8:]; return n }
	hash := func() (h Hash) { copy(h[:], b); b = b[len(h):]; return h }
	b = b[1:]
	t := &top{}
	t.Position, t.Chain, t.seal = number(), hash(), hash()
	t.cuts, t.cutSeal = number(), hash()
	t.root.id, t.root.hash, t.nodes = number(), hash(), number()
	if form >= topOfPolicies {
		t.policies, t.policySeal = number(), hash()
	}
	if form == topNow {
		if ms := number(); ms != 0 {
			t.sound = time.UnixMilli(ms).UTC()
		}
	}
	return t, nil
}

// millis are milliseconds since 1970, 0 for no time.
func millis(t time.Time) int64 {
	if t.IsZero() {
		return 0
	}
	return t.UnixMilli()
}

// then is a seal with one more sum under it.
func (h Hash) then(sum Hash) Hash {
	var both [2 * sha256.Size]byte
	copy(both[:], h[:])
	copy(both[sha256.Size:], sum[:])
	return sha256.Sum256(both[:])
}

// sum is over everything that is kept of a row but its chain, which is made of the
// text alone.
func (r Row) sum() Hash { return r.sumOf(sha256.Sum256([]byte(r.Text))) }

func (r Row) sumOf(text Hash) Hash {
	b := make([]byte, 0, 256)
	b = strconv.AppendInt(b, r.Position, 10)
	for _, s := range []string{r.ID, r.Infant, r.Kind, r.Accepted} {
		b = strconv.AppendQuote(append(b, ' '), s)
	}
	return sha256.Sum256(append(b, text[:]...))
}

// sum is over everything that is kept of what was signed but the bytes, which the
// digest is of.
func (s Signed) sum() Hash {
	return sha256.Sum256(fmt.Appendf(nil, "%q %d %s %q %q %q %d", s.ID, s.Position, s.Chain, s.Policy, s.Engine, s.Digest, s.Form))
}

// sum is over everything that is kept of it but the text, which the hash is of.
func (f InForce) sum() Hash {
	return hashOf(fmt.Appendf(nil, "%d %q %q", f.From, f.Accepted, f.Policy))
}

// holds says whether policies are those that were put in force.
func (t *top) holds(all []InForce) bool {
	var seal Hash
	for _, f := range all {
		seal = seal.then(f.sum())
	}
	return int64(len(all)) == t.policies && seal == t.policySeal
}
