package web

import (
	"net/netip"
	"sync"
	"time"

	"golang.org/x/time/rate"

	"cotline/internal/access"
)

// Limits are how much a request may take. All are this project's own choice.
type Limits struct {
	Header, Read, Write, Idle time.Duration // of a connection: its head, all of a request, its answer, between two
	Answer                    time.Duration // to make an answer
	Stop                      time.Duration // for open requests to end
	Body, File                int64         // bytes of a form, and of one with a file
	Head                      int           // bytes of a request's head
	Often, Guess              Rate          // requests, and tries to prove who somebody is, by address
}

// Rate is one each so often, after so many at once; with a zero Every as often as one likes.
type Rate struct {
	Every time.Duration
	Burst int
}

// DefaultLimits are those of a ward behind one address, as all its tablets may be.
var DefaultLimits = Limits{
	Header: 5 * time.Second, Read: 20 * time.Second, Write: 40 * time.Second, Idle: 2 * time.Minute, Answer: 30 * time.Second,
	Stop: 10 * time.Second, Body: 64 << 10, File: 8 << 20, Head: 16 << 10,
	Often: Rate{5 * time.Millisecond, 400}, Guess: Rate{2 * time.Second, 30}, // for one name, access limits what is tried
}

// errOften is too many requests.
var errOften = &access.Limited{Wait: time.Second}

// rates are buckets by address; of IPv6 by what one subscriber has (RFC 6177: a /64 at least).
type rates struct {
	Rate
	mu sync.Mutex
	by map[string]*rate.Limiter
}

// mostRates bounds the memory that addresses can take; beyond it those who have their whole
// burst are forgotten, and if that is nobody, all are.
const mostRates = 10_000

// take says whether there is one more.
func (r *rates) take(address string, now time.Time) bool {
	if r.Every == 0 {
		return true
	}
	key := address
	if ip, err := netip.ParseAddr(address); err == nil && ip.Is6() && !ip.Is4In6() {
		if p, err := ip.Prefix(64); err == nil {
			key = p.String()
		}
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	l := r.by[key]
	if l == nil {
		if len(r.by) >= mostRates {
			r.forget(now)
		}
		if r.by == nil {
			r.by = map[string]*rate.Limiter{}
		}
		l = rate.NewLimiter(rate.Every(r.Every), r.Burst)
		r.by[key] = l
	}
	return l.AllowN(now, 1)
}

func (r *rates) forget(now time.Time) {
	for key, l := range r.by {
		if l.TokensAt(now) >= float64(r.Burst) {
			delete(r.by, key)
		}
	}
	if len(r.by) >= mostRates {
		r.by = nil
	}
}
