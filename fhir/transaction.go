package fhir

import (
	"fmt"
	"net/url"
	"strings"

	"cotline/handover"
)

// Mode is how a transaction names what it sends. One mode a receiver, for good:
// a second one doubles everything there.
type Mode string

// Put sends every resource under its own id, PUT Type/<uuid>.
const Put Mode = "put"

// Patients, of the policy: whose the Patient resources are.
const (
	patientsMatch       = "match"
	patientsConditional = "conditional"
	patientsOurs        = "ours"
)

// Transaction is the whole export as one transaction bundle. Each entry has the
// fullUrl urn:uuid:<id>, and references within the bundle are that to the byte, in
// every mode: a Patient that the receiver may hold already has no other. The
// Patient goes by the policy's fhir.patients: conditional, a conditional create by
// its business identifier; ours, a PUT like all else; match needs the receiver's
// own reference, which a file does not know. The bundle is checked before it is
// returned; a fault in it is an error and nothing leaves.
func (x *Export) Transaction(mode Mode) ([]byte, error) {
	if mode != Put {
		return nil, fmt.Errorf("transaction mode %q: %s is wanted", mode, Put)
	}
	if x.policy.FHIR.Patients == patientsMatch {
		return nil, fmt.Errorf("fhir.patients is match: a file cannot look patients up, only a delivery can")
	}
	targets := make(map[string]string, len(x.Resources))
	for _, r := range x.Resources {
		targets[r.Type+"/"+r.ID] = "urn:uuid:" + r.ID
	}
	out := []byte(`{"resourceType":"Bundle","type":"transaction"`)
	for n, r := range x.Resources {
		if n == 0 {
			out = append(out, `,"entry":[`...)
		} else {
			out = append(out, ',')
		}
		out = append(out, `{"fullUrl":"urn:uuid:`+r.ID+`","resource":`...)
		create := r.Type == "Patient" && x.policy.FHIR.Patients == patientsConditional
		var err error
		if out, err = r.appendBundled(out, targets, !create); err != nil {
			return nil, err
		}
		out = append(out, `,"request":{`...)
		if create {
			out = append(out, `"method":"POST","url":"Patient","ifNoneExist":`...)
			out = handover.AppendString(out, r.Identifier.query())
		} else {
			out = append(out, `"method":"PUT","url":`...)
			out = handover.AppendString(out, r.Type+"/"+r.ID)
		}
		out = append(out, `}}`...)
	}
	if len(x.Resources) > 0 {
		out = append(out, ']')
	}
	out = append(out, '}')
	if faults := Check(out); len(faults) > 0 {
		return nil, &Unsound{faults}
	}
	return out, nil
}

// query is the identifier as the one parameter of a search.
func (id Identifier) query() string {
	return "identifier=" + queryEscape(id.System) + "|" + queryEscape(id.Value)
}

// queryEscape keeps what R4 shows bare in a query, and escapes all else: the bar,
// the comma and the dollar sign, which search gives a meaning, with a backslash
// first.
func queryEscape(s string) string {
	s = searchEscapes.Replace(s)
	s = url.QueryEscape(s)
	return strings.NewReplacer("+", "%20", "%3A", ":", "%2F", "/").Replace(s)
}

var searchEscapes = strings.NewReplacer(`\`, `\\`, `|`, `\|`, `,`, `\,`, `$`, `\$`)

// appendBundled appends the resource as it stands in a bundle: references that
// the bundle answers in its style, and no id on what the receiver is to name.
func (r *Resource) appendBundled(out []byte, targets map[string]string, withID bool) ([]byte, error) {
	from := 0
	if !withID {
		head := `{"resourceType":"` + r.Type + `",`
		out = append(out, head...)
		from = len(head) + len(`"id":"",`) + len(r.ID)
	}
	for _, s := range r.refs {
		target := string(r.JSON[s.start:s.end])
		full, ok := targets[target]
		if !ok {
			return nil, fmt.Errorf("%s/%s refers to %s, which is not in the export", r.Type, r.ID, target)
		}
		out = append(out, r.JSON[from:s.start]...)
		out = append(out, full...)
		from = s.end
	}
	return append(out, r.JSON[from:]...), nil
}

// Unsound is a bundle that does not keep the rules: a fault of this program, which
// is why nothing leaves.
type Unsound struct{ Faults []Fault }

func (e *Unsound) Error() string {
	if len(e.Faults) == 1 {
		return "the bundle is unsound: " + e.Faults[0].String()
	}
	return fmt.Sprintf("the bundle is unsound in %d places, first: %s", len(e.Faults), e.Faults[0])
}
