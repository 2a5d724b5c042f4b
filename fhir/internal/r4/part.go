package r4

import (
	"iter"
	"strconv"
	"strings"
)

// Part is a piece of JSON with nothing lost: numbers as written, names in order. Its
// strings are parts of the text wherever they have no escape.
type Part struct {
	Kind  Kind
	plain bool   // a string of printable ASCII
	done  bool   // an entry of a bundle, checked as soon as it was read
	index int32  // its place in what holds it, from 0
	start int32  // where its value begins in the text
	name  string // of a member
	Value string // of text, numeral and truthful

	parent, first, next *Part
}

// At is the named member, nil when there is none.
func (n *Part) At(name string) *Part {
	if n == nil || n.Kind != Object {
		return nil
	}
	for m := n.first; m != nil; m = m.next {
		if m.name == name {
			return m
		}
	}
	return nil
}

// Text is the named member if it is a string.
func (n *Part) Text(name string) string {
	if m := n.At(name); m != nil && m.Kind == Text {
		return m.Value
	}
	return ""
}

// items is the first item of the named array; the others come next.
func (n *Part) items(name string) *Part {
	if m := n.At(name); m != nil && m.Kind == Array {
		return m.first
	}
	return nil
}

// List are the items of the named array.
func (n *Part) List(name string) (all []*Part) {
	for x := n.items(name); x != nil; x = x.next {
		all = append(all, x)
	}
	return all
}

// Members are the members of an object, by name.
func (n *Part) Members() iter.Seq2[string, *Part] {
	return func(yield func(string, *Part) bool) {
		if n == nil || n.Kind != Object {
			return
		}
		for m := n.first; m != nil; m = m.next {
			if !yield(m.name, m) {
				return
			}
		}
	}
}

// NewObject is an object of some members, nil ones left out.
func NewObject(members ...*Part) *Part {
	n := &Part{Kind: Object}
	last := &n.first
	for i, m := range members {
		if m != nil {
			m.parent, m.index = n, int32(i)
			*last, last = m, &m.next
		}
	}
	return n
}

// NewText is a string as the member of a name.
func NewText(name, value string) *Part { return &Part{Kind: Text, name: name, Value: value} }

// Apart is a copy that keeps nothing else of its text in memory; nil of nil.
func (n *Part) Apart() *Part {
	if n == nil {
		return nil
	}
	out := *n
	out.parent, out.next = nil, nil
	out.name, out.Value = strings.Clone(n.name), strings.Clone(n.Value)
	last := &out.first
	for m := n.first; m != nil; m = m.next {
		kid := m.Apart()
		kid.parent = &out
		*last, last = kid, &kid.next
	}
	*last = nil
	return &out
}

// Path is where a part stands, below a root of that name.
func (n *Part) Path(root string) string {
	switch {
	case n.parent == nil:
		return root
	case n.parent.Kind == Array:
		return IndexedPath(n.parent.Path(root), int(n.index))
	}
	return n.parent.Path(root) + "." + n.name
}

// IndexedPath is the path of an item of a list, counted from 0.
func IndexedPath(path string, n int) string { return path + "[" + strconv.Itoa(n) + "]" }

// Kind is what JSON calls the type of a value.
type Kind byte

const (
	Null Kind = iota
	Text
	Numeral
	truthful
	Array
	Object
)

// KindNames say each kind in a refusal.
var KindNames = [...]string{"null", "a string", "a number", "true or false", "an array", "an object"}

// Deepest is how many levels of nesting are read; deeper text is refused.
const Deepest = 64
