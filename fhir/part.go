package fhir

import (
	"strconv"
	"strings"
)

// part is a piece of JSON with nothing lost: numbers as written, names in order. Its
// strings are parts of the text wherever they have no escape.
type part struct {
	kind  kind
	plain bool   // a string of printable ASCII
	done  bool   // an entry of a bundle, checked as soon as it was read
	index int32  // its place in what holds it, from 0
	start int32  // where its value begins in the text
	name  string // of a member
	value string // of text, numeral and truthful

	parent, first, next *part
}

// at is the named member, nil when there is none.
func (n *part) at(name string) *part {
	if n == nil || n.kind != object {
		return nil
	}
	for m := n.first; m != nil; m = m.next {
		if m.name == name {
			return m
		}
	}
	return nil
}

// text is the named member if it is a string.
func (n *part) text(name string) string {
	if m := n.at(name); m != nil && m.kind == text {
		return m.value
	}
	return ""
}

// items is the first item of the named array; the others come next.
func (n *part) items(name string) *part {
	if m := n.at(name); m != nil && m.kind == array {
		return m.first
	}
	return nil
}

// list are the items of the named array.
func (n *part) list(name string) (all []*part) {
	for x := n.items(name); x != nil; x = x.next {
		all = append(all, x)
	}
	return all
}

// newObject is an object of some members, nil ones left out.
func newObject(members ...*part) *part {
	n := &part{kind: object}
	last := &n.first
	for i, m := range members {
		if m != nil {
			m.parent, m.index = n, int32(i)
			*last, last = m, &m.next
		}
	}
	return n
}

func newText(name, value string) *part { return &part{kind: text, name: name, value: value} }

// apart is a copy that keeps nothing else of its text in memory; nil of nil.
func (n *part) apart() *part {
	if n == nil {
		return nil
	}
	out := *n
	out.parent, out.next = nil, nil
	out.name, out.value = strings.Clone(n.name), strings.Clone(n.value)
	last := &out.first
	for m := n.first; m != nil; m = m.next {
		kid := m.apart()
		kid.parent = &out
		*last, last = kid, &kid.next
	}
	*last = nil
	return &out
}

// path is where a part stands, below a root of that name.
func (n *part) path(root string) string {
	switch {
	case n.parent == nil:
		return root
	case n.parent.kind == array:
		return indexedPath(n.parent.path(root), int(n.index))
	}
	return n.parent.path(root) + "." + n.name
}

func indexedPath(path string, n int) string { return path + "[" + strconv.Itoa(n) + "]" }

type kind byte

const (
	null kind = iota
	text
	numeral
	truthful
	array
	object
)

var kindNames = [...]string{"null", "a string", "a number", "true or false", "an array", "an object"}

const deepest = 64 // levels of nesting
