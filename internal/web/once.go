package web

import (
	"sync"
	"time"
)

// once keeps what a post made and a page shows one time: a link, a code. The post is answered
// by going on to that page, so that a browser which loads it again makes no other. It is kept
// in memory alone, for the session that asked and for shownWithin.
type once struct {
	mu   sync.Mutex
	made map[string]madeOnce // by session: each makes one thing after the other
}

type madeOnce struct {
	secret, whose string
	path          string // of the page that shows it
	until         time.Time
}

// shownWithin is how long what was made waits for its page, which a browser asks at once. It
// is this project's own choice.
const shownWithin = time.Minute

// onceQuery asks a page for what was made; it says nothing of it.
const onceQuery = "?made=yes"

// keep keeps what was made for the next page of a session, in place of what it had, and gives
// the address of that page.
func (o *once) keep(session, path, secret, whose string, now time.Time) string {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.made == nil {
		o.made = map[string]madeOnce{}
	}
	for key, x := range o.made {
		if now.After(x.until) {
			delete(o.made, key)
		}
	}
	o.made[session] = madeOnce{secret, whose, path, now.Add(shownWithin)}
	return path + onceQuery
}

// take gives it to that page, once. Shown says that it was asked for what is gone.
func (o *once) take(r *request, path string, now time.Time) (x madeOnce, shown bool) {
	if r.URL.Query().Get("made") == "" {
		return x, false
	}
	o.mu.Lock()
	defer o.mu.Unlock()
	x, there := o.made[r.who.Session]
	if !there || x.path != path || now.After(x.until) {
		return madeOnce{}, true
	}
	delete(o.made, r.who.Session)
	return x, false
}
