package fhir

import (
	"net/url"
	"slices"
	"strings"
)

// subject is the hospital number of the Patient that a resource is of: named by
// identifier, or another resource of the files, or one that it contains. Without
// one, or with two that differ, it says why.
func (d *reader) subject(o *offered) (number, why string) {
	s := o.at("subject")
	if s == nil {
		s = o.at("patient")
	}
	var numbers []string
	add := func(ids []*node) {
		for _, n := range d.numbers(ids) {
			if !slices.Contains(numbers, n) {
				numbers = append(numbers, n)
			}
		}
	}
	if id := s.at("identifier"); id != nil {
		add([]*node{id})
	}
	to, _, _ := strings.Cut(s.text("reference"), "/_history/")
	if local, contained := strings.CutPrefix(to, "#"); contained {
		for _, p := range o.list("contained") {
			if p.text("resourceType") == "Patient" && p.text("id") == local {
				add(p.list("identifier"))
			}
		}
	}
	if id, ok := conditional(to); ok {
		add([]*node{id})
	}
	for _, p := range d.all {
		if p.kind == "Patient" && p.answers(to) {
			add(p.list("identifier"))
		}
	}
	switch len(numbers) {
	case 0:
		return "", "not of one infant whom the record knows by hospital number"
	case 1:
		return numbers[0], ""
	}
	return "", "of two hospital numbers"
}

// answers says whether a Patient is what a reference leads to: its address, or its
// id, beside which the base of an address that has none counts for nothing.
func (o *offered) answers(to string) bool {
	if to == "" {
		return false
	}
	if strings.EqualFold(o.url, to) && strings.HasPrefix(strings.ToLower(to), "urn:") || o.url == to {
		return true
	}
	here := "Patient/" + o.text("id")
	if o.text("id") == "" {
		return o.url != "" && strings.HasSuffix(o.url, "/"+to)
	}
	return to == here || o.url == "" && strings.HasSuffix(to, "/"+here)
}

// conditional is the identifier that a conditional reference searches by.
func conditional(to string) (*node, bool) {
	query, ok := strings.CutPrefix(to, "Patient?identifier=")
	if !ok {
		return nil, false
	}
	said, err := url.QueryUnescape(query)
	system, value, ok := strings.Cut(said, "|")
	if err != nil || !ok {
		return nil, false
	}
	return &node{kind: object, names: []string{"system", "value"}, kids: []*node{{kind: text, value: system}, {kind: text, value: value}}}, true
}

// numbers are the hospital numbers among identifiers, by the policy's system of
// them: those in use.
func (d *reader) numbers(ids []*node) (out []string) {
	for _, id := range ids {
		if n := d.numberOf(id); n != "" && !past(id) && !slices.Contains(out, n) {
			out = append(out, n)
		}
	}
	return out
}

func (d *reader) numberOf(id *node) string {
	if system := d.Policy.FHIR.Identifiers["mrn"].System; system == "" || id.text("system") != system {
		return ""
	}
	return id.text("value")
}

// past says whether a name or an identifier is one that was, or is to end: a moment
// is not compared with a clock.
func past(n *node) bool {
	return n.text("use") == "old" || n.at("period").text("end") != ""
}
