package fhir

import (
	"encoding/xml"
	"errors"
	"io"
	"strings"
)

// bundle holds a bundle to what R4 and receivers ask of it.
func (c *checker) bundle(n *node, path string) {
	c.bundled = true
	kind := n.text("type")
	requested := kind == "transaction" || kind == "batch"
	urls := map[string]bool{}
	identities := map[string]bool{}
	for i, e := range n.list("entry") {
		here := indexedPath(path+".entry", i)
		full, r, request := e.text("fullUrl"), e.at("resource"), e.at("request")
		if (request != nil) != requested {
			c.add(here+".request", "bdl-3", "a request stands in a transaction or batch, and only there")
		}
		if e.at("response") != nil {
			c.add(here+".response", "bdl-4", "a response is the receiver's")
		}
		if r == nil {
			c.add(here, "bdl-5", "no resource")
			continue
		}
		if !fullURLForm.MatchString(full) {
			c.add(here+".fullUrl", ruleReference, "urn:uuid: and a lower-case UUID are wanted")
		}
		if urls[full] {
			c.add(here+".fullUrl", "bdl-7", "the fullUrl stands twice")
		}
		urls[full] = true
		c.entries = append(c.entries, bundled{full, r.text("resourceType"), r.text("id")})
		for j, id := range r.list("identifier") {
			if id.text("use") == "temp" {
				continue // a label may come twice: it names nobody
			}
			key := r.text("resourceType") + "\n" + id.text("system") + "\n" + id.text("value")
			if identities[key] {
				c.add(indexedPath(here+".resource.identifier", j), ruleIdentity, "an entry before has this identity")
			}
			identities[key] = true
		}
		if requested && request != nil {
			c.request(request, r, full, here)
		}
	}
	if kind == "document" {
		c.composed = true
		c.document(n, path)
	}
}

// request: ids by mode. What the receiver names has none; what we name has the one
// of the URL.
func (c *checker) request(q, r *node, full, path string) {
	method, url, id := q.text("method"), q.text("url"), r.text("id")
	kind := r.text("resourceType")
	none := q.text("ifNoneExist")
	switch {
	case method == "POST" && url != kind:
		c.add(path+".request.url", ruleRequest, "POST goes to the type")
	case method == "POST" && id != "":
		c.add(path+".resource.id", ruleRequest, "the receiver names what is posted")
	case method == "PUT" && strings.HasPrefix(url, kind+"?"):
		if id != "" {
			c.add(path+".resource.id", ruleRequest, "the receiver names what is put by identifier")
		}
		none = strings.TrimPrefix(url, kind+"?")
	case method == "PUT" && url != kind+"/"+id:
		c.add(path+".request.url", ruleRequest, "type and id of the resource are wanted")
	case method == "PUT" && full != "urn:uuid:"+id:
		c.add(path+".fullUrl", ruleRequest, "urn:uuid: and the id are wanted")
	}
	if none != "" && (!strings.HasPrefix(none, "identifier=") || strings.ContainsAny(none, "?&#+ ") || strings.Count(none, "|") != 1) {
		c.add(path+".request", ruleRequest, "identifier=system|value, escaped, is the one parameter")
	}
	if method == "PUT" && q.at("ifNoneExist") != nil {
		c.add(path+".request.ifNoneExist", ruleRequest, "only on POST")
	}
}

func (c *checker) document(n *node, path string) {
	id := n.at("identifier")
	if id.text("system") == "" || id.text("value") == "" {
		c.add(path+".identifier", "bdl-9", "a document has an identifier")
	}
	if n.text("timestamp") == "" {
		c.add(path+".timestamp", "bdl-10", "a document has a timestamp")
	}
	if e := n.list("entry"); len(e) == 0 || e[0].at("resource").text("resourceType") != "Composition" {
		c.add(path+".entry", "bdl-11", "a document begins with its Composition")
	}
}

// tags are the elements that a narrative is made of here, with the one attribute
// that the outermost has.
var tags = map[string]bool{"div": true, "p": true, "ul": true, "li": true, "br": true, "b": true,
	"table": true, "thead": true, "tbody": true, "tr": true, "th": true, "td": true, "h1": true, "h2": true, "h3": true}

// narrative: XHTML of basic formatting that says something (txt-1, txt-2).
func (c *checker) narrative(n *node, path string) {
	d := xml.NewDecoder(strings.NewReader(n.text("div")))
	depth, said := 0, false
	for {
		t, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			c.add(path+".div", "txt-1", "not well-formed XML")
			return
		}
		switch t := t.(type) {
		case xml.StartElement:
			root := depth == 0
			depth++
			if !tags[t.Name.Local] || t.Name.Space != xhtml || root != (len(t.Attr) > 0) || root && t.Name.Local != "div" {
				c.add(path+".div", "txt-1", "only plain XHTML in one div is wanted")
				return
			}
		case xml.EndElement:
			depth--
		case xml.CharData:
			said = said || depth > 0 && strings.TrimSpace(string(t)) != ""
		default:
			c.add(path+".div", "txt-1", "only elements and text are wanted")
			return
		}
	}
	if !said {
		c.add(path+".div", "txt-2", "an empty narrative")
	}
}
