package r4

import (
	"cmp"
	"fmt"
	"reflect"
	"slices"
	"strings"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"
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

// Check holds one bundle, or one resource, to the rules, and names every fault. It is
// the last thing before the bytes leave, so it needs nothing but them, and knows
// nothing of how they were made.
func Check(text []byte) []Fault { return new(Checker).Check(text) }

// Check is Check, in the memory of the texts before.
func (c *Checker) Check(text []byte) []Fault {
	c.text = text
	faults := c.check()
	clear(c.byURL)
	clear(c.identities)
	*c = Checker{Unnarrated: c.Unnarrated, parts: c.parts, entries: c.entries[:0], byURL: c.byURL, identities: c.identities,
		refs: c.refs[:0]}
	return faults
}

func (c *Checker) check() []Fault {
	reader := &scanner{b: c.text, s: string(c.text), parts: c.parts, asked: Scanning{item: c.read, Twice: c.twice}}
	root, err := reader.scan()
	c.parts = reader.parts
	if err != nil { // nothing else can be said of it but which names stand twice
		c.faults = slices.DeleteFunc(c.faults, func(f Fault) bool { return f.Rule != ruleJSON })
		return append(c.faults, Fault{"$", ruleJSON, err.Error()})
	}
	c.root = strings.Clone(root.Text("resourceType"))
	c.resource(root)
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

// Checker holds one text after another to the rules, in the same memory.
type Checker struct {
	Unnarrated bool // what leaves has no narratives because the policy says so: R4 wishes for one (dom-6) and demands none

	text   []byte
	parts  []Part
	root   string // the type of the outermost resource, with which paths begin
	faults []Fault
	within within

	bundled    bool
	composed   bool           // a document: everything is reached from its Composition
	entries    []bundled      // of the bundle
	byURL      map[string]int // their places in entries
	identities map[identity]bool
	refs       []pointer
	places     map[int32]string // paths of references by where they begin, once one is wrong
}

// within says where a part stands, as far as that changes the rules that hold for it.
type within byte

const (
	aPattern within = 1 << iota // of a profile: a part of what an element says
	aProfile                    // the elements of one, whose ids are paths
)

// bundled is what others need to refer to an entry.
type bundled struct {
	n                 int // its number
	fullURL, kind, ID string
}

// pointer is a literal reference, and what may stand at its end.
type pointer struct {
	to      string
	allowed []string
	start   int32 // of it in the text
	entry   int   // the number of the entry that it is in
}

// add names a fault of a part, of what lies below it, or of what is missing there.
// Paths are put together here alone, because what is sound needs none.
func (c *Checker) add(n *Part, below, rule, format string, args ...any) {
	c.faults = append(c.faults, Fault{n.Path(c.root) + below, rule, fmt.Sprintf(format, args...)})
}

// twice names a member whose name stands in its object already.
func (c *Checker) twice(n *Part) {
	c.faults = append(c.faults, Fault{n.Path("$"), ruleJSON, "the name stands twice"})
}

// modelled are the resource types that are known.
var modelled = map[string]*shape{
	"Bundle":             modelOf[models.Bundle](),
	"Patient":            modelOf[models.Patient](),
	"Device":             modelOf[models.Device](),
	"DeviceUseStatement": modelOf[models.DeviceUseStatement](),
	"Observation":        modelOf[models.Observation](),
	"Task":               modelOf[models.Task](),
	"Flag":               modelOf[models.Flag](),
	"Encounter":          modelOf[models.Encounter](),
	"Location":           modelOf[models.Location](),
	"Practitioner":       modelOf[models.Practitioner](),
	"DeviceMetric":       modelOf[models.DeviceMetric](),
	"Provenance":         modelOf[models.Provenance](),
	"Basic":              modelOf[models.Basic](),
	"Composition":        modelOf[models.Composition](),
	"AuditEvent":         modelOf[models.AuditEvent](),
	"CodeSystem":         modelOf[models.CodeSystem](),
	"ValueSet":           modelOf[models.ValueSet](),

	"StructureDefinition": modelOf[models.StructureDefinition](),
	"ConceptMap":          modelOf[models.ConceptMap](),
	"CapabilityStatement": modelOf[models.CapabilityStatement](),
	"ImplementationGuide": modelOf[models.ImplementationGuide](),
}

func modelOf[T any]() *shape { return shapeOf(reflect.TypeFor[T]()) }

// resource checks one resource.
func (c *Checker) resource(n *Part) {
	if n.Kind != Object {
		c.add(n, "", ruleType, "a resource is an object")
		return
	}
	kind := n.Text("resourceType")
	s, ok := modelled[kind]
	if !ok {
		c.add(n, "", ruleType, "resourceType %q is not one that is sent", kind)
		return
	}
	c.object(n, s)
	if kind == "Bundle" {
		c.bundle(n)
		return
	}
	if n.At("text") == nil && !c.Unnarrated {
		c.add(n, "", "dom-6", "no narrative")
	}
}

// resolve checks that every reference leads somewhere it may.
func (c *Checker) resolve() {
	var local map[string]bool // entries as Type/id
	for _, p := range c.refs {
		to := p.to
		kind := ""
		if strings.HasPrefix(to, "urn:uuid:") {
			i, ok := c.byURL[to]
			if !ok {
				c.misled(p, ruleReference, "no entry has this fullUrl")
				continue
			}
			kind = c.entries[i].kind
		} else {
			var id string
			if kind, id, _ = strings.Cut(to, "/"); modelled[kind] == nil || !isID(id) {
				c.misled(p, ruleReference, "neither a fullUrl of the bundle nor Type/id")
				continue
			}
			if local == nil {
				local = make(map[string]bool, len(c.entries))
				for _, e := range c.entries {
					local[e.kind+"/"+e.ID] = true
				}
			}
			if local[to] {
				c.misled(p, ruleReference, "Type/id beside fullUrls of urn:uuid does not resolve")
				continue
			}
			if c.bundled && !theirs[kind] {
				c.misled(p, ruleReference, "leads out of the bundle")
				continue
			}
		}
		if len(p.allowed) > 0 && !slices.Contains(p.allowed, kind) {
			c.misled(p, ruleTarget, "a %s; %s is wanted", kind, strings.Join(p.allowed, " or "))
		}
	}
}

// misled names a fault of a reference. The part that held it has given up its room by
// then, so the text is read again, for the paths of all references.
func (c *Checker) misled(p pointer, rule, format string, args ...any) {
	if c.places == nil {
		c.places = map[int32]string{}
		var visit func(*Part)
		visit = func(n *Part) {
			if n.name == "reference" {
				c.places[n.start] = n.Path(c.root)
			}
			for kid := n.first; kid != nil; kid = kid.next {
				visit(kid)
			}
		}
		root, _ := Scan(c.text, Scanning{})
		visit(root)
	}
	c.faults = append(c.faults, Fault{c.places[p.start], rule, fmt.Sprintf(format, args...)})
}

// reach follows the references of a document from its Composition on.
func (c *Checker) reach() {
	next := map[int][]int{} // places in entries, by the number of the entry that refers there
	for _, p := range c.refs {
		if to, ok := c.byURL[p.to]; ok {
			next[p.entry] = append(next[p.entry], to)
		}
	}
	seen := make([]bool, len(c.entries))
	var visit func(int)
	visit = func(i int) {
		if seen[i] {
			return
		}
		seen[i] = true
		for _, to := range next[c.entries[i].n] {
			visit(to)
		}
	}
	if len(seen) > 0 {
		visit(0)
	}
	for i, e := range c.entries {
		if !seen[i] {
			c.faults = append(c.faults, Fault{IndexedPath("Bundle.entry", e.n), ruleReference, "not reached from the Composition"})
		}
	}
}

// theirs are the types that a receiver may hold already.
var theirs = map[string]bool{"Patient": true}
