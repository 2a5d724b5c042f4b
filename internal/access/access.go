package access

import (
	"context"
	"crypto/rand"
	"io"
	"net/http"
	"sync"
	"time"
)

// Access is what a store keeps of people and programs, with a clock. Home is the unit under
// which is traced what concerns nobody that is known. Its fields are set before use.
type Access struct {
	Store  Store
	Home   string
	Now    func() time.Time
	Limits Limits
	Hash   HashCost
	HTTP   *http.Client // for keys of programs and a provider of sign-in; nil: one with limits
	// TokenURL is the address of the token endpoint as programs know it.
	TokenURL string
	OpenID   *OpenID // sign-in at the hospital's provider; nil: there is none

	random   io.Reader // of tests; nil: crypto/rand
	once     sync.Once
	guesses  guesses
	hashing  chan struct{} // one place for each hash that is made at once
	nobody   string        // a hash that nobody's password is of
	keys     keySets
	provider provider
}

// Limits are lengths of time and counts. All but Default's are this project's own choice
// within NIST SP 800-63B-4: a session at AAL2 is to end after at most 24 h, and when idle
// for at most 1 h.
type Limits struct {
	Idle     time.Duration // a session that is not used
	Absolute time.Duration // a session, however much it is used
	Shift    time.Duration // a session of somebody who was let in by a colleague, at most
	Code     time.Duration // the code that a colleague gives
	Link     time.Duration // a link to set a password by
	PIN      time.Duration // how long after a password a PIN holds on a device
	Device   time.Duration // a device that nobody signed in on
	Look     time.Duration // a look beyond the own unit
	Token    time.Duration // of a program
	PINTries int           // wrong PINs of one person on one device, until her password is asked for
	Wrong    int           // wrong passwords from unknown devices one after the other, until a keeper resets
}

// DefaultLimits are those of a ward with 12 h shifts.
var DefaultLimits = Limits{
	Idle: 30 * time.Minute, Absolute: 13 * time.Hour, Shift: 13 * time.Hour, Code: 10 * time.Minute, Link: 24 * time.Hour,
	PIN: 13 * time.Hour, Device: 90 * 24 * time.Hour, Look: time.Hour,
	Token:    5 * time.Minute, // SMART App Launch, backend services: at most 300 s
	PINTries: 5,
	Wrong:    100, // NIST SP 800-63B-4, section on rate limiting: no more than 100
}

// Origin is where a request comes from.
type Origin struct {
	Address string // without a port
	Device  string // the token of the device's cookie, empty where there is none
	Session string // the token of the session that the browser has, empty where there is none
	Request string // id of the request
}

// SignedIn is a session just made. Token, and Device where it is not empty, go into cookies
// and nowhere else.
type SignedIn struct {
	Token  string
	Device string // a new device's token; empty: the one it has stays
	Who    *Who
}

func (a *Access) ready() {
	a.once.Do(func() {
		if a.random == nil {
			a.random = rand.Reader
		}
		if a.Limits == (Limits{}) {
			a.Limits = DefaultLimits
		}
		if a.Hash == (HashCost{}) {
			a.Hash = DefaultHashCost
		}
		if a.HTTP == nil {
			a.HTTP = outbound()
		}
		a.hashing = make(chan struct{}, hashesAtOnce)
		a.nobody = a.Hash.hash(a.random, []byte("nobody's"))
		a.guesses.now = a.Now
	})
}

// write and read run in the store, with what is made ready first.
func (a *Access) write(ctx context.Context, do func(Tx) error) error {
	a.ready()
	return a.Store.Write(ctx, do)
}

func (a *Access) read(ctx context.Context, do func(View) error) error {
	a.ready()
	return a.Store.Read(ctx, do)
}
