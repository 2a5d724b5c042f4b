package fhir

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
)

// node is a piece of JSON with nothing lost: numbers as written, names in order. The
// reader keeps it for as long as it needs it; the checker, which keeps nothing, has a
// tree of its own (check_scan.go), which is held to this one.
type node struct {
	kind  kind
	value string   // of text, number and bool
	names []string // of an object, beside kids
	kids  []*node
}

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

// at is the named member, nil when there is none.
func (n *node) at(name string) *node {
	if n == nil {
		return nil
	}
	for i, s := range n.names {
		if s == name {
			return n.kids[i]
		}
	}
	return nil
}

// text is the named member if it is a string.
func (n *node) text(name string) string {
	if m := n.at(name); m != nil && m.kind == text {
		return m.value
	}
	return ""
}

// list are the items of the named array.
func (n *node) list(name string) []*node {
	if m := n.at(name); m != nil && m.kind == array {
		return m.kids
	}
	return nil
}

// codings are the codes of a concept, each with its system.
func codings(concept *node) []string {
	var out []string
	for _, x := range concept.list("coding") {
		out = append(out, x.text("system")+"|"+x.text("code"))
	}
	return out
}

const deepest = 64 // levels of nesting

// parse reads one JSON text; a name that stands twice is a fault of the checker.
func parse(b []byte, c *checker) (*node, error) {
	d := json.NewDecoder(bytes.NewReader(b))
	d.UseNumber()
	n, err := readNode(d, "$", 0, c)
	if err != nil {
		return nil, err
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return nil, errors.New("more than one value")
	}
	return n, nil
}

func readNode(d *json.Decoder, path string, depth int, c *checker) (*node, error) {
	if depth > deepest {
		return nil, errors.New("nested too deep")
	}
	t, err := d.Token()
	if err != nil {
		return nil, errors.New("not whole JSON")
	}
	switch t := t.(type) {
	case string:
		return &node{kind: text, value: t}, nil
	case json.Number:
		return &node{kind: numeral, value: t.String()}, nil
	case bool:
		if t {
			return &node{kind: truthful, value: "true"}, nil
		}
		return &node{kind: truthful, value: "false"}, nil
	case json.Delim:
		n := &node{kind: object}
		if t == '[' {
			n.kind = array
		}
		for d.More() {
			here := path
			if n.kind == object {
				name, err := d.Token()
				if err != nil {
					return nil, errors.New("not whole JSON")
				}
				s, _ := name.(string)
				here += "." + s
				if len(c.faults) < mostTwice && n.at(s) != nil {
					c.faults = append(c.faults, Fault{here, ruleJSON, "the name stands twice"})
				}
				n.names = append(n.names, s)
			} else {
				here = indexedPath(path, len(n.kids))
			}
			kid, err := readNode(d, here, depth+1, c)
			if err != nil {
				return nil, err
			}
			n.kids = append(n.kids, kid)
		}
		if _, err := d.Token(); err != nil {
			return nil, errors.New("not whole JSON")
		}
		return n, nil
	}
	return &node{}, nil
}
