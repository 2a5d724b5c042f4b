package fhir

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

// scanner reads one JSON text, once: s is the text of b.
type scanner struct {
	b     []byte
	s     string
	i     int // where it is
	parts []part
	used  int    // of parts
	taken []byte // of a string with escapes
	asked scanning
}

// scanning is what a scanner tells of while it reads; the zero value is nobody.
type scanning struct {
	item  func(*part) bool // of each item of an array of the outermost object; true: what it held is needed no more
	twice func(*part)      // of a member whose name stands in its object already
}

// scan reads one JSON text (RFC 8259). What is read last is the first to make room,
// so that a bundle is checked entry by entry in the memory of one.
func scan(b []byte, asked scanning) (*part, error) {
	if !utf8.Valid(b) {
		return nil, errNotUTF8
	}
	p := &scanner{b: b, s: string(b), asked: asked, parts: make([]part, min(256, len(b)/16+1))}
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
func (p *scanner) part(parent *part, i int32) *part {
	if p.used == len(p.parts) {
		p.parts, p.used = make([]part, 2*len(p.parts)), 0
	}
	n := &p.parts[p.used]
	*n = part{parent: parent, index: i}
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

func (p *scanner) value(n *part, depth int) (err error) {
	if depth > deepest {
		return errDeep
	}
	c := p.next()
	n.start = int32(p.i)
	switch c {
	case '"':
		n.kind = text
		n.value, n.plain, err = p.text()
		return err
	case '{':
		n.kind = object
		return p.object(n, depth)
	case '[':
		n.kind = array
		return p.array(n, depth)
	case 't':
		n.kind = truthful
		return p.word(n, "true")
	case 'f':
		n.kind = truthful
		return p.word(n, "false")
	case 'n':
		return p.word(n, "null")
	}
	n.kind = numeral
	return p.number(n)
}

func (p *scanner) word(n *part, word string) error {
	if !strings.HasPrefix(p.s[p.i:], word) {
		return errNotWhole
	}
	n.value = word
	p.i += len(word)
	return nil
}

func (p *scanner) array(n *part, depth int) error {
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

func (p *scanner) object(n *part, depth int) error {
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
		if names.twice(n, kid.name) && p.asked.twice != nil {
			p.asked.twice(kid)
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
func (s *nameSet) twice(n *part, name string) bool {
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
	return maybe && n.at(name) != nil
}

// number reads a number as JSON writes one; its text is kept as it is.
func (p *scanner) number(n *part) error {
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
	n.value = p.s[start:p.i]
	return nil
}

func (p *scanner) digits() (n int) {
	for ; p.i < len(p.b) && p.b[p.i]-'0' < 10; p.i++ {
		n++
	}
	return n
}
