package r4

import (
	"slices"
	"strings"
)

// object holds an object to the model of its type: which elements there are, what
// each holds, which must be there.
func (c *Checker) object(n *Part, s *shape) {
	if n.first == nil || n.first.next == nil && n.first.name == "resourceType" {
		c.add(n, "", "ele-1", "an empty object")
	}
	plan := s.plan()
	next := 0 // elements mostly come in the order of the plan
	for m := n.first; m != nil; m = m.next {
		i := find(plan, next, m.name)
		switch {
		case i >= 0:
			c.field(m, &plan[i])
			next = i + 1
		case m.name == "resourceType" && s.resource:
		case strings.HasPrefix(m.name, "_"):
			c.primitive(n, m, s)
		default:
			c.add(m, "", ruleElement, "no element of %s", s.name)
		}
	}
	for _, name := range s.required {
		if n.At(name) == nil {
			c.add(n, "."+name, ruleRequired, "missing")
		}
	}
	for _, choice := range s.choices {
		if first, second := chosen(n, choice); second != nil {
			c.add(second, "", ruleChoice, "beside %s", first.name)
		}
	}
	if s.rule != nil && c.within&aPattern == 0 {
		s.rule(c, n)
	}
}

// find is the place of an element in a plan, looked for from one place on; -1 if
// there is none.
func find(plan []field, from int, name string) int {
	mark := markOf(name)
	for i := from; i < len(plan); i++ {
		if f := &plan[i]; f.mark == mark && f.name == name {
			return i
		}
	}
	for i := range min(from, len(plan)) {
		if f := &plan[i]; f.mark == mark && f.name == name {
			return i
		}
	}
	return -1
}

// markOf tells most names apart at a glance.
func markOf(name string) uint32 {
	if name == "" {
		return 0
	}
	// #nosec G115 -- a mark to tell names apart by; what does not fit is cut off alike
	return uint32(len(name))<<16 | uint32(name[0])<<8 | uint32(name[len(name)-1])
}

// field checks what stands under a name.
func (c *Checker) field(n *Part, f *field) {
	if f.within == 0 {
		c.element(n, f.shape, f.holds)
	} else {
		before := c.within
		c.within |= f.within
		c.element(n, f.shape, f.holds)
		c.within = before
	}
	switch {
	case !f.leads:
	case n.Kind == Array:
		for r := n.first; r != nil; r = r.next {
			c.reference(r, f.to)
		}
	default:
		c.reference(n, f.to)
	}
}

// primitive checks the extension of a primitive element, which the models lack.
func (c *Checker) primitive(parent, n *Part, s *shape) {
	name := n.name[1:]
	plan := s.plan()
	i, extension := find(plan, 0, name), find(plan, 0, "extension")
	if i < 0 || extension < 0 || plan[i].shape.bare().form == anObject {
		c.add(n, "", ruleElement, "no primitive element of that name")
		return
	}
	if n.items("extension") == nil || n.first.next != nil {
		c.add(n, "", ruleType, "an object with extension is wanted")
		return
	}
	c.field(n.first, &plan[extension])
	if parent.At(name) == nil {
		c.add(n, "", ruleRequired, "an extension in place of %s", name)
	}
}

// bare is the shape of the items of an array, and of anything else.
func (s *shape) bare() *shape {
	for s.form == anArray {
		s = s.items
	}
	return s
}

func (c *Checker) element(n *Part, s *shape, holds format) {
	if n.Kind == Null {
		c.add(n, "", "ele-1", "null")
		return
	}
	switch s.form {
	case aResource:
		c.resource(n)
	case anArray:
		if n.Kind != Array {
			c.add(n, "", ruleType, "%s; an array is wanted", KindNames[n.Kind])
			return
		}
		if n.first == nil {
			c.add(n, "", "ele-1", "an empty array")
		}
		for kid := n.first; kid != nil; kid = kid.next {
			if !kid.done {
				c.element(kid, s.items, holds)
			}
		}
	case anObject:
		if c.is(n, Object) {
			c.object(n, s)
		}
	case aDecimal:
		if c.is(n, Numeral) && !IsDecimal(n.Value) {
			c.add(n, "", ruleNumber, "no decimal without exponent")
		}
	case aTruth:
		c.is(n, truthful)
	case aCode:
		if c.is(n, Text) && !slices.Contains(s.codes, n.Value) {
			c.add(n, "", ruleCode, "not a code of %s", s.name)
		}
	case aWhole:
		if c.is(n, Numeral) && strings.Trim(strings.TrimPrefix(n.Value, "-"), "0123456789") != "" {
			c.add(n, "", ruleNumber, "no whole number")
		}
	default:
		if n.Kind == Text && n.plain && holds == aString && n.Value != "" && n.Value[0] != ' ' {
			return // as most are
		}
		if c.is(n, Text) {
			c.string(n, holds)
		}
	}
}

func (c *Checker) is(n *Part, want Kind) bool {
	if n.Kind != want {
		c.add(n, "", ruleType, "%s; %s is wanted", KindNames[n.Kind], KindNames[want])
	}
	return n.Kind == want
}
