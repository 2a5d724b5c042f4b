package r4

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"maps"
	"slices"
	"strings"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"

	"cotline/handover"
)

// What the code system of the unit's own lists says of itself: it holds what the
// policy names, which differs from unit to unit, and in a unit from year to year.
const (
	UnitSystemID    = "unit-lists"
	UnitSystemPath  = "/CodeSystem/" + UnitSystemID // after fhir.base
	UnitSystemName  = "UnitLists"
	UnitSystemTitle = "The unit's own lists"
	UnitSystemSays  = "Steps of set-up, causes of alarms, items of the safety check and cares, as the unit's policy names them. A code " +
		"follows from the name alone: it is the same wherever the name stands in its list, and the same again when the name comes back. " +
		"A name that the unit no longer uses may be missing here, and means in old resources what it meant. " + Caution
)

// UnitList is one of the unit's own lists.
type UnitList struct {
	prefix, says string
	of           func(*handover.Policy) []string
}

// The lists whose items have codes.
var (
	StepList  = UnitList{"step", "A step of the unit's set-up", func(p *handover.Policy) []string { return p.Setup }}
	causeList = UnitList{"cause", "A cause that the unit looks for when there is an alarm", causesOf}
	ItemList  = UnitList{"item", "An item of the unit's safety check", func(p *handover.Policy) []string { return p.Checks }}
	careList  = UnitList{"care", "A care of the unit's own", func(p *handover.Policy) []string { return p.Cares }}
)

func causesOf(p *handover.Policy) (all []string) {
	for _, causes := range p.Alarms {
		all = append(all, causes...)
	}
	return all
}

// codeOf is the code of an item, from its name alone. A name of small letters, digits
// and single hyphens is its own code; of any other the code is what is left of it in
// such letters, two hyphens, which no other code has, and a hash of the name, so that no
// two names get one code.
func (l UnitList) codeOf(name string) string {
	var slug strings.Builder
	for _, r := range strings.ToLower(name) {
		switch {
		case r >= 'a' && r <= 'z' || r >= '0' && r <= '9':
			slug.WriteRune(r)
		case slug.Len() > 0 && !strings.HasSuffix(slug.String(), "-"):
			slug.WriteByte('-')
		}
	}
	short := strings.Trim(slug.String(), "-")
	if short == name {
		return l.prefix + "-" + short
	}
	sum := sha256.Sum256([]byte(name))
	return l.prefix + "-" + short + "--" + hex.EncodeToString(sum[:4])
}

// Listed is an own concept with, after its code, that of one of the unit's items, and
// the item's name as its text.
func (c Codes) Listed(of Concept, list UnitList, name string) *models.CodeableConcept {
	cc := c.Said(of, name)
	system := strings.TrimSuffix(c.System, OwnSystemPath) + UnitSystemPath
	cc.Coding = slices.Insert(cc.Coding, 1, Standard{system, list.codeOf(name), name}.Coding())
	return cc
}

// Cause is a cause that was looked for. It has a code of its own where the policy lists
// it: any other is what somebody wrote.
func (c Codes) Cause(p *handover.Policy, name string) *models.CodeableConcept {
	if !slices.Contains(causesOf(p), name) {
		return c.Said(AlarmCause, name)
	}
	return c.Listed(AlarmCause, causeList, name)
}

// Care is what is said of a care, which may be one of the unit's own.
func (c Codes) Care(word string) *models.CodeableConcept {
	of := careOf(word)
	if of.Code != CareOfUnit.Code {
		return c.Concept(of)
	}
	cc := c.Listed(of, careList, word)
	cc.Text = &of.Text
	return cc
}

// UnitConcepts are the items of the lists of some policies, by code.
func UnitConcepts(policies ...*handover.Policy) []Concept {
	found := map[string]Concept{}
	for _, p := range policies {
		for _, l := range []UnitList{StepList, causeList, ItemList, careList} {
			for _, name := range l.of(p) {
				code := l.codeOf(name)
				found[code] = Concept{Code: code, Display: name, Text: name, Meaning: fmt.Sprintf("%s: %s.", l.says, name)}
			}
		}
	}
	var all []Concept
	for _, code := range slices.Sorted(maps.Keys(found)) {
		all = append(all, found[code])
	}
	return all
}

// UnitVersion is the version of a code system of these: it follows from what it holds.
func UnitVersion(all []Concept) string {
	hash := sha256.New()
	for _, c := range all {
		fmt.Fprintf(hash, "%s\t%s\n", c.Code, c.Display)
	}
	return hex.EncodeToString(hash.Sum(nil)[:6])
}
