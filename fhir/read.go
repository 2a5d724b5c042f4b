package fhir

import (
	"bytes"
	"regexp"
	"slices"
	"strings"

	"cotline/handover"
)

// Given is what a reading of resources knows beside them.
type Given struct {
	Policy *handover.Policy
	By     string            // staff key under which what others observed is charted; empty: none of it is
	Known  map[string]string // infants' keys by hospital number; "" where two have one
	Admit  string            // the key under which the one infant who is not known is admitted
	Cot    string            // and its cot
}

// Read is what resources offer to a record. With any issue nothing is to be used.
type Read struct {
	Entries []*handover.Entry // Line is the ordinal of the resource that an entry comes of
	Issues  []handover.Issue
	Aside   []handover.Issue // resources that are not read, and why; Found is the type
	Paths   []string         // of the resources, by ordinal; nil: ordinals are lines
}

// ReadJSON reads a bundle, or one resource.
func ReadJSON(text []byte, g Given) Read {
	r := reader{Given: g}
	root := r.parse(1, text)
	if root == nil {
		return r.Read
	}
	if kind := root.text("resourceType"); kind != "Bundle" {
		r.Paths = []string{kind}
		r.add(1, root, "")
		return r.done()
	}
	if root.text("type") == "" {
		r.issue(1, "Bundle.type", handover.CodeMissing, "", "required")
	}
	for i, e := range root.list("entry") {
		r.Paths = append(r.Paths, indexedPath("Bundle.entry", i)+".resource")
		if n := e.at("resource"); n != nil {
			r.add(i+1, n, e.text("fullUrl"))
		}
	}
	return r.done()
}

// ReadLines reads resources one a line; lines are by their number, from 1.
func ReadLines(lines map[int][]byte, order []int, g Given) Read {
	r := reader{Given: g}
	for _, line := range order {
		if n := r.parse(line, lines[line]); n != nil {
			r.add(line, n, "")
		}
	}
	return r.done()
}

var typeForm = regexp.MustCompile(`^[A-Z][A-Za-z]{1,63}$`)

type reader struct {
	Given
	Read
	all   []*offered
	bases map[string]bool // of own extensions in the file, and the policy's
	seen  map[string]string
}

// offered is a resource as it was offered.
type offered struct {
	*node
	ordinal int
	kind    string
	url     string // its fullUrl
}

func (r *reader) issue(ordinal int, path string, code handover.Code, found, allowed string) {
	r.Issues = append(r.Issues, handover.Issue{Line: ordinal, Path: path, Code: code, Found: found, Allowed: allowed})
}

func (r *reader) aside(o *offered, why string) {
	r.Aside = append(r.Aside, handover.Issue{Line: o.ordinal, Code: handover.CodeAside, Found: o.kind, Allowed: why})
}

func (r *reader) parse(ordinal int, text []byte) *node {
	var c checker
	n, err := parse(bytes.TrimPrefix(text, []byte("\ufeff")), &c)
	for _, f := range c.faults {
		r.issue(ordinal, strings.TrimPrefix(f.Path, "$."), handover.CodeDuplicateField, "", "each name once in an object")
	}
	switch {
	case len(c.faults) > 0:
	case err != nil:
		r.issue(ordinal, "", handover.CodeJSON, "", "one whole JSON object: "+err.Error())
	case n.kind != object || n.text("resourceType") == "":
		r.issue(ordinal, "resourceType", handover.CodeResource, "", "the type of a FHIR R4 resource")
	default:
		return n
	}
	return nil
}

// add keeps a resource, and reads what it carries.
func (r *reader) add(ordinal int, n *node, url string) {
	o := &offered{node: n, ordinal: ordinal, kind: n.text("resourceType"), url: url}
	if n.kind != object || !typeForm.MatchString(o.kind) {
		r.issue(ordinal, "resourceType", handover.CodeResource, "", "the type of a FHIR R4 resource")
		return
	}
	r.all = append(r.all, o)
	for i, x := range n.list("extension") {
		base, ours := strings.CutSuffix(x.text("url"), carryPath)
		if !ours {
			continue
		}
		if r.bases == nil {
			r.bases, r.seen = map[string]bool{}, map[string]string{}
		}
		r.bases[base] = true
		r.carried(ordinal, indexedPath("extension", i)+".valueString", x.text("valueString"))
	}
}

// carried reads one entry's text. The same text on several resources is one entry.
func (r *reader) carried(ordinal int, path, text string) {
	v, issues := handover.ParseJSON([]byte(text))
	var e handover.Entry
	if len(issues) == 0 {
		e, issues = handover.Decode(v)
	}
	for _, i := range issues {
		r.issue(ordinal, strings.TrimSuffix(path+"."+i.Path, "."), i.Code, i.Found, i.Allowed)
	}
	if len(issues) > 0 {
		return
	}
	if !e.Offered {
		r.issue(ordinal, path+".charted", handover.CodeMissing, "", "the moment at which the entry was charted")
		return
	}
	if r.seen[e.ID] == text {
		return
	}
	r.seen[e.ID] = text
	e.Line, e.Carried = ordinal, true
	r.Entries = append(r.Entries, &e)
}

// done reads what others wrote, once it is known what is ours.
func (r *reader) done() Read {
	for _, o := range r.all {
		if !r.ours(o) {
			r.foreign(o)
		}
	}
	return r.Read
}

// ours says whether a resource comes of a record like this one: it was charted
// there, and is never charted again.
func (r *reader) ours(o *offered) bool {
	system := func(s string) bool {
		base, own := strings.CutSuffix(s, ownIDPath)
		return own && (r.bases[base] || base == r.Policy.FHIR.Base)
	}
	ids := o.list("identifier")
	if one := o.at("identifier"); one != nil && one.kind == object {
		ids = []*node{one}
	}
	return slices.ContainsFunc(ids, func(id *node) bool { return system(id.text("system")) }) ||
		slices.ContainsFunc(o.list("extension"), func(x *node) bool { return strings.HasSuffix(x.text("url"), carryPath) }) ||
		len(r.bases) > 0 && o.kind == "Provenance"
}
