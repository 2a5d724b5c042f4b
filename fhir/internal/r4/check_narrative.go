package r4

import (
	"encoding/xml"
	"errors"
	"io"
	"strings"
)

// isTag says whether narratives here are made of an element of that name.
func isTag(name string) bool {
	switch name {
	case "div", "p", "ul", "li", "br", "b", "table", "thead", "tbody", "tr", "th", "td", "h1", "h2", "h3":
		return true
	}
	return false
}

// narrative holds a narrative to XHTML of basic formatting that says something.
func (c *Checker) narrative(n *Part) {
	div := n.At("div")
	if div != nil && div.Kind == Text && plainly(div) {
		return
	}
	if rule, says := narrativeFault(n.Text("div")); rule != "" {
		c.add(n, ".div", rule, "%s", says)
	}
}

// narrativeFault is the rule that a narrative breaks, txt-1 or txt-2, and how; empty
// if none.
func narrativeFault(div string) (rule, says string) {
	const oneDiv = "only plain XHTML in one div is wanted"
	d := xml.NewDecoder(strings.NewReader(div))
	depth, roots, said := 0, 0, false
	for {
		t, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return "txt-1", "not well-formed XML"
		}
		switch t := t.(type) {
		case xml.StartElement:
			if depth == 0 {
				roots++
			}
			if roots > 1 || !plainTag(t, depth == 0) {
				return "txt-1", oneDiv
			}
			depth++
		case xml.EndElement:
			depth--
		case xml.CharData:
			words := strings.TrimSpace(string(t)) != ""
			if words && depth == 0 {
				return "txt-1", oneDiv
			}
			said = said || words
		default:
			return "txt-1", "only elements and text are wanted"
		}
	}
	if !said {
		return "txt-2", "an empty narrative"
	}
	return "", ""
}

// plainTag says whether a tag may stand in a narrative: the outermost is a div with
// the name space, and no other attribute is wanted anywhere.
func plainTag(t xml.StartElement, outermost bool) bool {
	if !isTag(t.Name.Local) || t.Name.Space != xhtml {
		return false
	}
	if outermost {
		return t.Name.Local == "div" && len(t.Attr) == 1 && t.Attr[0].Name == xml.Name{Local: "xmlns"}
	}
	return len(t.Attr) == 0
}

// opening is how a narrative of ours begins.
const opening = `<div xmlns="` + xhtml + `">`

// plainly says that a narrative is sound, if it is written as ours are: tags without
// blanks, and text whose only entities are those for < > and &. What it does not know
// is left to the decoder, and it accepts nothing that the decoder would refuse.
func plainly(n *Part) bool {
	s, ours := strings.CutPrefix(n.Value, opening)
	if !ours || !n.plain && strings.ContainsFunc(s, isControl) {
		return false
	}
	var within [8]string // elements that are open
	within[0] = "div"
	depth, said := 1, false
	for {
		i := strings.IndexByte(s, '<')
		if i < 0 || !plainText(s[:i]) {
			return false
		}
		said = said || strings.TrimSpace(s[:i]) != ""
		s = s[i+1:]
		end := strings.IndexByte(s, '>')
		if end < 0 {
			return false
		}
		tag := s[:end]
		s = s[end+1:]
		switch {
		case tag == "br/":
		case strings.HasPrefix(tag, "/"):
			if depth--; tag[1:] != within[depth] {
				return false
			}
			if depth == 0 {
				return said && s == ""
			}
		case depth == len(within) || !isTag(tag):
			return false
		default:
			within[depth] = tag
			depth++
		}
	}
}

// plainText says whether XML takes a text that holds no < and no control character.
func plainText(s string) bool {
	if strings.IndexByte(s, '>') >= 0 {
		return false
	}
	for i := strings.IndexByte(s, '&'); i >= 0; i = strings.IndexByte(s, '&') {
		if s = s[i:]; !strings.HasPrefix(s, "&amp;") && !strings.HasPrefix(s, "&lt;") && !strings.HasPrefix(s, "&gt;") {
			return false
		}
		s = s[1:]
	}
	return true
}
