package r4

import (
	"slices"
	"strings"
	"time"
)

// choices are the elements of which one type may be given.
var choices = map[string][]string{
	"Observation":          {"value", "effective"},
	"ObservationComponent": {"value"},
	"Extension":            {"value"},
	"Patient":              {"multipleBirth", "deceased"},
	"DeviceUseStatement":   {"timing"},
	"Annotation":           {"author"},
	"CompositionRelatesTo": {"target"},
}

// targets are the types that a reference may lead to, by the type that holds the
// reference. They are fewer than R4 allows, where only one makes sense here.
var targets = map[string]map[string][]string{
	"Observation": {"subject": {"Patient"}, "device": {"Device"}, "hasMember": {"Observation"}, "derivedFrom": {"Observation"},
		"performer": {"Practitioner"}, "focus": {"Device", "Observation"}, "encounter": {"Encounter"}},
	"DeviceUseStatement": {"subject": {"Patient"}, "device": {"Device"}, "source": {"Practitioner"},
		"derivedFrom": {"Observation"}},
	"Device":              {"patient": {"Patient"}, "parent": {"Device"}},
	"Basic":               {"subject": {"Patient"}, "author": {"Practitioner"}},
	"Annotation":          {"authorReference": {"Practitioner"}},
	"Composition":         {"subject": {"Patient"}, "author": {"Device", "Practitioner"}, "encounter": {"Encounter"}},
	"Task":                {"for": {"Patient"}, "focus": {"Device"}, "requester": {"Practitioner"}, "encounter": {"Encounter"}},
	"Flag":                {"subject": {"Patient"}, "encounter": {"Encounter"}},
	"Encounter":           {"subject": {"Patient"}},
	"PatientLink":         {"other": {"Patient"}},
	"EncounterLocation":   {"location": {"Location"}},
	"DeviceMetric":        {"source": {"Device"}, "parent": {"Device"}},
	"CompositionSection":  {"entry": nil},
	"CompositionAttester": {"party": {"Practitioner"}},
	"Provenance":          {"target": nil},
	"ProvenanceAgent":     {"who": {"Practitioner"}},
}

// rules are what no shape can tell, by type. They do not hold within a pattern.
var rules = map[string]func(*Checker, *Part){
	"Observation":          (*Checker).observation,
	"ObservationComponent": (*Checker).component,
	"Quantity":             (*Checker).quantity,
	"Coding":               (*Checker).coding,
	"Identifier":           (*Checker).identifier,
	"CodeableConcept":      (*Checker).concept,
	"CompositionSection":   (*Checker).section,
	"CompositionRelatesTo": (*Checker).relatesTo,
	"Period":               (*Checker).period,
	"Task":                 (*Checker).task,
	"Narrative":            (*Checker).narrative,
}

// chosen are the first two members of a choice of types that are given.
func chosen(n *Part, choice string) (first, second *Part) {
	for m := n.first; m != nil; m = m.next {
		rest := len(choice)
		if len(m.name) <= rest || m.name[0] != choice[0] || m.name[rest] < 'A' || m.name[rest] > 'Z' || m.name[:rest] != choice {
			continue
		}
		if first != nil {
			return first, m
		}
		first = m
	}
	return first, nil
}

// reference holds a reference to its rule: a literal one leads to an entry, a logical
// one has an identifier.
func (c *Checker) reference(n *Part, allowed []string) {
	if to := n.At("reference"); to != nil && to.Kind == Text && to.Value != "" {
		c.refs = append(c.refs, pointer{to.Value, allowed, to.start, n.entry()})
		return
	}
	if n.At("identifier") == nil {
		c.add(n, "", ruleReference, "neither a reference nor an identifier")
	} else if len(allowed) > 0 && !slices.Contains(allowed, n.Text("type")) {
		c.add(n, ".type", ruleTarget, "%s is wanted", strings.Join(allowed, " or "))
	}
}

// relatesTo holds a document's relation to its rule: it leads to another document.
func (c *Checker) relatesTo(n *Part) {
	if target, _ := chosen(n, "target"); target == nil {
		c.add(n, ".target[x]", ruleRequired, "missing")
	}
}

// entry is the number of the entry of the outermost bundle that a node is in.
func (n *Part) entry() int {
	for n.parent != nil && n.parent.parent != nil && n.parent.parent.parent != nil {
		n = n.parent
	}
	return int(n.index)
}

func (c *Checker) observation(n *Part) {
	value, _ := chosen(n, "value")
	absent, component := n.At("dataAbsentReason"), n.At("component")
	switch {
	case value != nil && absent != nil:
		c.add(n, ".dataAbsentReason", "obs-6", "beside a value")
	case value == nil && absent == nil && component == nil && n.At("hasMember") == nil:
		c.add(n, "", "vs-2", "no value, no dataAbsentReason, no component and no member")
	}
	for r := n.items("referenceRange"); r != nil; r = r.next {
		if r.first == nil {
			c.add(r, "", "obs-3", "needs low, high or text")
		}
	}
	code := n.At("code")
	for part := n.items("component"); part != nil && value != nil; part = part.next {
		for x := part.At("code").items("coding"); x != nil; x = x.next {
			if hasCode(code, x.Text("system"), x.Text("code")) {
				c.add(part, ".code", "obs-7", "the code of the Observation itself")
			}
		}
	}
	if n.At("subject") == nil {
		c.add(n, ".subject", ruleRequired, "missing")
	}
	c.vital(n, code)
}

