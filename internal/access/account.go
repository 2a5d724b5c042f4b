package access

import (
	"encoding/json"
	"fmt"
	"regexp"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// Person is an account, without its secrets.
type Person struct {
	Name   string            `json:"name"`  // to sign in by; lower case
	Shown  string            `json:"shown"` // on pages and paper
	Unit   string            `json:"unit"`  // home
	Roles  map[string][]Role `json:"roles"` // by unit
	Made   time.Time         `json:"made"`
	Locked bool              `json:"locked,omitempty"`

	Provider bool `json:"-"` // she signs in at the hospital's, which gives her roles; said by People
}

// account is a person with secrets, as it is kept.
type account struct {
	Person
	Password string `json:"password,omitempty"` // PHC; empty: none was set
	Wrong    int    `json:"wrong,omitempty"`    // from unknown devices, one after the other
	Subject  string `json:"subject,omitempty"`  // key of the identity at a provider of sign-in
}

// nameForm is of names to sign in by, which are keys of staff too: what somebody charts is by
// her name. clientForm is of programs, unitForm of units.
var (
	nameForm   = regexp.MustCompile(`^[a-z0-9][a-z0-9._-]{1,63}$`)
	clientForm = regexp.MustCompile(`^[a-z0-9][a-z0-9._@-]{1,63}$`)
	unitForm   = regexp.MustCompile(`^[A-Za-z0-9][A-Za-z0-9._-]{0,63}$`)
)

// cleanName is a name as it is kept; false for what can be nobody's.
func cleanName(typed string) (string, bool) {
	if len(typed) > 256 {
		return "", false
	}
	name := strings.ToLower(strings.TrimSpace(typed))
	return name, nameForm.MatchString(name)
}

func (p *Person) fit() error {
	if !nameForm.MatchString(p.Name) {
		return &Unfit{"name", "2 to 64 lower-case letters, digits, and . _ - between them"}
	}
	if err := fitShown(p.Shown); err != nil {
		return err
	}
	if !unitForm.MatchString(p.Unit) {
		return &Unfit{"unit", "letters, digits, and . _ - between them"}
	}
	return fitRoles(p.Roles)
}

func fitShown(shown string) error {
	if n := utf8.RuneCountInString(shown); n < 1 || n > 60 || strings.TrimSpace(shown) != shown ||
		strings.ContainsFunc(shown, func(r rune) bool { return !unicode.IsPrint(r) }) {
		return &Unfit{"shown name", "1 to 60 characters that can be seen"}
	}
	return nil
}

func fitRoles(roles map[string][]Role) error {
	for unit, rs := range roles {
		if !unitForm.MatchString(unit) {
			return &Unfit{"unit", "letters, digits, and . _ - between them"}
		}
		for _, r := range rs {
			if !IsRole(r) {
				return &Unfit{"role", fmt.Sprintf("one of %v", Roles)}
			}
		}
	}
	return nil
}

func (p *account) item() Item {
	return Item{Unit: p.Unit, Kind: kindPerson, Key: p.Name, Owner: p.Name, Body: encode(p)}
}

// encode is JSON of a value of this package, which always has one.
func encode(v any) []byte {
	b, err := json.Marshal(v)
	if err != nil {
		panic("access: " + err.Error())
	}
	return b
}

// decode reads what was kept. Its error holds nothing of it.
func decode(body []byte, into any) error {
	if json.Unmarshal(body, into) != nil {
		return ErrDamaged
	}
	return nil
}

// person is an account by its name.
func person(v View, name string) (*account, error) {
	item, found, err := v.Get(kindPerson, name)
	if err != nil || !found {
		return nil, err
	}
	return accountOf(item)
}

// accountOf is the account that an item keeps under its name.
func accountOf(item Item) (*account, error) {
	p := &account{}
	if err := decode(item.Body, p); err != nil || p.Name != item.Key {
		return p, ErrDamaged
	}
	return p, nil
}

func firstOf(err, otherwise error) error {
	if err != nil {
		return err
	}
	return otherwise
}
