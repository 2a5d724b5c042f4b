package read

import (
	"bytes"
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"cotline/fhir/internal/r4"
	"cotline/handover"
	"cotline/handover/entry"
)

// Given is what a reading of resources knows beside them.
type Given struct {
	Policy   *handover.Policy
	Site     r4.SiteCodes   // the site's further codings
	Held     entry.Holding  // what the record holds; nil: nothing
	Beside   []*entry.Entry // what is offered to it beside the resources
	Now      time.Time      // the moment of the reading
	By       string         // staff key under which what others observed is charted; empty: none of it is
	Admit    string         // the key under which the one infant who is not known is admitted
	Cot      string         // and its cot
	Identify []string       // keys of infants who are to be called what their Patient says
	Amended  []string       // what came back changed and is to be charted: our identifiers, ids, or entries' ids
	// Sent are the resources that were sent of an infant, of these entries as known at a
	// moment; nil: what comes back is not held against it.
	Sent func(infant string, entries []*entry.Entry, known time.Time) [][]byte
}

// Read is what resources offer to a record. With any issue nothing is to be used.
type Read struct {
	Entries []*entry.Entry // Line is the ordinal of the resource that an entry comes of
	Issues  []entry.Issue
	Aside   []entry.Issue // resources that are not read, and why; Found is the type
	Changed []entry.Issue // what was sent from here and came back with other content
}

// Resources are gathered from any number of files and then read together, since
// one may refer to what another holds: a Patient in one, its Observations in the
// next. The zero value is empty.
type Resources struct {
	read   Read
	all    []*offered
	bases  map[string]bool // of own extensions in the files
	seen   map[string]string
	values int  // so far
	full   bool // no more is read
}

// JSON gathers a bundle, or one resource. Ordinals count on from first; it returns
// the path of each within the file.
func (r *Resources) JSON(first int, text []byte) (paths []string) {
	root := r.parse(first, text)
	if root == nil {
		return []string{""}
	}
	kind := root.Text("resourceType")
	if kind != "Bundle" {
		if !typeForm.MatchString(kind) {
			kind = ""
		}
		r.add(first, root, "")
		return []string{kind}
	}
	paths = []string{kind}
	switch is := root.Text("type"); {
	case is == "":
		r.issue(first, "type", entry.CodeMissing, "", "required on Bundle")
	case !slices.Contains(r4.BundleTypes(), is):
		r.issue(first, "type", entry.CodeResource, entry.NewText(is).Quoted(),
			"one of "+strings.Join(r4.BundleTypes(), ", "))
	}
	if entries := root.At("entry"); entries != nil && entries.Kind != r4.Array {
		r.issue(first, "entry", entry.CodeResource, r4.KindNames[entries.Kind], "an array")
	}
	for i, e := range root.List("entry") {
		path := r4.IndexedPath("Bundle.entry", i)
		n := e.At("resource")
		if n == nil {
			paths = append(paths, path)
			r.read.Aside = append(r.read.Aside, entry.Issue{Line: first + len(paths) - 1, Code: entry.CodeAside, Found: "entry",
				Allowed: "no resource in it: nothing is deleted or fetched for a bundle"})
			continue
		}
		paths = append(paths, path+".resource")
		r.add(first+len(paths)-1, n, e.Text("fullUrl"))
	}
	return paths
}

// Line gathers one resource of a file that has one a line.
func (r *Resources) Line(ordinal int, text []byte) {
	if n := r.parse(ordinal, text); n != nil {
		r.add(ordinal, n, "")
	}
}

var typeForm = regexp.MustCompile(`^[A-Z][A-Za-z]{1,63}$`)

func (r *Resources) issue(ordinal int, path string, code entry.Code, found, allowed string) {
	r.read.Issues = append(r.read.Issues, entry.Issue{Line: ordinal, Path: path, Code: code, Found: found, Allowed: allowed})
}

func (r *Resources) aside(o *offered, why string) {
	r.read.Aside = append(r.read.Aside, entry.Issue{Line: o.ordinal, Code: entry.CodeAside, Found: o.kind, Allowed: why})
}

func (r *Resources) parse(ordinal int, text []byte) *r4.Part {
	text = bytes.TrimPrefix(text, []byte("\ufeff"))
	if !utf8.Valid(text) {
		r.issue(ordinal, "", entry.CodeUTF8, "", "UTF-8")
		return nil
	}
	if r.full {
		return nil
	}
	if too := tooMuch(text, &r.values); too != "" || len(r.all) >= mostResources {
		r.full = r.values > mostValues || too == ""
		r.issue(ordinal, "", entry.CodeJSON, "", cmp.Or(too, fmt.Sprintf("at most %d resources: send them in parts", mostResources)))
		return nil
	}
	twice := 0
	n, err := r4.Scan(text, r4.Scanning{Twice: func(m *r4.Part) {
		if twice++; twice <= mostTwice {
			r.issue(ordinal, legible(strings.TrimPrefix(m.Path("$"), "$.")), entry.CodeDuplicateField, "", "each name once in an object")
		}
	}})
	switch {
	case twice > 0:
	case err != nil:
		r.issue(ordinal, "", entry.CodeJSON, "", "one whole JSON object: "+err.Error())
	case n.Kind != r4.Object || n.Text("resourceType") == "":
		r.issue(ordinal, "resourceType", entry.CodeResource, "", "the type of a FHIR R4 resource")
	default:
		return n
	}
	return nil
}

// add keeps a resource, and reads what it carries.
func (r *Resources) add(ordinal int, n *r4.Part, url string) {
	o := &offered{Part: n, ordinal: ordinal, kind: n.Text("resourceType"), url: url}
	if n.Kind != r4.Object || !typeForm.MatchString(o.kind) || misspelt(o.kind) {
		r.issue(ordinal, "resourceType", entry.CodeResource, "", "the type of a FHIR R4 resource")
		return
	}
	r.all = append(r.all, o)
	for i, x := range n.List("extension") {
		base, ours := strings.CutSuffix(x.Text("url"), r4.CarryPath)
		if !ours {
			continue
		}
		if r.bases == nil {
			r.bases, r.seen = map[string]bool{}, map[string]string{}
		}
		r.bases[base], o.carries = true, true
		r.carried(ordinal, r4.IndexedPath("extension", i)+".valueString", x.Text("valueString"))
	}
	o.document = o.kind == "Composition" && isDocument(n)
	if !sought[o.kind] {
		o.Part = r4.NewObject(n.At("id").Apart(), n.At("identifier").Apart())
	}
}

// sought are the types of which more is read than whose they are.
var sought = map[string]bool{"Patient": true, "Encounter": true, "Observation": true, "Device": true, "DeviceUseStatement": true,
	"Task": true}

// carried reads one entry's text. The same text on several resources is one entry.
func (r *Resources) carried(ordinal int, path, text string) {
	v, issues := entry.ParseJSON([]byte(text))
	var e entry.Entry
	if len(issues) == 0 {
		e, issues = entry.Decode(v)
	}
	for _, i := range issues {
		r.issue(ordinal, strings.TrimSuffix(path+"."+i.Path, "."), i.Code, i.Found, i.Allowed)
	}
	if len(issues) > 0 {
		return
	}
	if !e.Offered {
		r.issue(ordinal, path+".charted", entry.CodeMissing, "", "the moment at which the entry was charted")
		return
	}
	if r.seen[e.ID] == text {
		return
	}
	r.seen[e.ID] = text
	e.Line, e.Carried = ordinal, true
	r.read.Entries = append(r.read.Entries, &e)
}
