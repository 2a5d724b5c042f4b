package words

import (
	"bytes"
	"html"
	"slices"
	"strings"
	"text/template/parse"
	"unicode"
)

// shown are the attributes that people see or hear.
var shown = []string{"alt", "aria-label", "placeholder", "title"}

// Template puts every text of a template's tree, in order, through a function: what stands
// between tags, and in attributes that people see or hear. Markup and actions stay.
func Template(tree *parse.Tree, to func(string) string) {
	m := markup{to: to}
	m.walk(tree.Root)
}

// markup is where in HTML a template is: its texts are cut by actions, anywhere.
type markup struct {
	to    func(string) string
	tag   bool   // within <…>
	quote byte   // of the attribute's value that it is within, or 0
	name  []byte // of the attribute last seen in this tag
}

func (m *markup) walk(n parse.Node) {
	switch n := n.(type) {
	case *parse.ListNode:
		if n != nil {
			for _, x := range n.Nodes {
				m.walk(x)
			}
		}
	case *parse.IfNode:
		m.branches(n.List, n.ElseList)
	case *parse.RangeNode:
		m.branches(n.List, n.ElseList)
	case *parse.WithNode:
		m.branches(n.List, n.ElseList)
	case *parse.TextNode:
		n.Text = m.text(n.Text)
	}
}

// branches go on from the same place, and end at one.
func (m *markup) branches(list, other *parse.ListNode) {
	from := *m
	from.name = slices.Clone(m.name)
	m.walk(list)
	if other != nil {
		*m = from
		m.walk(other)
	}
}

func (m *markup) text(text []byte) []byte {
	var out bytes.Buffer
	for len(text) > 0 {
		var n int
		switch {
		case m.quote != 0: // a value, up to its end
			if n = bytes.IndexByte(text, m.quote); n < 0 {
				n = len(text)
			}
			value := text[:n]
			if slices.Contains(shown, string(m.name)) {
				value = m.said(value)
			}
			out.Write(value)
			if n < len(text) {
				out.WriteByte(m.quote)
				m.quote = 0
				n++
			}
		case m.tag:
			n = 1
			m.mark(text[0])
			out.WriteByte(text[0])
		default: // between tags
			if n = bytes.IndexByte(text, '<'); n < 0 {
				n = len(text)
			}
			out.Write(m.said(text[:n]))
			if n < len(text) {
				out.WriteByte('<')
				m.tag, m.name = true, nil
				n++
			}
		}
		text = text[n:]
	}
	return out.Bytes()
}

// mark takes a byte within a tag and outside of values.
func (m *markup) mark(c byte) {
	switch {
	case c == '>':
		m.tag = false
	case c == '"' || c == '\'':
		m.quote = c
	case c == ' ' || c == '\n':
		m.name = nil
	case c != '=':
		m.name = append(m.name, c)
	}
}

// said is a run of text in the other words, with the space round it kept. A run without a
// letter says nothing.
func (m *markup) said(run []byte) []byte {
	text := html.UnescapeString(string(run))
	if strings.IndexFunc(text, unicode.IsLetter) < 0 {
		return run
	}
	core := strings.TrimSpace(text)
	to, from := m.to(core), strings.Index(text, core)
	if to == core {
		return run
	}
	return []byte(text[:from] + html.EscapeString(to) + text[from+len(core):])
}
