package fhir

import (
	"slices"

	"cotline/fhir/internal/r4"
)

// packer puts resources into bundles in order, and calls with what is in each that is full.
type packer struct {
	Sending
	x              *Export
	full           func(part []*r4.Resource) error
	sent           map[*r4.Resource]bool
	part           []*r4.Resource
	in             map[*r4.Resource]bool
	size           int
	anyConditional bool
	n              int // bundles that were full

	need, lacks []*r4.Resource // of the resource at hand
	request     []byte
}

func (x *Export) packer(s Sending, full func(part []*r4.Resource) error) *packer {
	return &packer{Sending: s, x: x, full: full, size: aroundEntries, sent: map[*r4.Resource]bool{}, in: map[*r4.Resource]bool{}}
}

func (p *packer) packAll(some []*r4.Resource) error {
	for _, r := range some {
		if err := p.pack(r); err != nil {
			return err
		}
	}
	return nil
}

func (p *packer) pack(r *r4.Resource) error {
	switch {
	case p.sent[r],
		p.Mode == Conditional && r.Type == "Provenance", // it has no identifier that a receiver could find it by
		r.Type == "Basic" && !slices.Contains(p.x.policy.FHIR.Send, "Basic"):
		return nil
	}
	var err error
	if p.need, err = p.x.closure(r, p.need[:0]); err != nil {
		return err
	}
	if grouped(r) != nil && !p.fits(p.need, 0) {
		p.sent[r] = true
		if r, err = p.x.apart(r); err != nil {
			return err
		}
		if p.need, err = p.x.closure(r, p.need[:0]); err != nil {
			return err
		}
	}
	more := p.missing(p.need)
	if !p.fits(more, len(p.part)) {
		if err := p.flush(); err != nil {
			return err
		}
		more = p.need
	}
	for _, n := range more {
		p.part, p.in[n], p.sent[n] = append(p.part, n), true, true
		p.size += p.takes(n)
		p.anyConditional = p.anyConditional || p.x.conditional(p.Mode, n)
	}
	return nil
}

// What a transaction and each entry of it take beside resources and requests, at most,
// in bytes.
const (
	aroundEntries = len(`{"resourceType":"Bundle","type":"transaction","entry":[]}`)
	aroundEntry   = len(`{"fullUrl":"urn:uuid:00000000-0000-0000-0000-000000000000","resource":,"request":{}},`)
)

// takes is how many bytes a resource takes in a bundle, at most: references to it and
// from it become longer.
func (p *packer) takes(r *r4.Resource) int {
	p.request, _ = p.x.request(p.request[:0], p.Mode, r)
	return aroundEntry + len(r.JSON) + len(p.request) + len(r.Refs)*max(len("urn:uuid:"), len(p.Patients[r.Infant]))
}

func (p *packer) missing(need []*r4.Resource) []*r4.Resource {
	p.lacks = p.lacks[:0]
	for _, n := range need {
		if !p.in[n] {
			p.lacks = append(p.lacks, n)
		}
	}
	return p.lacks
}

// fits says whether more entries go beside so many of the bundle that is open.
func (p *packer) fits(more []*r4.Resource, beside int) bool {
	count, size, conditional := beside+len(more), aroundEntries, false
	if beside > 0 {
		size, conditional = p.size, p.anyConditional
	}
	for _, r := range more {
		size += p.takes(r)
		conditional = conditional || p.x.conditional(p.Mode, r)
	}
	return (p.Entries == 0 || count <= p.Entries) && (p.Bytes == 0 || size <= p.Bytes) &&
		(p.Conditional == 0 || !conditional || count <= p.Conditional)
}

// flush ends the bundle that is open. There is one at least, which may be empty.
func (p *packer) flush() error {
	if len(p.part) == 0 && p.n > 0 {
		return nil
	}
	part := p.part
	p.n++
	p.part, p.size, p.anyConditional = nil, aroundEntries, false
	clear(p.in)
	return p.full(part)
}
