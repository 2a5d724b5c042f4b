package fhir

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

// targets are the types that a reference may lead to, by the type that holds it.
// Narrower than R4 where only one makes sense here.
var targets = map[string]map[string][]string{
	"Observation": {"subject": {"Patient"}, "device": {"Device"}, "hasMember": {"Observation"}, "derivedFrom": {"Observation"},
		"performer": {"Practitioner"}, "focus": {"Device", "Observation"}},
	"DeviceUseStatement":  {"subject": {"Patient"}, "device": {"Device"}, "source": {"Practitioner"}},
	"Device":              {"patient": {"Patient"}, "parent": {"Device"}},
	"Basic":               {"subject": {"Patient"}, "author": {"Practitioner"}},
	"Annotation":          {"authorReference": {"Practitioner"}},
	"Composition":         {"subject": {"Patient"}, "author": {"Device", "Practitioner"}, "encounter": {"Encounter"}},
	"Task":                {"for": {"Patient"}, "focus": {"Device"}, "requester": {"Practitioner"}, "encounter": {"Encounter"}},
	"Flag":                {"subject": {"Patient"}, "encounter": {"Encounter"}},
	"Encounter":           {"subject": {"Patient"}},
	"EncounterLocation":   {"location": {"Location"}},
	"DeviceMetric":        {"source": {"Device"}, "parent": {"Device"}},
	"CompositionSection":  {"entry": nil},
	"CompositionAttester": {"party": {"Practitioner"}},
	"Provenance":          {"target": nil},
	"ProvenanceAgent":     {"who": {"Practitioner"}},
}

// rules are what no shape tells, by type. They do not hold within a pattern.
var rules = map[string]func(*checker, *part){
	"Observation":          (*checker).observation,
	"ObservationComponent": (*checker).component,
	"Quantity":             (*checker).quantity,
	"Coding":               (*checker).coding,
	"Identifier":           (*checker).identifier,
	"CodeableConcept":      (*checker).concept,
	"CompositionSection":   (*checker).section,
	"CompositionRelatesTo": (*checker).relatesTo,
	"Period":               (*checker).period,
	"Task":                 (*checker).task,
	"Narrative":            (*checker).narrative,
}

