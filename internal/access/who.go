package access

import (
	"slices"
	"time"
)

// WhoKind tells what somebody is.
type WhoKind int

// Kinds. The zero Who is nobody, who may nothing.
const (
	Nobody WhoKind = iota
	APerson
	AProgram
	TheConsole // whoever can write to the record's file
)

// Method is how somebody proved who they are.
type Method string

// Methods.
const (
	ByPassword  Method = "password"
	ByPIN       Method = "pin"
	ByLetIn     Method = "let-in" // by a colleague, for one shift
	ByElsewhere Method = "openid" // at the hospital's sign-in
	ByAssertion Method = "assertion"
	ByConsole   Method = "console"
)

// Who is somebody who was proven, for one request.
type Who struct {
	Kind    WhoKind
	Name    string            // to sign in by; of a program its client_id
	Shown   string            // the name on pages and paper
	Unit    string            // home unit
	Roles   map[string][]Role // by unit
	Scopes  Scopes            // of a program
	Looks   []Look            // beyond the own units, that are open now
	Method  Method
	LetInBy string    // the colleague, where Method is ByLetIn
	Session string    // id of the session, no secret
	Device  string    // id of the device, no secret; empty: none is known
	Until   time.Time // absolute end of the session
}

// Console is who works at the machine itself.
func Console() *Who {
	return &Who{Kind: TheConsole, Name: "console", Shown: "console", Method: ByConsole}
}

// May says whether the table gives a permission in a unit. Who was let in by a colleague
// may do what a nurse does and change nothing of the account. An open look beyond the own
// unit lets read and nothing else.
func (w *Who) May(unit string, p Permission) bool {
	if w == nil {
		return false
	}
	switch w.Kind {
	case TheConsole:
		return true
	case AProgram:
		return p == ReadFHIR && has(w.Roles[unit], p)
	case APerson:
		if w.Method == ByLetIn && !slices.Contains(whenLetIn, p) {
			return false
		}
		return has(w.Roles[unit], p) || p == ReadInfants && w.looksAt(unit)
	}
	return false
}

// whenLetIn is what somebody may do who was let in by a colleague.
var whenLetIn = []Permission{ReadInfants, Chart, ChartSheets, HandOver, Print}

func (w *Who) looksAt(unit string) bool {
	return slices.ContainsFunc(w.Looks, func(l Look) bool { return l.Unit == unit })
}

// Is says whether somebody has a role in any unit.
func (w *Who) Is(r Role) bool {
	for _, roles := range w.Roles {
		if slices.Contains(roles, r) {
			return true
		}
	}
	return false
}

// Units are those in which a permission is given, in order.
func (w *Who) Units(p Permission) []string {
	var out []string
	for unit := range w.Roles {
		if w.May(unit, p) {
			out = append(out, unit)
		}
	}
	for _, l := range w.Looks {
		if w.May(l.Unit, p) && !slices.Contains(out, l.Unit) {
			out = append(out, l.Unit)
		}
	}
	slices.Sort(out)
	return out
}

// Look is a look beyond the own unit in an emergency.
type Look struct {
	ID     string    `json:"id"`
	Person string    `json:"person"`
	Unit   string    `json:"unit"` // the one that is looked at
	Reason string    `json:"reason"`
	From   time.Time `json:"from"`
	Until  time.Time `json:"until"`
}
