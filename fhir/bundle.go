package fhir

import (
	"fmt"
	"net/url"
	"slices"
	"strings"

	"cotline/fhir/internal/r4"
	"cotline/handover"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

// bundle is a bundle that is being written, and then the next one in the same memory.
// References to what it holds become fullUrls; those to the receiver's own patients stay as
// they were given.
type bundle struct {
	kind    string
	out     []byte
	n       int
	want    int               // about how many bytes are to come
	answers map[string]string // Type/id to what a reference to it says
	theirs  map[string]string
	request []byte // of the entry at hand
	checker r4.Checker
}

func newBundle(kind string) *bundle {
	b := &bundle{kind: kind, answers: map[string]string{}}
	b.begin()
	return b
}

// newTransaction is for one transaction after another.
func (x *Export) newTransaction(s Sending) *bundle {
	b := newBundle("transaction")
	b.theirs, b.checker.Unnarrated = s.Patients, x.unnarrated()
	return b
}

// unnarrated says whether the policy leaves narratives out.
func (x *Export) unnarrated() bool {
	return slices.Contains(x.policy.FHIR.Leave, handover.LeaveNarrative)
}

// begin leaves what was written, if anything was.
func (b *bundle) begin() {
	b.out, b.n, b.want = append(b.out[:0], `{"resourceType":"Bundle","type":"`+b.kind+`"`...), 0, 0
	clear(b.answers)
}

// answer lets references to a resource lead to its entry in this bundle.
func (b *bundle) answer(r *r4.Resource) {
	to := "urn:uuid:" + r.ID
	if theirs := b.theirs[r.Infant]; r.Type == "Patient" && theirs != "" {
		to = theirs
	}
	b.answers[r.Key()] = to
	b.want += len(r.JSON) + len(r.Refs)*len("urn:uuid:") + beside
}

// beside is about how many bytes an entry takes besides its resource.
const beside = 200

// entry adds a resource, with its id or without, and its request if it has one.
func (b *bundle) entry(r *r4.Resource, named bool, request []byte) error {
	if b.n == 0 {
		b.out = append(slices.Grow(b.out, b.want), `,"entry":[`...)
	} else {
		b.out = append(b.out, ',')
	}
	b.n++
	b.out = append(append(append(b.out, `{"fullUrl":"urn:uuid:`...), r.ID...), `","resource":`...)
	if err := b.resource(r, named); err != nil {
		return err
	}
	if request != nil {
		b.out = append(b.out, `,"request":{`...)
		b.out = append(b.out, request...)
		b.out = append(b.out, '}')
	}
	b.out = append(b.out, '}')
	return nil
}

// resource appends a resource, each of its references as this bundle answers it.
func (b *bundle) resource(r *r4.Resource, named bool) error {
	from := 0
	if !named {
		head := `{"resourceType":"` + r.Type + `",`
		b.out = append(b.out, head...)
		from = len(head) + len(`"id":"",`) + len(r.ID)
	}
	for _, s := range r.Refs {
		to, ok := b.answers[string(r.JSON[s.Start:s.End])]
		if !ok {
			return fmt.Errorf("%s/%s refers to %s, which is not in the bundle", r.Type, r.ID, r.JSON[s.Start:s.End])
		}
		b.out = append(b.out, r.JSON[from:s.Start]...)
		b.out = append(b.out, to...)
		from = s.End
	}
	b.out = append(b.out, r.JSON[from:]...)
	return nil
}

// whole adds all resources as they are and ends the bundle.
func (b *bundle) whole(all []*r4.Resource) ([]byte, error) {
	for _, r := range all {
		b.answer(r)
	}
	for _, r := range all {
		if err := b.entry(r, true, nil); err != nil {
			return nil, err
		}
	}
	return b.done()
}

// done ends the bundle and holds it to the rules.
func (b *bundle) done() ([]byte, error) {
	out := b.end()
	if faults := b.checker.Check(out); len(faults) > 0 {
		return nil, &Unsound{faults}
	}
	return out, nil
}

func (b *bundle) end() []byte {
	if b.n > 0 {
		b.out = append(b.out, ']')
	}
	b.out = append(b.out, '}')
	return b.out
}

// Unsound is a bundle that breaks the rules. That is a fault of this program, so
// nothing leaves.
type Unsound struct{ Faults []r4.Fault }

func (e *Unsound) Error() string {
	if len(e.Faults) == 1 {
		return "the bundle is unsound: " + e.Faults[0].String()
	}
	return fmt.Sprintf("the bundle is unsound in %d places, first: %s", len(e.Faults), e.Faults[0])
}

// Collection is the whole export as a collection bundle.
func (x *Export) Collection() ([]byte, error) {
	b := newBundle("collection")
	b.checker.Unnarrated = x.unnarrated()
	all, err := x.closures(x.Resources)
	if err != nil {
		return nil, err
	}
	return b.whole(all)
}

// closure is a resource after everything that it refers to, and that those refer to in
// turn.
func (x *Export) closure(r *r4.Resource, before []*r4.Resource) ([]*r4.Resource, error) {
	if slices.Contains(before, r) {
		return before, nil
	}
	for _, s := range r.Refs {
		target := x.pool[string(r.JSON[s.Start:s.End])]
		if target == nil {
			return nil, fmt.Errorf("%s/%s refers to %s, which is not in the export", r.Type, r.ID, r.JSON[s.Start:s.End])
		}
		var err error
		if before, err = x.closure(target, before); err != nil {
			return nil, err
		}
	}
	return append(before, r), nil
}

// closures are some resources with all that they refer to, each once.
func (x *Export) closures(some []*r4.Resource) ([]*r4.Resource, error) {
	var out []*r4.Resource
	in := map[*r4.Resource]bool{}
	for _, r := range some {
		need, err := x.closure(r, nil)
		if err != nil {
			return nil, err
		}
		for _, n := range need {
			if !in[n] {
				in[n] = true
				out = append(out, n)
			}
		}
	}
	return out, nil
}

// queryOf is the identifier as the one parameter of a search.
func queryOf(id r4.Identifier) string {
	return "identifier=" + queryEscape(id.System) + "|" + queryEscape(id.Value)
}

// queryEscape escapes everything that has a meaning in a query or in a search. For a
// search, a backslash goes before the bar, the comma and the dollar sign first.
func queryEscape(s string) string {
	return queryBare.Replace(url.QueryEscape(searchEscapes.Replace(s)))
}

var (
	searchEscapes = strings.NewReplacer(`\`, `\\`, `|`, `\|`, `,`, `\,`, `$`, `\$`)
	queryBare     = strings.NewReplacer("+", "%20", "%3A", ":", "%2F", "/")
)

// grouped are the references of a resource to many others, nil where it has none:
// the members of a group, the targets of a Provenance.
func grouped(r *r4.Resource) []models.Reference {
	if r.Model == nil { // let go of, for it has none
		return nil
	}
	switch m := r.Model.Body.(type) {
	case *models.Observation:
		return m.HasMember
	case *models.Provenance:
		return m.Target
	}
	return nil
}

// apart is such a resource, in which those many are named by their identifiers.
func (x *Export) apart(r *r4.Resource) (*r4.Resource, error) {
	var named []models.Reference
	for _, m := range grouped(r) {
		target := x.pool[*m.Reference]
		named = append(named, models.Reference{Type: &target.Type,
			Identifier: r4.IdentifierOf(target.Identifier.System, target.Identifier.Value)})
	}
	out, model := *r, *r.Model
	switch m := r.Model.Body.(type) {
	case *models.Observation:
		o := *m
		o.HasMember, model.Body = named, &o
	case *models.Provenance:
		o := *m
		o.Target, model.Body = named, &o
	}
	out.Model = &model
	return &out, out.Encode(x.policy)
}
