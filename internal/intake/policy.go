package intake

import (
	"bytes"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"time"
	"unicode"
	"unicode/utf8"

	"github.com/goccy/go-yaml"
	"github.com/goccy/go-yaml/ast"
	"github.com/goccy/go-yaml/parser"

	"cotline/handover"
	"cotline/handover/entry"
)

// Policy reads the unit's policy; nil is the defaults, a text without keys is
// refused. Time zones are
// looked up by name in the zone files of the machine or of the program.
func Policy(text []byte) (*handover.Policy, []entry.Issue) {
	v, issues := parseYAML(text)
	if len(issues) > 0 {
		return nil, issues
	}
	if empty := v.Type <= entry.NullValue || v.Type == entry.ObjectValue && len(v.Fields) == 0; empty && text != nil {
		return nil, []entry.Issue{{Code: entry.CodeMissing, Allowed: "at least one key: the policy is empty"}}
	}
	p, issues := handover.DecodePolicy(v, time.LoadLocation)
	if len(issues) > 0 {
		return nil, issues
	}
	return p, nil
}

// parseYAML makes one value of a YAML file. Numbers keep their text. What could
// make one text mean another thing elsewhere is refused: anchors, aliases, tags,
// merge keys, keys twice, several documents.
func parseYAML(text []byte) (v entry.Value, issues []entry.Issue) {
	refuse := func(line int, code entry.Code, allowed string) []entry.Issue {
		return []entry.Issue{{Line: line, Code: code, Allowed: allowed}}
	}
	switch {
	case !utf8.Valid(text):
		return v, refuse(0, entry.CodeUTF8, "valid UTF-8")
	case len(text) > MostSettings:
		return v, refuse(0, entry.CodeLineTooLong, "a policy of at most 256 KiB")
	case nesting(text) > mostNesting:
		return v, refuse(0, entry.CodeFormat, fmt.Sprintf("brackets nested at most %d deep", mostNesting))
	}
	defer func() {
		if recover() != nil { // the parser gave up on a text that is no YAML
			v, issues = entry.Value{}, refuse(0, entry.CodeFormat, "a YAML file")
		}
	}()
	file, err := parser.ParseBytes(bytes.TrimPrefix(text, []byte("\ufeff")), 0, parser.AllowDuplicateMapKey()) // told below, by path
	if err != nil {
		var at yaml.Error
		if errors.As(err, &at) {
			return v, refuse(at.GetToken().Position.Line, entry.CodeFormat, "a YAML file: "+at.GetMessage())
		}
		return v, refuse(0, entry.CodeFormat, "a YAML file")
	}
	docs := slices.DeleteFunc(file.Docs, func(d *ast.DocumentNode) bool {
		_, directive := d.Body.(*ast.DirectiveNode)
		return d.Body == nil || directive
	})
	if len(docs) == 0 {
		return v, nil
	}
	if len(docs) > 1 {
		return v, refuse(docs[1].Body.GetToken().Position.Line, entry.CodeFormat, "one document in a policy file")
	}
	var c converter
	v = c.value(docs[0].Body, "")
	return v, c.issues
}

func nesting(text []byte) int {
	depth, most := 0, 0
	for _, b := range text {
		switch b {
		case '[', '{':
			depth++
			most = max(most, depth)
		case ']', '}':
			depth = max(0, depth-1)
		}
	}
	return most
}

type converter struct{ issues []entry.Issue }

func (c *converter) add(n ast.Node, path string, code entry.Code, allowed string) {
	c.issues = append(c.issues, entry.Issue{Line: n.GetToken().Position.Line, Path: path, Code: code, Allowed: allowed})
}

func (c *converter) value(n ast.Node, path string) entry.Value {
	v := entry.Value{Line: n.GetToken().Position.Line}
	switch n := n.(type) {
	case *ast.NullNode:
		v.Type = entry.NullValue
	case *ast.StringNode:
		v.Type, v.Text = entry.TextValue, n.Value
	case *ast.LiteralNode:
		v.Type, v.Text = entry.TextValue, n.Value.Value
	case *ast.IntegerNode, *ast.FloatNode, *ast.InfinityNode, *ast.NanNode:
		v.Type, v.Text = entry.NumberValue, n.GetToken().Value
	case *ast.BoolNode:
		v.Type, v.Bool = entry.BoolValue, n.Value
	case *ast.SequenceNode:
		v.Type = entry.ListValue
		for i, x := range n.Values {
			v.List = append(v.List, c.value(x, fmt.Sprintf("%s[%d]", path, i)))
		}
	case *ast.MappingNode:
		v.Type = entry.ObjectValue
		for _, x := range n.Values {
			c.field(&v, x, path)
		}
		if len(n.Values) > 0 { // the mapping's own token is its first colon
			v.Line = n.Values[0].Key.GetToken().Position.Line
		}
	case *ast.MappingValueNode:
		v.Type = entry.ObjectValue
		c.field(&v, n, path)
	default:
		c.add(n, path, entry.CodeFormat, "plain YAML, without anchors, aliases and tags: write the value out")
	}
	return v
}

func (c *converter) field(v *entry.Value, n *ast.MappingValueNode, path string) {
	switch n.Key.(type) {
	case *ast.StringNode, *ast.IntegerNode, *ast.FloatNode, *ast.BoolNode, *ast.NullNode:
	default:
		c.add(n.Key, path, entry.CodeFormat, "a plain key")
		return
	}
	name := n.Key.GetToken().Value
	here := shown(name)
	if path != "" {
		here = path + "." + here
	}
	if v.Field(name).Type != entry.Absent {
		c.add(n.Key, here, entry.CodeDuplicateField, "each key once in a map")
		return
	}
	value := c.value(n.Value, here)
	value.Line = n.Key.GetToken().Position.Line
	v.Fields = append(v.Fields, entry.Field{Name: name, Value: value})
}

// shown is a key fit for one line of an error.
func shown(key string) string {
	r := []rune(key)
	if len(r) > 64 || slices.ContainsFunc(r, func(c rune) bool { return !unicode.IsGraphic(c) }) {
		return strconv.QuoteToGraphic(string(r[:min(len(r), 64)]))
	}
	return key
}
