package r4

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"
)

// node is what encoding/json reads, token by token: what scan is held to.
type node struct {
	kind  Kind
	value string   // of text, number and bool
	names []string // of an object, beside kids
	kids  []*node
}

// parse reads one JSON text by the tokens of encoding/json, and the paths of names that stand twice.
func parse(b []byte) (n *node, twice []string, err error) {
	d := json.NewDecoder(bytes.NewReader(b))
	d.UseNumber()
	if n, err = readNode(d, "$", 0, &twice); err != nil {
		return nil, nil, err
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) {
		return nil, nil, errors.New("more than one value")
	}
	return n, twice, nil
}

func readNode(d *json.Decoder, path string, depth int, twice *[]string) (*node, error) {
	if depth > Deepest {
		return nil, errors.New("nested too deep")
	}
	t, err := d.Token()
	if err != nil {
		return nil, errors.New("not whole JSON")
	}
	switch t := t.(type) {
	case string:
		return &node{kind: Text, value: t}, nil
	case json.Number:
		return &node{kind: Numeral, value: t.String()}, nil
	case bool:
		if t {
			return &node{kind: truthful, value: "true"}, nil
		}
		return &node{kind: truthful, value: "false"}, nil
	case json.Delim:
		n := &node{kind: Object}
		if t == '[' {
			n.kind = Array
		}
		for d.More() {
			here := path
			if n.kind == Object {
				name, err := d.Token()
				if err != nil {
					return nil, errors.New("not whole JSON")
				}
				s, _ := name.(string)
				here += "." + s
				if slices.Contains(n.names, s) {
					*twice = append(*twice, here)
				}
				n.names = append(n.names, s)
			} else {
				here = IndexedPath(path, len(n.kids))
			}
			kid, err := readNode(d, here, depth+1, twice)
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

// sameTree says where what was scanned differs from what encoding/json reads.
func sameTree(p *Part, n *node, path string) string {
	if p.Kind != n.kind || p.Kind != Null && p.Value != n.value {
		return fmt.Sprintf("%s: scanned %s %q; %s %q is wanted", path, KindNames[p.Kind], p.Value, KindNames[n.kind], n.value)
	}
	if p.plain && (p.Kind != Text || strings.ContainsFunc(p.Value, func(r rune) bool { return r < 0x20 || r > 0x7E })) {
		return path + ": not plain: " + p.Value
	}
	kid := p.first
	for i, want := range n.kids {
		here := IndexedPath(path, i)
		switch {
		case kid == nil || int(kid.index) != i || kid.parent != p:
			return here + ": missing, or out of place"
		case n.kind == Object && kid.name != n.names[i]:
			return here + ": name " + kid.name
		}
		if d := sameTree(kid, want, here); d != "" {
			return d
		}
		kid = kid.next
	}
	if kid != nil {
		return path + ": too many"
	}
	return ""
}

// holdScan compares a text as it is scanned with what encoding/json makes of it.
func holdScan(t *testing.T, b []byte) {
	t.Helper()
	var twice []string
	p, err := Scan(b, Scanning{Twice: func(n *Part) { twice = append(twice, n.Path("$")) }})
	if err == errNotUTF8 { // which encoding/json mends
		return
	}
	n, wantTwice, want := parse(b)
	if (err == nil) != (want == nil) {
		t.Fatalf("%q: %v; %v is wanted", b, err, want)
	}
	if err != nil {
		return
	}
	if d := sameTree(p, n, "$"); d != "" {
		t.Fatalf("%q: %s", b, d)
	}
	if !slices.Equal(twice, wantTwice) {
		t.Fatalf("%q: %v; %v is wanted", b, twice, wantTwice)
	}
}

var scanned = []string{
	``, ` `, `null`, ` true `, `tru`, `nul`, `falsey`, `{}`, ` { } `, `[]`, `[ ]`, `[1,]`, `[,1]`, `[1 2]`, `{"a"}`, `{"a":}`, `{"a":1,}`,
	`{,}`, `{1:2}`, `{"a" : [ 1 , {"b":null} ] }`,
	`0`, `-0`, `01`, `1.`, `.1`, `-`, `+1`, `1.50`, `1e5`, `1E-5`, `1e+`, `1e`, `-1.0e10`, `1.2.3`, `9999999999999999999999999`, `0x1`,
	`""`, `"a`, `"a\`, `"\u12`, `"\u00e9"`, `"\ud83d\ude00"`, `"\ud800"`, `"\q"`, `"a\"b\\c\/d\b\f\n\r\te"`, "\"a\tb\"", "\"a\x00b\"",
	"\"a\x7fb\"", `"é 👶"`, `"1234567\""`, `"12345678"`, `"123456789\\"`,
	`{"a":1,"a":2}`, `{"a":{"b":1,"c":2,"b":3},"a":4,"":5,"":6}`, `{"\u0061":1,"a":2}`, `[{"a":1,"a":2}]`, `1 2`, `{}}`, "\ufeff{}",
}

func TestScan(t *testing.T) {
	for _, s := range scanned {
		holdScan(t, []byte(s))
	}
	for _, depth := range []int{Deepest, Deepest + 1, Deepest + 2} {
		holdScan(t, []byte(strings.Repeat("[", depth)+strings.Repeat("]", depth)))
	}
	var many strings.Builder
	for i := range 3 * wide {
		fmt.Fprintf(&many, `"n%d":[%d],`, i%(2*wide), i)
	}
	holdScan(t, []byte("{"+many.String()+`"last":1}`))
	for i := range 40 { // whatever stands at which of eight bytes
		for _, s := range []string{`"`, `\"`, "\x1f", "\x7f", "\x80", "é", "\ufffe", " "} {
			holdScan(t, []byte(`["`+strings.Repeat("x", i)+s+strings.Repeat("y", 20)+`"]`))
		}
	}
}

func FuzzScan(f *testing.F) {
	for _, s := range scanned {
		f.Add([]byte(s))
	}
	f.Fuzz(holdScan)
}