func (c *Checker) component(n *Part) {
	if value, _ := chosen(n, "value"); (value != nil) == (n.At("dataAbsentReason") != nil) {
		c.add(n, "", "vs-3", "either a value or a dataAbsentReason is wanted")
	}
}

// hasCode says whether a concept has a code.
func hasCode(concept *Part, system, code string) bool {
	for x := concept.items("coding"); x != nil; x = x.next {
		if x.Text("code") == code && x.Text("system") == system {
			return true
		}
	}
	return false
}

func (c *Checker) quantity(n *Part) {
	system, code := n.Text("system"), n.Text("code")
	switch {
	case code != "" && system == "":
		c.add(n, ".system", "qty-3", "a code without a system")
	case n.At("value") == nil || n.Text("unit") == "" || code == "" || system == "":
		c.add(n, "", ruleUCUM, "value, unit, system and code are all wanted")
	case system != UCUMSystem || !IsUnit(code):
		c.add(n, ".code", ruleUCUM, "not in the list of units")
	}
}

func (c *Checker) coding(n *Part) {
	system, code := n.Text("system"), n.Text("code")
	if !Absolute(system) || code == "" {
		c.add(n, "", ruleSystem, "a coding has an absolute system and a code")
		return
	}
	if system == LOINCSystem && !LOINCSound(code) {
		c.add(n, ".code", ruleLOINC, "the check digit is wrong")
	}
}

func (c *Checker) identifier(n *Part) {
	if !Absolute(n.Text("system")) || n.Text("value") == "" {
		c.add(n, "", ruleSystem, "an identifier has an absolute system and a value")
	}
}

func (c *Checker) concept(n *Part) {
	if n.Text("text") == "" {
		c.add(n, ".text", ruleRequired, "a concept always has a text")
	}
}

func (c *Checker) section(n *Part) {
	entries := n.items("entry")
	switch {
	case n.At("text") == nil && entries == nil && n.At("section") == nil:
		c.add(n, "", "cmp-1", "text, entries or sections are wanted")
	case n.At("emptyReason") != nil && entries != nil:
		c.add(n, ".emptyReason", "cmp-2", "beside entries")
	}
}

// Absolute says whether a URI has a scheme and something after it, no blank, and no version
// after a bar.
func Absolute(uri string) bool {
	scheme := strings.IndexByte(uri, ':')
	return scheme > 0 && scheme < len(uri)-1 && strings.IndexByte(uri, ' ') < 0 && strings.IndexByte(uri, '|') < 0
}

// LOINCSound holds a LOINC code to its check digit, which is that of Luhn.
func LOINCSound(code string) bool {
	last := len(code) - 1
	if last < 2 || code[last-1] != '-' {
		return false
	}
	sum, twice := 0, true
	for i := last - 2; i >= 0; i-- {
		d := int(code[i]) - '0'
		if d < 0 || d > 9 {
			return false
		}
		if twice {
			if d *= 2; d > 9 {
				d -= 9
			}
		}
		sum += d
		twice = !twice
	}
	return int(code[last])-'0' == (10-sum%10)%10
}

// period holds a period to its rule: its end is not before its start, whatever their
// offsets.
func (c *Checker) period(n *Part) {
	start, errStart := time.Parse(time.RFC3339Nano, n.Text("start"))
	end, errEnd := time.Parse(time.RFC3339Nano, n.Text("end"))
	if errStart == nil && errEnd == nil && end.Before(start) {
		c.add(n, "", "per-1", "the end lies before the start")
	}
}

// task holds a Task to its rule: it was not changed last before it was made.
func (c *Checker) task(n *Part) {
	made, errMade := time.Parse(time.RFC3339Nano, n.Text("authoredOn"))
	changed, errChanged := time.Parse(time.RFC3339Nano, n.Text("lastModified"))
	if errMade == nil && errChanged == nil && changed.Before(made) {
		c.add(n, ".lastModified", "inv-1", "before authoredOn")
	}
}

// vital holds a vital sign to its profile: exactly one code that calls it, its
// category, its unit, a real time. Nothing else is filed under vital signs.
func (c *Checker) vital(n, code *Part) {
	var base []string // the codes that have units
	called := false
	for x := code.items("coding"); x != nil; x = x.next {
		if x.Text("system") != LOINCSystem {
			continue
		}
		if u, ok := VitalUnits[x.Text("code")]; ok {
			called = true
			if u != nil {
				base = u
			}
		}
	}
	filed := false
	for x := n.items("category"); x != nil; x = x.next {
		filed = filed || hasCode(x, categorySystem, VitalSigns.Standard[0].Code)
	}
	switch {
	case !called && !filed:
		return
	case filed && !called:
		c.add(n, ".category", ruleVital, "no vital sign by its code")
		return
	case base == nil:
		c.add(n, ".code", ruleVital, "the code of the profile itself is missing")
	case !filed:
		c.add(n, ".category", ruleVital, "a vital sign by its code")
	}
	if q := n.At("valueQuantity"); q != nil && base != nil && !slices.Contains(base, q.Text("code")) {
		c.add(n, ".valueQuantity.code", ruleVital, "not a unit of the profile")
	}
	if n.At("component") != nil {
		c.add(n, ".component", ruleVital, "a vital sign has no components here")
	}
	if when, _ := chosen(n, "effective"); when == nil {
		c.add(n, "", "vs-1", "no time")
	}
}