// chosen are the first two members of a choice of types that are given.
func chosen(n *part, choice string) (first, second *part) {
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

// reference: a literal one leads to an entry; a logical one has an identifier.
func (c *checker) reference(n *part, allowed []string) {
	if to := n.at("reference"); to != nil && to.kind == text && to.value != "" {
		c.refs = append(c.refs, pointer{to.value, allowed, to.start, n.entry()})
		return
	}
	if n.at("identifier") == nil {
		c.add(n, "", ruleReference, "neither a reference nor an identifier")
	} else if len(allowed) > 0 && !slices.Contains(allowed, n.text("type")) {
		c.add(n, ".type", ruleTarget, "%s is wanted", strings.Join(allowed, " or "))
	}
}

// relatesTo: a document is related to another.
func (c *checker) relatesTo(n *part) {
	if target, _ := chosen(n, "target"); target == nil {
		c.add(n, ".target[x]", ruleRequired, "missing")
	}
}

// entry is the number of the entry of the outermost bundle that a node is in.
func (n *part) entry() int {
	for n.parent != nil && n.parent.parent != nil && n.parent.parent.parent != nil {
		n = n.parent
	}
	return int(n.index)
}

func (c *checker) observation(n *part) {
	value, _ := chosen(n, "value")
	absent, component := n.at("dataAbsentReason"), n.at("component")
	switch {
	case value != nil && absent != nil:
		c.add(n, ".dataAbsentReason", "obs-6", "beside a value")
	case value == nil && absent == nil && component == nil && n.at("hasMember") == nil:
		c.add(n, "", "vs-2", "no value, no dataAbsentReason, no component and no member")
	}
	for r := n.items("referenceRange"); r != nil; r = r.next {
		if r.first == nil {
			c.add(r, "", "obs-3", "needs low, high or text")
		}
	}
	code := n.at("code")
	for part := n.items("component"); part != nil && value != nil; part = part.next {
		for x := part.at("code").items("coding"); x != nil; x = x.next {
			if hasCode(code, x.text("system"), x.text("code")) {
				c.add(part, ".code", "obs-7", "the code of the Observation itself")
			}
		}
	}
	if n.at("subject") == nil {
		c.add(n, ".subject", ruleRequired, "missing")
	}
	c.vital(n, code)
}

func (c *checker) component(n *part) {
	if value, _ := chosen(n, "value"); (value != nil) == (n.at("dataAbsentReason") != nil) {
		c.add(n, "", "vs-3", "either a value or a dataAbsentReason is wanted")
	}
}

// hasCode says whether a concept has a code.
func hasCode(concept *part, system, code string) bool {
	for x := concept.items("coding"); x != nil; x = x.next {
		if x.text("code") == code && x.text("system") == system {
			return true
		}
	}
	return false
}

func (c *checker) quantity(n *part) {
	system, code := n.text("system"), n.text("code")
	switch {
	case code != "" && system == "":
		c.add(n, ".system", "qty-3", "a code without a system")
	case n.at("value") == nil || n.text("unit") == "" || code == "" || system == "":
		c.add(n, "", ruleUCUM, "value, unit, system and code are all wanted")
	case system != ucumSystem || !slices.ContainsFunc(units, func(u unit) bool { return u.ucum == code }):
		c.add(n, ".code", ruleUCUM, "not in the list of units")
	}
}

func (c *checker) coding(n *part) {
	system, code := n.text("system"), n.text("code")
	if !absolute(system) || code == "" {
		c.add(n, "", ruleSystem, "a coding has an absolute system and a code")
		return
	}
	if system == loincSystem && !loincSound(code) {
		c.add(n, ".code", ruleLOINC, "the check digit is wrong")
	}
}

func (c *checker) identifier(n *part) {
	if !absolute(n.text("system")) || n.text("value") == "" {
		c.add(n, "", ruleSystem, "an identifier has an absolute system and a value")
	}
}

func (c *checker) concept(n *part) {
	if n.text("text") == "" {
		c.add(n, ".text", ruleRequired, "a concept always has a text")
	}
}

func (c *checker) section(n *part) {
	entries := n.items("entry")
	switch {
	case n.at("text") == nil && entries == nil && n.at("section") == nil:
		c.add(n, "", "cmp-1", "text, entries or sections are wanted")
	case n.at("emptyReason") != nil && entries != nil:
		c.add(n, ".emptyReason", "cmp-2", "beside entries")
	}
}

func absolute(uri string) bool {
	scheme := strings.IndexByte(uri, ':')
	return scheme > 0 && scheme < len(uri)-1 && strings.IndexByte(uri, ' ') < 0 && strings.IndexByte(uri, '|') < 0
}

// loincSound holds a LOINC code to its check digit, which is that of Luhn.
func loincSound(code string) bool {
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

// period: its end is not before its start, across offsets.
func (c *checker) period(n *part) {
	start, errStart := time.Parse(time.RFC3339Nano, n.text("start"))
	end, errEnd := time.Parse(time.RFC3339Nano, n.text("end"))
	if errStart == nil && errEnd == nil && end.Before(start) {
		c.add(n, "", "per-1", "the end lies before the start")
	}
}

// task: it was last changed no sooner than it was made.
func (c *checker) task(n *part) {
	made, errMade := time.Parse(time.RFC3339Nano, n.text("authoredOn"))
	changed, errChanged := time.Parse(time.RFC3339Nano, n.text("lastModified"))
	if errMade == nil && errChanged == nil && changed.Before(made) {
		c.add(n, ".lastModified", "inv-1", "before authoredOn")
	}
}

// vitalUnits are the units of the R4 vital-sign profiles by the LOINC code that
// calls them (hl7.org/fhir/R4/observation-vitalsigns.html).
var vitalUnits = map[string][]string{
	"2708-6": {"%"}, "59408-5": nil, "8867-4": {"/min"}, "9279-1": {"/min"},
	"8310-5": {"Cel", "[degF]"}, "8328-7": nil, "29463-7": {"g", "kg", "[lb_av]"}, "9843-4": {"cm", "[in_i]"}, "8287-5": nil,
}

// vital holds a vital sign to its profile: exactly one code that calls it, its
// category, its unit, a real time. Nothing else is filed under vital signs.
func (c *checker) vital(n, code *part) {
	var base []string // the codes that have units
	called := false
	for x := code.items("coding"); x != nil; x = x.next {
		if x.text("system") != loincSystem {
			continue
		}
		if u, ok := vitalUnits[x.text("code")]; ok {
			called = true
			if u != nil {
				base = u
			}
		}
	}
	filed := false
	for x := n.items("category"); x != nil; x = x.next {
		filed = filed || hasCode(x, categorySystem, vitalSigns.standard[0].code)
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
	if q := n.at("valueQuantity"); q != nil && base != nil && !slices.Contains(base, q.text("code")) {
		c.add(n, ".valueQuantity.code", ruleVital, "not a unit of the profile")
	}
	if n.at("component") != nil {
		c.add(n, ".component", ruleVital, "a vital sign has no components here")
	}
	if when, _ := chosen(n, "effective"); when == nil {
		c.add(n, "", "vs-1", "no time")
	}
}
