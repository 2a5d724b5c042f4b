package access

import (
	"net/url"
	"slices"
	"time"

	"github.com/go-jose/go-jose/v4"
)

// Program is the registration of a program that uses the FHIR endpoint. Its keys are a set
// that was given, or where they are read from; never both.
type Program struct {
	ID     string    `json:"id"` // client_id
	Shown  string    `json:"shown"`
	Units  []string  `json:"units"` // whose infants it may read; the first is its home
	Scopes string    `json:"scopes"`
	Keys   string    `json:"keys,omitempty"`    // a JWK set of public keys
	KeyURL string    `json:"keysURL,omitempty"` // https
	Made   time.Time `json:"made"`
	Locked bool      `json:"locked,omitempty"`
}

func (p *Program) fit() error {
	if !clientForm.MatchString(p.ID) {
		return &Unfit{"id", "2 to 64 lower-case letters, digits, and . _ @ - between them"}
	}
	if err := fitShown(p.Shown); err != nil {
		return err
	}
	if len(p.Units) == 0 || slices.ContainsFunc(p.Units, func(u string) bool { return !unitForm.MatchString(u) }) {
		return &Unfit{"unit", "one or more, of letters, digits, and . _ - between them"}
	}
	if _, err := ParseScopes(p.Scopes); err != nil {
		return err
	}
	if (p.Keys == "") == (p.KeyURL == "") {
		return &Unfit{"keys", "a JWK set, or the address of one"}
	}
	if p.KeyURL != "" {
		u, err := url.Parse(p.KeyURL)
		if err != nil || u.Scheme != "https" || u.Host == "" || u.User != nil || u.Fragment != "" {
			return &Unfit{"keys", "an address that begins with https://"}
		}
		return nil
	}
	_, err := parseKeys([]byte(p.Keys))
	return err
}

func unitsOf(p *Program) []string {
	if p == nil {
		return nil
	}
	return p.Units
}

func (p *Program) item() Item {
	return Item{Unit: p.Units[0], Kind: kindProgram, Key: p.ID, Owner: p.ID, Body: encode(p)}
}

func program(v View, id string) (*Program, error) {
	item, found, err := v.Get(kindProgram, id)
	if err != nil || !found {
		return nil, err
	}
	return registrationOf(item)
}

// registrationOf is the program that an item keeps under its client_id.
func registrationOf(item Item) (*Program, error) {
	p := &Program{}
	if err := decode(item.Body, p); err != nil || p.ID != item.Key || len(p.Units) == 0 {
		return nil, ErrDamaged
	}
	return p, nil
}

// Bounds of a set of keys.
const (
	mostKeyBytes = 64 << 10
	mostKeys     = 32
	leastRSABits = 2048 // RFC 7518, section 3.3
)

// algorithms are those of SMART App Launch, client-confidential-asymmetric.
var algorithms = []jose.SignatureAlgorithm{jose.RS384, jose.ES384}
