package access

import (
	"sync"
	"time"

	"golang.org/x/time/rate"
)

// guesses slows who tries to guess: by the name that was typed, whether it is anybody's or
// not, and by address. Tries on a device that knows the person have a place of their own, so
// that somebody elsewhere who uses up the tries of her name does not keep her out.
type guesses struct {
	now  func() time.Time
	mu   sync.Mutex
	each map[string]*tries
}

type tries struct {
	limit *rate.Limiter
	last  time.Time
	told  time.Time // when it was last traced
}

// Tries: this project's own choice. A name has five at once and one a minute then; an
// address, behind which a whole ward may be, thirty and one in two seconds.
const (
	nameBurst     = 5
	nameEvery     = time.Minute
	addressBurst  = 30
	addressEvery  = 2 * time.Second
	tokenBurst    = 60 // of programs, whose assertions cannot be guessed
	tokenEvery    = time.Second / 2
	mostGuesses   = 10_000    // names and addresses that are remembered
	guessesForget = time.Hour // after this long all tries are there again
)

// take takes one try under a key, and says how long to wait where there is none. A device that
// knows the person is held to her name alone: a whole ward may be behind one address.
func (g *guesses) take(key string, from Origin, trusted bool) time.Duration {
	g.mu.Lock()
	defer g.mu.Unlock()
	if g.each == nil {
		g.each = map[string]*tries{}
	}
	now := g.now()
	wait := g.one(now, key, nameBurst, nameEvery)
	if trusted {
		return wait
	}
	return max(wait, g.one(now, addressKey(from), addressBurst, addressEvery))
}

// takeAddress takes one try of an address alone.
func (g *guesses) takeAddress(from Origin) time.Duration {
	g.mu.Lock()
	defer g.mu.Unlock()
	if g.each == nil {
		g.each = map[string]*tries{}
	}
	return g.one(g.now(), "token "+from.Address, tokenBurst, tokenEvery)
}

// tell says whether a wait is to be traced: once a minute each, so that nobody fills the
// trace by trying.
func (g *guesses) tell(key string, from Origin) bool {
	g.mu.Lock()
	defer g.mu.Unlock()
	now, tell := g.now(), false
	for _, key := range []string{key, addressKey(from)} {
		if t := g.each[key]; t != nil && t.limit.TokensAt(now) < 1 && now.Sub(t.told) >= time.Minute {
			t.told, tell = now, true
		}
	}
	return tell
}

func addressKey(from Origin) string { return "address " + from.Address }

func nameKey(name string, from Origin, trusted bool) string {
	if !trusted {
		return "name " + name
	}
	key, _ := keyOf(from.Device)
	return "name " + name + " on " + key
}

// codeKey is of codes that a colleague gives: by address too, for they are the way in of who
// cannot use her password while somebody guesses at her name.
func codeKey(name string, from Origin) string { return "code at " + from.Address + " of " + name }

func (g *guesses) one(now time.Time, key string, burst int, every time.Duration) time.Duration {
	t := g.each[key]
	if t == nil {
		if len(g.each) >= mostGuesses {
			g.drop(now)
		}
		t = &tries{limit: rate.NewLimiter(rate.Every(every), burst)}
		g.each[key] = t
	}
	t.last = now
	r := t.limit.ReserveN(now, 1)
	if wait := r.DelayFrom(now); wait > 0 {
		r.CancelAt(now)
		return wait
	}
	return 0
}

// drop forgets those that have all their tries again, and then any, by chance of the map's
// order, until half are left: memory has an end.
func (g *guesses) drop(now time.Time) {
	for key, t := range g.each {
		if now.Sub(t.last) > guessesForget {
			delete(g.each, key)
		}
	}
	for key := range g.each {
		if len(g.each) < mostGuesses/2 {
			return
		}
		delete(g.each, key)
	}
}

// forget gives a key all its tries again, once somebody was proven under it.
func (g *guesses) forget(key string) {
	g.mu.Lock()
	defer g.mu.Unlock()
	delete(g.each, key)
}
