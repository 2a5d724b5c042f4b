package journal

import (
	"bytes"
	"cmp"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"maps"
	"slices"
)

// trie is a map that proves what it says. Its nodes are kept by number in the
// store; each is known by the SHA-256 of its bytes, which stands in the node above
// it, and that of the topmost in the top. So a damaged node is found when it is
// read, and nobody can be told 'there is none' but by the sound leaf where it would
// stand. Finding one of n takes log16(n) nodes.
//
// A key is the first 16 bytes of a name's SHA-256; its value a number and a hash.
// A leaf that has too many keys becomes a branch by the next half byte of the key.
// Nothing is taken out, so the same keys make the same tree in any order.
type trie struct {
	view  View
	root  limb
	next  int64 // number of the next node
	nodes map[int64]*node
}

const (
	leafMost = 24 // keys of a leaf
	fan      = 16
	keySize  = 16
)

// item is a key and its value.
type item struct {
	key    [keySize]byte
	number int64
	hash   Hash
}

// limb is where a node is, and what it must be. No number: there is none.
type limb struct {
	id   int64
	hash Hash
}

type node struct {
	branch bool
	items  []item // of a leaf, by key
	limbs  [fan]limb
	dirty  bool
}

func keyOf(name string) (key [keySize]byte) {
	sum := sha256.Sum256([]byte(name))
	copy(key[:], sum[:])
	return key
}

func nibble(key [keySize]byte, depth int) int {
	if depth%2 == 0 {
		return int(key[depth/2] >> 4)
	}
	return int(key[depth/2] & 15)
}

// get is the value of a name; found false is as proven as a value.
func (t *trie) get(name string) (number int64, hash Hash, found bool, err error) {
	key := keyOf(name)
	at := t.root
	for depth := 0; at.id != 0; depth++ {
		n, err := t.load(at)
		if err != nil {
			return 0, hash, false, err
		}
		if n.branch {
			at = n.limbs[nibble(key, depth)]
			continue
		}
		if i, here := n.find(key); here {
			return n.items[i].number, n.items[i].hash, true, nil
		}
		break
	}
	return 0, hash, false, nil
}

// set gives a name a value, in place of the one before.
func (t *trie) set(name string, number int64, hash Hash) error {
	return t.put(&t.root, item{keyOf(name), number, hash}, 0)
}

func (t *trie) put(at *limb, it item, depth int) error {
	if at.id == 0 {
		*at = t.add(&node{items: []item{it}})
		return nil
	}
	n, err := t.load(*at)
	if err != nil {
		return err
	}
	n.dirty = true
	if n.branch {
		return t.put(&n.limbs[nibble(it.key, depth)], it, depth+1)
	}
	i, here := n.find(it.key)
	if here {
		n.items[i] = it
		return nil
	}
	n.items = slices.Insert(n.items, i, it)
	if len(n.items) <= leafMost {
		return nil
	}
	items := n.items
	n.branch, n.items = true, nil
	for _, it := range items {
		if err := t.put(&n.limbs[nibble(it.key, depth)], it, depth+1); err != nil {
			return err
		}
	}
	return nil
}

func (t *trie) add(n *node) limb {
	t.next++
	n.dirty = true
	t.nodes[t.next] = n
	return limb{id: t.next}
}

func (n *node) find(key [keySize]byte) (int, bool) {
	return slices.BinarySearchFunc(n.items, key, func(it item, key [keySize]byte) int { return bytes.Compare(it.key[:], key[:]) })
}

// load is a node, held to its hash.
func (t *trie) load(at limb) (*node, error) {
	if n := t.nodes[at.id]; n != nil {
		return n, nil
	}
	body, err := t.view.Node(at.id)
	if err != nil {
		return nil, err
	}
	n, err := soundNode(at, body)
	if err != nil {
		return nil, err
	}
	t.nodes[at.id] = n
	return n, nil
}

func soundNode(at limb, body []byte) (*node, error) {
	n, ok := decodeNode(body)
	if !ok || sha256.Sum256(body) != at.hash {
		return nil, fmt.Errorf("%w: node %d of the index is not what was kept", ErrDamaged, at.id)
	}
	return n, nil
}

// keep writes what changed, from below, and gives every node above the new hash.
func (t *trie) keep(tx Tx) error { return t.keepAt(tx, &t.root) }

func (t *trie) keepAt(tx Tx, at *limb) error {
	n := t.nodes[at.id]
	if n == nil || !n.dirty {
		return nil
	}
	for i := range n.limbs {
		if err := t.keepAt(tx, &n.limbs[i]); err != nil {
			return err
		}
	}
	body := n.encode()
	at.hash = sha256.Sum256(body)
	n.dirty = false
	return tx.PutNode(at.id, body)
}

// all calls do for every item, in one walk through the nodes: the number of each is greater
// than that of the node above it. Nodes that are damaged are told and passed over.
func (t *trie) all(do func(item), damaged func(error)) {
	want := map[int64]Hash{}
	if t.root.id != 0 {
		want[t.root.id] = t.root.hash
	}
	err := t.view.Nodes(func(id int64, body []byte) error {
		hash, wanted := want[id]
		if !wanted {
			return nil
		}
		delete(want, id)
		n, err := soundNode(limb{id, hash}, body)
		if err != nil {
			damaged(err)
			return nil
		}
		for _, it := range n.items {
			do(it)
		}
		for _, l := range n.limbs {
			if l.id != 0 {
				want[l.id] = l.hash
			}
		}
		return nil
	})
	if err != nil {
		damaged(err)
	}
	for _, id := range slices.Sorted(maps.Keys(want)) {
		damaged(fmt.Errorf("%w: node %d of the index is gone", ErrDamaged, id))
	}
}

const (
	itemSize = keySize + 8 + len(Hash{})
	limbSize = 8 + len(Hash{})
)

func (n *node) encode() []byte {
	if !n.branch {
		b := make([]byte, 1, 1+itemSize*len(n.items))
		for _, it := range n.items {
			b = append(b, it.key[:]...)
			b = binary.BigEndian.AppendUint64(b, uint64(it.number)) // #nosec G115 -- the same 64 bits, there and back
			b = append(b, it.hash[:]...)
		}
		return b
	}
	b := make([]byte, 1, 1+limbSize*fan)
	b[0] = 1
	for _, l := range n.limbs {
		b = binary.BigEndian.AppendUint64(b, uint64(l.id)) // #nosec G115 -- the same 64 bits, there and back
		b = append(b, l.hash[:]...)
	}
	return b
}

func decodeNode(b []byte) (*node, bool) {
	switch {
	case len(b) == 1+limbSize*fan && b[0] == 1:
		n := &node{branch: true}
		for i := range n.limbs {
			l := b[1+i*limbSize:]
			n.limbs[i].id = int64(binary.BigEndian.Uint64(l)) // #nosec G115 -- the same 64 bits, there and back
			copy(n.limbs[i].hash[:], l[8:])
		}
		return n, true
	case len(b) > 0 && b[0] == 0 && (len(b)-1)%itemSize == 0:
		n := &node{}
		for b = b[1:]; len(b) > 0; b = b[itemSize:] {
			it := item{number: int64(binary.BigEndian.Uint64(b[keySize:]))} // #nosec G115 -- the same 64 bits, there and back
			copy(it.key[:], b)
			copy(it.hash[:], b[keySize+8:])
			n.items = append(n.items, it)
		}
		return n, slices.IsSortedFunc(n.items, func(a, b item) int { return cmp.Compare(string(a.key[:]), string(b.key[:])) })
	}
	return nil, false
}
