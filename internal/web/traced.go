package web

import (
	"strings"
	"sync"
	"time"

	"cotline/internal/access"
)

// tracedEvery is how often a page that stays open and updates itself is traced: once for
// so long, by session.
const tracedEvery = 10 * time.Minute

// traced remembers what was traced of late.
type traced struct {
	mu   sync.Mutex
	when map[string]time.Time
}

// mostTraced bounds what is remembered; beyond it all is forgotten, and traced once more.
const mostTraced = 20_000

func tracedKey(session string, e access.Event) string {
	return session + " " + e.Unit + " " + e.What + " " + strings.Join(e.Infants, " ")
}

// due says whether an event must be traced.
func (t *traced) due(session string, e access.Event) bool {
	t.mu.Lock()
	defer t.mu.Unlock()
	last, known := t.when[tracedKey(session, e)]
	return !known || time.Since(last) >= tracedEvery
}

// keep remembers one that was.
func (t *traced) keep(session string, e access.Event) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if t.when == nil || len(t.when) >= mostTraced {
		t.when = map[string]time.Time{}
	}
	t.when[tracedKey(session, e)] = time.Now()
}
