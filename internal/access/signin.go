package access

import (
	"context"
	"time"
)

// SignIn proves a person by name and password and makes a session. Wrong, unknown and
// locked are ErrRefused, after the same work; too many tries *Limited.
func (a *Access) SignIn(ctx context.Context, from Origin, typed, password string) (in SignedIn, err error) {
	a.ready()
	name, ok := cleanName(typed)
	if len(password) > 4*longestPassword {
		password = "" // it is nobody's, and is not hashed
	}
	var p *account
	var trusted bool
	if err := a.read(ctx, func(v View) error {
		if !ok {
			return nil
		}
		if p, err = person(v, name); err != nil {
			return err
		}
		trusted, err = a.knows(v, from, name)
		return err
	}); err != nil {
		return in, err
	}
	key := nameKey(name, from, trusted)
	if wait := a.guesses.take(key, from, trusted); wait > 0 {
		return in, a.limited(ctx, from, key, p, ByPassword, wait)
	}
	kept := ""
	if p != nil {
		kept = p.Password
	}
	right, fresh, err := a.proven(ctx, kept, password)
	if err != nil {
		return in, err
	}
	err = a.decide(ctx, func(tx Tx) (refusal, err error) {
		now, err := person(tx, name)
		if err != nil {
			return nil, err
		}
		if !ok || now == nil || !right || now.Password != kept || now.Locked || !trusted && now.Wrong >= a.Limits.Wrong {
			return a.refuse(tx, now, from, ByPassword, trusted)
		}
		if fresh != "" {
			now.Password = fresh
		}
		now.Wrong = 0
		if err := tx.Put(now.item()); err != nil {
			return nil, err
		}
		in, err = a.enter(tx, now, from, ByPassword)
		return nil, err
	})
	if err == nil {
		a.guesses.forget(key)
	}
	return in, err
}

// proven says whether a password is that of a hash. Fresh is a new hash of it where the one
// that is kept was made with less work than is asked for now.
func (a *Access) proven(ctx context.Context, kept, password string) (right bool, fresh string, err error) {
	if right, err = a.holds(ctx, kept, password); err == nil && right && a.stale(kept) {
		fresh, err = a.made(ctx, password)
	}
	return right, fresh, err
}

// enter makes a session on a device that is known from then on.
func (a *Access) enter(tx Tx, p *account, from Origin, m Method) (SignedIn, error) {
	deviceKey, deviceToken, err := a.seat(tx, p, from)
	if err != nil {
		return SignedIn{}, err
	}
	in, err := a.begin(tx, p, from, m, "", deviceKey, a.Now().Add(a.Limits.Absolute))
	in.Device = deviceToken
	return in, err
}

// refuse counts a wrong proof and traces it; of somebody unknown nothing that was typed. The
// refusal is ErrRefused.
func (a *Access) refuse(tx Tx, p *account, from Origin, m Method, trusted bool) (refusal, err error) {
	e := Event{Unit: a.Home, Kind: SignInRefused, What: string(m)}
	if p != nil {
		e.Unit, e.Whom = p.Unit, p.Name
		if m == ByPassword && !trusted && p.Wrong < a.Limits.Wrong {
			p.Wrong++
			if err := tx.Put(p.item()); err != nil {
				return nil, err
			}
		}
	}
	return ErrRefused, a.note(tx, e, nil, from)
}

// limited traces that there were too many tries under a key.
func (a *Access) limited(ctx context.Context, from Origin, key string, p *account, m Method, wait time.Duration) error {
	if !a.guesses.tell(key, from) {
		return &Limited{wait}
	}
	e := Event{Unit: a.Home, Kind: Limit, What: string(m)}
	if p != nil {
		e.Unit, e.Whom = p.Unit, p.Name
	}
	if err := a.Note(ctx, nil, from, e); err != nil {
		return err
	}
	return &Limited{wait}
}

// again proves a person who is signed in once more by her password, before what changes how
// she is proven. It gives the hash that it was held to.
func (a *Access) again(ctx context.Context, who *Who, from Origin, password string) (kept string, err error) {
	a.ready()
	if len(password) > 4*longestPassword {
		password = ""
	}
	var p *account
	if err := a.read(ctx, func(v View) (err error) { p, err = person(v, who.Name); return err }); err != nil {
		return "", err
	}
	key := nameKey(who.Name, from, true)
	if wait := a.guesses.take(key, from, true); wait > 0 {
		return "", a.limited(ctx, from, key, p, ByPassword, wait)
	}
	if p != nil {
		kept = p.Password
	}
	right, err := a.holds(ctx, kept, password)
	if err != nil || right {
		return kept, err
	}
	return "", a.decide(ctx, func(tx Tx) (refusal, err error) { return a.refuse(tx, p, from, ByPassword, true) })
}
