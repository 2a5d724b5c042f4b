package fhir

import (
	"cmp"
	"fmt"
	"reflect"
	"slices"
	"strings"
	"unicode/utf8"

	r4 "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

// Fault is one breach of FHIR R4 or of what receivers of bundles need. Path names
// the element, as Bundle.entry[3].resource.status. Neither holds a name or a text
// of the record.
type Fault struct {
	Path string
	Rule string // an invariant of R4 (obs-6), or one of the words below
	Says string
}

func (f Fault) String() string { return f.Path + ": " + f.Says + " [" + f.Rule + "]" }

// The rules that are no invariant of R4.
const (
	ruleJSON      = "json"      // not JSON, a name twice, not UTF-8
	ruleElement   = "element"   // no element of that name
	ruleType      = "type"      // another JSON type, or an array where none is due
	ruleRequired  = "required"  // a required element is missing
	ruleCode      = "code"      // not a code of the bound value set
	ruleChoice    = "choice"    // two of one choice of types
	ruleString    = "string"    // empty, or a control character
	ruleNumber    = "number"    // an exponent, or no decimal of R4
	ruleDate      = "date"      // no such day, or a time without seconds and offset
	ruleID        = "id"        // not 1 to 64 of A-Za-z0-9-. with a letter
	ruleUCUM      = "ucum"      // not in the closed list of units
	ruleLOINC     = "loinc"     // the check digit is wrong
	ruleReference = "reference" // leads nowhere, or is of another style
	ruleTarget    = "target"    // leads to a type that may not stand there
	ruleIdentity  = "identity"  // one identity in two entries
	ruleRequest   = "request"   // a request that contradicts its resource
	ruleVital     = "vital"     // a vital sign against its profile, or a setting among them
	ruleSystem    = "system"    // a code or identifier without an absolute system
)

// Check holds one bundle, or one resource, to the rules, and names every fault. It
// needs nothing but the bytes: it is the last thing before they leave, and knows
// nothing of how they were made.
func Check(text []byte) []Fault {
	c := &checker{}
	if !utf8.Valid(text) {
		return []Fault{{"$", ruleJSON, "not UTF-8"}}
	}
	root, err := parse(text, c)
	if err != nil {
		return append(c.faults, Fault{"$", ruleJSON, err.Error()})
	}
	c.resource(root, "")
	c.resolve()
	if c.composed {
		c.reach()
	}
	slices.SortStableFunc(c.faults, func(a, b Fault) int { return cmp.Compare(a.at(), b.at()) })
	return c.faults
}

// at sorts entries by number.
func (f Fault) at() string {
	_, rest, ok := strings.Cut(f.Path, "entry[")
	if !ok {
		return ""
	}
	n, _, _ := strings.Cut(rest, "]")
	return fmt.Sprintf("%9s", n)
}

type checker struct {
	faults   []Fault
	bundled  bool
	composed bool      // a document: everything is reached from its Composition
	entries  []bundled // of the bundle
	refs     []pointer
}

// bundled is an entry as far as others may refer to it.
type bundled struct{ fullURL, kind, id string }

// pointer is a literal reference, and what may stand at its end.
type pointer struct {
	path, to string
	allowed  []string
}

func (c *checker) add(path, rule, format string, args ...any) {
	c.faults = append(c.faults, Fault{strings.TrimPrefix(path, "."), rule, fmt.Sprintf(format, args...)})
}

// models are the resource types that are known.
var models = map[string]reflect.Type{
	"Bundle":             reflect.TypeFor[r4.Bundle](),
	"Patient":            reflect.TypeFor[r4.Patient](),
	"Device":             reflect.TypeFor[r4.Device](),
	"DeviceUseStatement": reflect.TypeFor[r4.DeviceUseStatement](),
	"Observation":        reflect.TypeFor[r4.Observation](),
	"Task":               reflect.TypeFor[r4.Task](),
	"Flag":               reflect.TypeFor[r4.Flag](),
	"Encounter":          reflect.TypeFor[r4.Encounter](),
	"Location":           reflect.TypeFor[r4.Location](),
	"Practitioner":       reflect.TypeFor[r4.Practitioner](),
	"DeviceMetric":       reflect.TypeFor[r4.DeviceMetric](),
	"Provenance":         reflect.TypeFor[r4.Provenance](),
	"Basic":              reflect.TypeFor[r4.Basic](),
	"Composition":        reflect.TypeFor[r4.Composition](),
	"CodeSystem":         reflect.TypeFor[r4.CodeSystem](),
	"ValueSet":           reflect.TypeFor[r4.ValueSet](),

	"StructureDefinition": reflect.TypeFor[r4.StructureDefinition](),
	"ConceptMap":          reflect.TypeFor[r4.ConceptMap](),
	"CapabilityStatement": reflect.TypeFor[r4.CapabilityStatement](),
	"ImplementationGuide": reflect.TypeFor[r4.ImplementationGuide](),
}

// resource checks one resource; path is empty for the outermost.
func (c *checker) resource(n *node, path string) {
	if n.kind != object {
		c.add(path, ruleType, "a resource is an object")
		return
	}
	kind := n.text("resourceType")
	if path == "" {
		path = kind
	}
	t, ok := models[kind]
	if !ok {
		c.add(path, ruleType, "resourceType %q is not one that is sent", kind)
		return
	}
	c.object(n, t, path)
	if kind == "Bundle" {
		c.bundle(n, path)
		return
	}
	if text := n.at("text"); text == nil {
		c.add(path, "dom-6", "no narrative")
	}
}

// resolve checks that every reference leads somewhere it may.
func (c *checker) resolve() {
	byURL := map[string]string{}
	local := map[string]bool{}
	for _, e := range c.entries {
		byURL[e.fullURL] = e.kind
		local[e.kind+"/"+e.id] = true
	}
	for _, p := range c.refs {
		kind, _, _ := strings.Cut(p.to, "/")
		switch {
		case strings.HasPrefix(p.to, "urn:uuid:"):
			found, ok := byURL[p.to]
			if !ok {
				c.add(p.path, ruleReference, "no entry has this fullUrl")
				continue
			}
			kind = found
		case models[kind] == nil || !relativeForm.MatchString(p.to):
			c.add(p.path, ruleReference, "neither a fullUrl of the bundle nor Type/id")
			continue
		case local[p.to]:
			c.add(p.path, ruleReference, "Type/id beside fullUrls of urn:uuid does not resolve")
			continue
		case c.bundled && !theirs[kind]:
			c.add(p.path, ruleReference, "leads out of the bundle")
			continue
		}
		if len(p.allowed) > 0 && !slices.Contains(p.allowed, kind) {
			c.add(p.path, ruleTarget, "a %s; %s is wanted", kind, strings.Join(p.allowed, " or "))
		}
	}
}

// reach follows the references of a document from its Composition on.
func (c *checker) reach() {
	index := map[string]int{}
	for i, e := range c.entries {
		index[e.fullURL] = i
	}
	next := make(map[string][]string, len(c.entries)) // by the path of the entry
	for _, p := range c.refs {
		from, _, _ := strings.Cut(p.path, ".resource")
		next[from] = append(next[from], p.to)
	}
	seen := make([]bool, len(c.entries))
	var visit func(int)
	visit = func(i int) {
		if seen[i] {
			return
		}
		seen[i] = true
		for _, to := range next[indexedPath("Bundle.entry", i)] {
			if j, ok := index[to]; ok {
				visit(j)
			}
		}
	}
	if len(seen) > 0 {
		visit(0)
	}
	for i := range seen {
		if !seen[i] {
			c.add(indexedPath("Bundle.entry", i), ruleReference, "not reached from the Composition")
		}
	}
}

// theirs are the types that a receiver may hold already.
var theirs = map[string]bool{"Patient": true}
