package r4

import (
	"errors"
	"strings"
	"unicode/utf8"
)

var (
	errNotWhole = errors.New("not whole JSON")
	errDeep     = errors.New("nested too deep")
	errMore     = errors.New("more than one value")
	errNotUTF8  = errors.New("not UTF-8")
)

// The scanner is written by hand because everything that leaves is read by it once more,
// and reading is more than half of what that check costs. The tokens of jsontext alone
// take 1.0 to 1.3 times as long as this takes for the whole tree, which would still have
// to be made of them; encoding/json takes 6 to 11 times as long for a tree of its own.
// BenchmarkScan in package fhir prints the ratios (these: 2026-11-27, two cores shared
// with other work).
//
// Three things that the checker needs come with it: it goes on past a name that stands
// twice, and tells of each; it knows where in the text a value begins, by which a fault
// found late gets its path; and it gives the room of one entry of a bundle to the next.
// FuzzScan holds it to what encoding/json reads.

// scanner reads one JSON text, once: s is the text of b.
type scanner struct {
	b     []byte
	s     string
	i     int // where it is
	parts []Part
	used  int    // of parts
	taken []byte // of a string with escapes
	asked Scanning
}

// Scanning is what a scanner tells of while it reads; the zero value is nobody.
type Scanning struct {
	item  func(*Part) bool // of each item of an array of the outermost object; true: what it held is needed no more
	Twice func(*Part)      // of a member whose name stands in its object already
}

// Scan reads one JSON text (RFC 8259). What is read last is the first to make room,
// so that a bundle is checked entry by entry in the memory of one.
func Scan(b []byte, asked Scanning) (*Part, error) {
	return (&scanner{b: b, s: string(b), asked: asked}).scan()
}

func (p *scanner) scan() (*Part, error) {
	if !utf8.Valid(p.b) {
		return nil, errNotUTF8
	}
	if p.parts == nil {
		p.parts = make([]Part, min(256, len(p.b)/16+1))
	}
	root := p.part(nil, 0)
	if err := p.value(root, 0); err != nil {
		return nil, err
	}
	if p.blank(); p.i < len(p.b) {
		return nil, errMore
	}
	return root, nil
}

// part is a new part, the i-th of its parent.
func (p *scanner) part(parent *Part, i int32) *Part {
	if p.used == len(p.parts) {
		p.parts, p.used = make([]Part, 2*len(p.parts)), 0
	}
	n := &p.parts[p.used]
	*n = Part{parent: parent, index: i}
	p.used++
	return n
}

// blank skips white space.
func (p *scanner) blank() {
	for p.i < len(p.b) && (p.b[p.i] == ' ' || p.b[p.i] == '\n' || p.b[p.i] == '\t' || p.b[p.i] == '\r') {
		p.i++
	}
}

// next is the next byte that is no white space; 0 at the end.
func (p *scanner) next() byte {
	if p.i < len(p.b) && p.b[p.i] > ' ' {
		return p.b[p.i]
	}
	if p.blank(); p.i < len(p.b) {
		return p.b[p.i]
	}
	return 0
}

func (p *scanner) value(n *Part, depth int) (err error) {
	if depth > Deepest {
		return errDeep
	}
	c := p.next()
	n.start = int32(p.i) // #nosec G115 -- at most 128 MiB of resources are read
	switch c {
	case '"':
		n.Kind = Text
		n.Value, n.plain, err = p.text()
		return err
	case '{':
		n.Kind = Object
		return p.object(n, depth)
	case '[':
		n.Kind = Array
		return p.array(n, depth)
	case 't':
		n.Kind = truthful
		return p.word(n, "true")
	case 'f':
		n.Kind = truthful
		return p.word(n, "false")
	case 'n':
		return p.word(n, "null")
	}
	n.Kind = Numeral
	return p.number(n)
}

func (p *scanner) word(n *Part, word string) error {
	if !strings.HasPrefix(p.s[p.i:], word) {
		return errNotWhole
	}
	n.Value = word
	p.i += len(word)
	return nil
}

func (p *scanner) array(n *Part, depth int) error {
	p.i++
	if p.next() == ']' {
		p.i++
		return nil
	}
	last := &n.first
	for i := int32(0); ; i++ {
		kid := p.part(n, i)
		*last, last = kid, &kid.next
		parts, used := p.parts, p.used
		if err := p.value(kid, depth+1); err != nil {
			return err
		}
		if depth == 1 && p.asked.item != nil && p.asked.item(kid) {
			kid.first = nil // what it held makes room for the next
			if p.used = used; &parts[0] != &p.parts[0] {
				p.used = 0
			}
		}
		switch p.next() {
		case ',':
			p.i++
		case ']':
			p.i++
			return nil
		default:
			return errNotWhole
		}
	}
}

func (p *scanner) object(n *Part, depth int) error {
	p.i++
	if p.next() == '}' {
		p.i++
		return nil
	}
	last := &n.first
	var names nameSet
	for i := int32(0); ; i++ {
		if p.next() != '"' {
			return errNotWhole
		}
		kid := p.part(n, i)
		var err error
		if kid.name, _, err = p.text(); err != nil {
			return err
		}
		if names.twice(n, kid.name) && p.asked.Twice != nil {
			p.asked.Twice(kid)
		}
		*last, last = kid, &kid.next
		if p.next() != ':' {
			return errNotWhole
		}
		p.i++
		if err := p.value(kid, depth+1); err != nil {
			return err
		}
		switch p.next() {
		case ',':
			p.i++
		case '}':
			p.i++
			return nil
		default:
			return errNotWhole
		}
	}
}

// wide is how many members of an object are looked through one by one.
const wide = 32

// nameSet holds the names of an object so far: as a set of 64 kinds, which tells most
// names apart, and each by itself once they are many.
type nameSet struct {
	kinds uint64
	n     int
	all   map[string]bool
}

// twice adds a name that is about to stand in n, and says whether it does already.
func (s *nameSet) twice(n *Part, name string) bool {
	if s.n++; s.n > wide {
		if s.all == nil {
			s.all = make(map[string]bool, 2*wide)
			for m := n.first; m != nil; m = m.next {
				s.all[m.name] = true
			}
		}
		found := s.all[name]
		s.all[name] = true
		return found
	}
	kind := uint64(1)
	if name != "" {
		kind = 1 << ((len(name) + 7*int(name[0]) + 3*int(name[len(name)-1])) & 63)
	}
	maybe := s.kinds&kind != 0
	s.kinds |= kind
	return maybe && n.At(name) != nil
}

// number reads a number as JSON writes one; its text is kept as it is.
func (p *scanner) number(n *Part) error {
	start := p.i
	if p.i < len(p.b) && p.b[p.i] == '-' {
		p.i++
	}
	if whole := p.i; p.digits() == 0 || p.b[whole] == '0' && p.i > whole+1 {
		return errNotWhole
	}
	if p.i < len(p.b) && p.b[p.i] == '.' {
		if p.i++; p.digits() == 0 {
			return errNotWhole
		}
	}
	if p.i < len(p.b) && (p.b[p.i] == 'e' || p.b[p.i] == 'E') {
		if p.i++; p.i < len(p.b) && (p.b[p.i] == '+' || p.b[p.i] == '-') {
			p.i++
		}
		if p.digits() == 0 {
			return errNotWhole
		}
	}
	n.Value = p.s[start:p.i]
	return nil
}

func (p *scanner) digits() (n int) {
	for ; p.i < len(p.b) && p.b[p.i]-'0' < 10; p.i++ {
		n++
	}
	return n
}
