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
	nobody   func() string // a hash that nobody's password is of, made when it is first needed
	keys     keySets
	together together
	provider provider
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
		a.nobody = sync.OnceValue(func() string { return a.Hash.hash(a.random, []byte("nobody's")) })
		a.guesses.now = a.Now
		a.together.turn = make(chan struct{}, 1)
	})
}

// write and read run in the store, with what is made ready first.
func (a *Access) write(ctx context.Context, do func(Tx) error) error {
	a.ready()
	return a.Store.Write(ctx, do)
}

// decide runs do in the store. What it wrote is kept when it refuses too, for a refusal is traced
// and counted; the caller gets the refusal then.
func (a *Access) decide(ctx context.Context, do func(Tx) (refusal, err error)) error {
	var refusal error
	err := a.write(ctx, func(tx Tx) (err error) { refusal, err = do(tx); return err })
	return firstOf(err, refusal)
}

func (a *Access) read(ctx context.Context, do func(View) error) error {
	a.ready()
	return a.Store.Read(ctx, do)
}
