package web

import (
	"sync"
	"time"
)

// uses remembers when somebody last used a session by herself: a page that asks by itself
// must not keep a session open that nobody uses. After a new start of the program a
// session counts as used when it is first seen.
type uses struct {
	mu   sync.Mutex
	when map[string]time.Time // by id of the session
}

// mostUses bounds what is remembered; beyond it all sessions count as used now.
const mostUses = 20_000

// idle keeps a use, or says whether there was none for so long.
func (u *uses) idle(session string, now time.Time, byItself bool, limit time.Duration) bool {
	u.mu.Lock()
	defer u.mu.Unlock()
	last, known := u.when[session]
	if known && byItself {
		return now.Sub(last) >= limit
	}
	if u.when == nil || len(u.when) >= mostUses {
		u.when = map[string]time.Time{}
	}
	u.when[session] = now
	return false
}
