package read

import (
	"net/url"
	"slices"
	"strings"

	"cotline/fhir/internal/r4"
	"cotline/handover/entry"
)

// references tell whom resources are about, by hospital number.
type references struct {
	system   string // of hospital numbers
	patients addresses
}

// subject is the hospital number of the Patient that a resource is about. The Patient
// is named by its identifier, or is another resource of the files, or is contained in
// this one. Where there is none, or two that differ, subject says why.
func (d *references) subject(o *offered) (number, why string) {
	s := o.At("subject")
	if s == nil {
		s = o.At("patient")
	}
	var numbers []string
	add := func(ids []*r4.Part) {
		for _, n := range d.numbers(ids) {
			if !slices.Contains(numbers, n) {
				numbers = append(numbers, n)
			}
		}
	}
	if id := s.At("identifier"); id != nil {
		add([]*r4.Part{id})
	}
	to, _, _ := strings.Cut(s.Text("reference"), "/_history/")
	if local, contained := strings.CutPrefix(to, "#"); contained {
		for _, p := range o.List("contained") {
			if p.Text("resourceType") == "Patient" && p.Text("id") == local {
				add(p.List("identifier"))
			}
		}
	}
	if id, ok := conditional(to); ok {
		add([]*r4.Part{id})
	}
	for _, p := range d.patients.answering(to) {
		add(p.List("identifier"))
	}
	switch len(numbers) {
	case 0:
		if d.system == "" {
			return "", noSystem
		}
		return "", ofNobody
	case 1:
		return numbers[0], ""
	}
	return "", twoNumbers
}

const (
	noSystem   = "the policy names no system of hospital numbers (fhir.identifiers.mrn)"
	twoNumbers = "of two hospital numbers"
	ofNobody   = "not of one infant whom the record knows by hospital number"
)

// addresses are Patients by what a reference to them says.
type addresses map[string][]*offered

// add keeps a Patient under its address and under its id. One that has no address is
// found by its id, whatever base a reference puts before it.
func (a addresses) add(p *offered) {
	at := p.url
	if isUUID(at) {
		at = strings.ToLower(at)
	}
	id := p.Text("id")
	if at != "" {
		a[at] = append(a[at], p)
	}
	if _, last, ok := cutLast(at); ok && id == "" {
		id = last
	}
	if id == "" {
		return
	}
	a["Patient/"+id] = append(a["Patient/"+id], p)
	if at == "" {
		a["/Patient/"+id] = append(a["/Patient/"+id], p)
	}
}

// answering are the Patients that a reference leads to.
func (a addresses) answering(to string) []*offered {
	switch base, id, ok := cutLast(to); {
	case isUUID(to):
		return a[strings.ToLower(to)]
	case ok && base != "":
		return slices.Concat(a[to], a["/Patient/"+id])
	}
	return a[to]
}

func isUUID(address string) bool { return strings.HasPrefix(strings.ToLower(address), "urn:") }

// cutLast parts a base from Patient/id.
func cutLast(address string) (base, id string, ok bool) {
	at := strings.LastIndex(address, "Patient/")
	if at < 0 || at > 0 && address[at-1] != '/' {
		return "", "", false
	}
	return address[:at], address[at+len("Patient/"):], true
}

// conditional is the identifier that a conditional reference searches by.
func conditional(to string) (*r4.Part, bool) {
	query, ok := strings.CutPrefix(to, "Patient?identifier=")
	if !ok {
		return nil, false
	}
	said, err := url.QueryUnescape(query)
	system, value, ok := strings.Cut(said, "|")
	if err != nil || !ok {
		return nil, false
	}
	return r4.NewObject(r4.NewText("system", system), r4.NewText("value", value)), true
}

// numbers are the hospital numbers among identifiers, by the policy's system of
// them: those in use.
func (d *references) numbers(ids []*r4.Part) (out []string) {
	for _, id := range ids {
		if n := d.numberOf(id); n != "" && !past(id) && !slices.Contains(out, n) {
			out = append(out, n)
		}
	}
	return out
}

func (d *references) numberOf(id *r4.Part) string {
	if system := d.system; system == "" || id.Text("system") != system {
		return ""
	}
	return entry.OneForm(id.Text("value"))
}

// past says whether a name or an identifier is no longer in use, or is to end. An end
// that lies ahead counts too: there is no clock here to compare it with.
func past(n *r4.Part) bool {
	return n.Text("use") == "old" || n.At("period").Text("end") != ""
}
