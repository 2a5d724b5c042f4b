package r4

import "strings"

// read checks an entry as soon as it is read, if it is one of a bundle whose type is
// known by then, and says whether it did: nothing that the entry holds is needed after
// that. Everything else is checked with the whole.
func (c *Checker) read(n *Part) bool {
	root := n.parent.parent
	if root.Kind != Object || root.At("entry") != n.parent || root.Text("resourceType") != "Bundle" || root.At("type") == nil {
		return false
	}
	c.root = "Bundle"
	plan := modelled["Bundle"].plan()
	c.element(n, plan[find(plan, 0, "entry")].shape.items, aString)
	c.entry(n, root.Text("type"))
	n.done = true
	return true
}

// bundle holds a bundle to what R4 and receivers ask of it.
func (c *Checker) bundle(n *Part) {
	c.bundled = true
	kind := n.Text("type")
	for e := n.items("entry"); e != nil; e = e.next {
		if !e.done {
			c.entry(e, kind)
		}
	}
	if kind == "document" {
		c.composed = true
		c.document(n)
	}
}

// entry holds an entry to what a bundle of that type asks of it.
func (c *Checker) entry(e *Part, bundle string) {
	requested := bundle == "transaction" || bundle == "batch"
	full, r, request := e.Text("fullUrl"), e.At("resource"), e.At("request")
	if (request != nil) != requested {
		c.add(e, ".request", "bdl-3", "a request stands in a transaction or batch, and only there")
	}
	if e.At("response") != nil {
		c.add(e, ".response", "bdl-4", "a response is the receiver's")
	}
	if r == nil {
		c.add(e, "", "bdl-5", "no resource")
		return
	}
	if !isFullURL(full) {
		c.add(e, ".fullUrl", ruleReference, "urn:uuid: and a lower-case UUID are wanted")
	}
	if _, twice := c.byURL[full]; twice {
		c.add(e, ".fullUrl", "bdl-7", "the fullUrl stands twice")
	}
	if c.byURL == nil {
		about := len(c.text) / 1024 // entries
		c.byURL, c.identities = make(map[string]int, about), make(map[identity]bool, about)
	}
	kind := r.Text("resourceType")
	c.byURL[full] = len(c.entries)
	c.entries = append(c.entries, bundled{int(e.index), full, kind, r.Text("id")})
	for id := r.items("identifier"); id != nil; id = id.next {
		if id.Text("use") == "temp" {
			continue // a label may come twice: it names nobody
		}
		key := identity{kind, id.Text("system"), id.Text("value")}
		if c.identities[key] {
			c.add(id, "", ruleIdentity, "an entry before has this identity")
		}
		c.identities[key] = true
	}
	if requested && request != nil {
		c.request(e, request, r, full)
	}
}

// identity is what no two entries may have.
type identity struct{ kind, system, value string }

// request holds an entry to its bundle's mode. What the receiver names has no id; what
// we name has the id of the URL.
func (c *Checker) request(e, q, r *Part, full string) {
	method, url, id := q.Text("method"), q.Text("url"), r.Text("id")
	kind := r.Text("resourceType")
	none := q.Text("ifNoneExist")
	beyond, ours := strings.CutPrefix(url, kind)
	switch {
	case method == "POST" && url != kind:
		c.add(e, ".request.url", ruleRequest, "POST goes to the type")
	case method == "POST" && id != "":
		c.add(e, ".resource.id", ruleRequest, "the receiver names what is posted")
	case method == "PUT" && ours && strings.HasPrefix(beyond, "?"):
		if id != "" {
			c.add(e, ".resource.id", ruleRequest, "the receiver names what is put by identifier")
		}
		none = beyond[1:]
	case method == "PUT" && (!ours || !strings.HasPrefix(beyond, "/") || beyond[1:] != id):
		c.add(e, ".request.url", ruleRequest, "type and id of the resource are wanted")
	case method == "PUT" && (!strings.HasPrefix(full, "urn:uuid:") || full[len("urn:uuid:"):] != id):
		c.add(e, ".fullUrl", ruleRequest, "urn:uuid: and the id are wanted")
	}
	if none != "" && (!strings.HasPrefix(none, "identifier=") || strings.ContainsAny(none, "?&#+ ") || strings.Count(none, "|") != 1) {
		c.add(e, ".request", ruleRequest, "identifier=system|value, escaped, is the one parameter")
	}
	if method == "PUT" && q.At("ifNoneExist") != nil {
		c.add(e, ".request.ifNoneExist", ruleRequest, "only on POST")
	}
}

func (c *Checker) document(n *Part) {
	id := n.At("identifier")
	if id.Text("system") == "" || id.Text("value") == "" {
		c.add(n, ".identifier", "bdl-9", "a document has an identifier")
	}
	if n.Text("timestamp") == "" {
		c.add(n, ".timestamp", "bdl-10", "a document has a timestamp")
	}
	if len(c.entries) == 0 || c.entries[0].n > 0 || c.entries[0].kind != "Composition" {
		c.add(n, ".entry", "bdl-11", "a document begins with its Composition")
	}
}
