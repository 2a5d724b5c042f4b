package fhir

import (
	"slices"
	"strconv"
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

// rules are what no shape tells.
func (c *checker) rules(n *node, kind, path string) {
	for _, choice := range choices[kind] {
		if given := chosen(n, choice); len(given) > 1 {
			c.add(path+"."+given[1], ruleChoice, "beside %s", given[0])
		}
	}
	for name, allowed := range targets[kind] {
		if m := n.at(name); m != nil && m.kind == array {
			for i, r := range m.kids {
				c.reference(r, indexedPath(path+"."+name, i), allowed)
			}
		} else if m != nil {
			c.reference(m, path+"."+name, allowed)
		}
	}
	if strings.Contains(path, ".pattern") {
		return // of a profile: a part of what an element says
	}
	switch kind {
	case "Observation":
		c.observation(n, path)
	case "ObservationComponent":
		value := len(chosen(n, "value")) > 0
		if value == (n.at("dataAbsentReason") != nil) {
			c.add(path, "vs-3", "either a value or a dataAbsentReason is wanted")
		}
	case "Quantity":
		c.quantity(n, path)
	case "Coding":
		c.coding(n, path)
	case "Identifier":
		if !absolute(n.text("system")) || n.text("value") == "" {
			c.add(path, ruleSystem, "an identifier has an absolute system and a value")
		}
	case "CodeableConcept":
		if n.text("text") == "" {
			c.add(path+".text", ruleRequired, "a concept always has a text")
		}
	case "CompositionSection":
		switch entries := len(n.list("entry")); {
		case n.at("text") == nil && entries == 0 && n.at("section") == nil:
			c.add(path, "cmp-1", "text, entries or sections are wanted")
		case n.at("emptyReason") != nil && entries > 0:
			c.add(path+".emptyReason", "cmp-2", "beside entries")
		}
	case "Period":
		c.period(n, path)
	case "Task":
		c.task(n, path)
	case "Narrative":
		c.narrative(n, path)
	}
}

// chosen are the members of a choice of types that are given.
func chosen(n *node, choice string) []string {
	var given []string
	for _, name := range n.names {
		rest, ok := strings.CutPrefix(name, choice)
		if ok && rest != "" && rest[0] >= 'A' && rest[0] <= 'Z' {
			given = append(given, name)
		}
	}
	return given
}

// reference: a literal one leads to an entry; a logical one has an identifier.
func (c *checker) reference(n *node, path string, allowed []string) {
	to := n.text("reference")
	if to != "" {
		c.refs = append(c.refs, pointer{path + ".reference", to, allowed})
		return
	}
	if kind := n.text("type"); n.at("identifier") == nil {
		c.add(path, ruleReference, "neither a reference nor an identifier")
	} else if len(allowed) > 0 && !slices.Contains(allowed, kind) {
		c.add(path+".type", ruleTarget, "%s is wanted", strings.Join(allowed, " or "))
	}
}

func (c *checker) observation(n *node, path string) {
	value := chosen(n, "value")
	absent := n.at("dataAbsentReason") != nil
	switch {
	case len(value) > 0 && absent:
		c.add(path+".dataAbsentReason", "obs-6", "beside a value")
	case len(value) == 0 && !absent && n.at("component") == nil && n.at("hasMember") == nil:
		c.add(path, "vs-2", "no value, no dataAbsentReason, no component and no member")
	}
	for i, r := range n.list("referenceRange") {
		if len(r.kids) == 0 {
			c.add(indexedPath(path+".referenceRange", i), "obs-3", "needs low, high or text")
		}
	}
	codes := codings(n.at("code"))
	for i, part := range n.list("component") {
		for _, code := range codings(part.at("code")) {
			if len(value) > 0 && slices.Contains(codes, code) {
				c.add(indexedPath(path+".component", i)+".code", "obs-7", "the code of the Observation itself")
			}
		}
	}
	if n.at("subject") == nil {
		c.add(path+".subject", ruleRequired, "missing")
	}
	c.vital(n, codes, path)
}

// codings are the codes of a concept, each with its system.
func codings(concept *node) []string {
	var out []string
	for _, x := range concept.list("coding") {
		out = append(out, x.text("system")+"|"+x.text("code"))
	}
	return out
}

func (c *checker) quantity(n *node, path string) {
	system, code := n.text("system"), n.text("code")
	switch {
	case code != "" && system == "":
		c.add(path+".system", "qty-3", "a code without a system")
	case n.at("value") == nil || n.text("unit") == "" || code == "" || system == "":
		c.add(path, ruleUCUM, "value, unit, system and code are all wanted")
	case system != ucumSystem || !slices.ContainsFunc(units, func(u unit) bool { return u.ucum == code }):
		c.add(path+".code", ruleUCUM, "not in the list of units")
	}
}

func (c *checker) coding(n *node, path string) {
	system, code := n.text("system"), n.text("code")
	if !absolute(system) || code == "" {
		c.add(path, ruleSystem, "a coding has an absolute system and a code")
		return
	}
	if system == loincSystem && !loincSound(code) {
		c.add(path+".code", ruleLOINC, "the check digit is wrong")
	}
}

func absolute(uri string) bool {
	scheme, rest, ok := strings.Cut(uri, ":")
	return ok && scheme != "" && rest != "" && !strings.ContainsAny(uri, " |")
}

// loincSound holds a LOINC code to its check digit, which is that of Luhn.
func loincSound(code string) bool {
	number, check, ok := strings.Cut(code, "-")
	if !ok || number == "" || len(check) != 1 {
		return false
	}
	sum := 0
	for i, r := range reversed(number) {
		d, err := strconv.Atoi(string(r))
		if err != nil {
			return false
		}
		if i%2 == 0 {
			if d *= 2; d > 9 {
				d -= 9
			}
		}
		sum += d
	}
	return strconv.Itoa((10-sum%10)%10) == check
}

func reversed(s string) string {
	b := []byte(s)
	slices.Reverse(b)
	return string(b)
}

// period: its end is not before its start, across offsets.
func (c *checker) period(n *node, path string) {
	start, errStart := time.Parse(time.RFC3339Nano, n.text("start"))
	end, errEnd := time.Parse(time.RFC3339Nano, n.text("end"))
	if errStart == nil && errEnd == nil && end.Before(start) {
		c.add(path, "per-1", "the end lies before the start")
	}
}

// task: it was last changed no sooner than it was made.
func (c *checker) task(n *node, path string) {
	made, errMade := time.Parse(time.RFC3339Nano, n.text("authoredOn"))
	changed, errChanged := time.Parse(time.RFC3339Nano, n.text("lastModified"))
	if errMade == nil && errChanged == nil && changed.Before(made) {
		c.add(path+".lastModified", "inv-1", "before authoredOn")
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
func (c *checker) vital(n *node, codes []string, path string) {
	var base []string // the codes that have units
	called := false
	for _, code := range codes {
		if u, ok := vitalUnits[strings.TrimPrefix(code, loincSystem+"|")]; ok {
			called = true
			if u != nil {
				base = u
			}
		}
	}
	filed := false
	for _, cat := range n.list("category") {
		filed = filed || slices.Contains(codings(cat), categorySystem+"|"+vitalSigns.standard[0].code)
	}
	switch {
	case !called && !filed:
		return
	case filed && !called:
		c.add(path+".category", ruleVital, "no vital sign by its code")
		return
	case base == nil:
		c.add(path+".code", ruleVital, "the code of the profile itself is missing")
	case !filed:
		c.add(path+".category", ruleVital, "a vital sign by its code")
	}
	if q := n.at("valueQuantity"); q != nil && base != nil && !slices.Contains(base, q.text("code")) {
		c.add(path+".valueQuantity.code", ruleVital, "not a unit of the profile")
	}
	if n.at("component") != nil {
		c.add(path+".component", ruleVital, "a vital sign has no components here")
	}
	if len(chosen(n, "effective")) == 0 {
		c.add(path, "vs-1", "no time")
	}
}
