package access

import (
	"context"
	"slices"
	"time"
)

// session is one as it is kept, under the hash of its token.
type session struct {
	Person  string    `json:"person"`
	Method  Method    `json:"method"`
	LetInBy string    `json:"letInBy,omitempty"`
	Device  string    `json:"device,omitempty"` // key
	Made    time.Time `json:"made"`
	Seen    time.Time `json:"seen"`
	Until   time.Time `json:"until"`
}

// SessionInfo is a session as its owner sees it.
type SessionInfo struct {
	ID         string // no secret
	Method     Method
	Device     string
	Made, Seen time.Time
	Until      time.Time
	Current    bool
}

// seenEvery is how exact the last use of a session is kept, so that a page is no write.
const seenEvery = time.Minute

func (s *session) item(unit, key string) Item {
	return Item{Unit: unit, Kind: kindSession, Key: key, Owner: s.Person, Until: s.Until, Body: encode(s)}
}

// over says whether a session has ended at a moment.
func (s *session) over(now time.Time, idle time.Duration) bool {
	return !now.Before(s.Until) || now.Sub(s.Seen) >= idle || now.Before(s.Made.Add(-seenEvery))
}

// begin makes a session, ends the one that the browser had, and traces it.
func (a *Access) begin(tx Tx, p *account, from Origin, m Method, letInBy string, device string, until time.Time) (SignedIn, error) {
	if key, ok := keyOf(from.Session); ok {
		if err := tx.Remove(kindSession, key); err != nil {
			return SignedIn{}, err
		}
	}
	now := a.Now()
	if err := tx.Sweep(now); err != nil {
		return SignedIn{}, err
	}
	token, key := newSecret(a.random)
	s := &session{Person: p.Name, Method: m, LetInBy: letInBy, Device: device, Made: now, Seen: now, Until: until}
	if err := tx.Put(s.item(p.Unit, key)); err != nil {
		return SignedIn{}, err
	}
	who, err := a.whoOf(tx, p, s, key)
	if err != nil {
		return SignedIn{}, err
	}
	return SignedIn{Token: token, Who: who}, a.note(tx, Event{Unit: p.Unit, Kind: SignIn, What: string(m)}, who, from)
}

// whoOf is the person of a session, as she is now.
func (a *Access) whoOf(v View, p *account, s *session, key string) (*Who, error) {
	looks, err := a.openLooks(v, p.Name)
	return &Who{
		Kind: APerson, Name: p.Name, Shown: p.Shown, Unit: p.Unit, Roles: p.Roles, Looks: looks, Method: s.Method, LetInBy: s.LetInBy,
		Session: idOf(key), Device: idOf(s.Device), Until: s.Until,
	}, err
}

// Session is who has a token; ErrNoSession when it is of none that is open.
func (a *Access) Session(ctx context.Context, token string) (who *Who, err error) {
	who, touch, err := a.seen(ctx, token)
	if err != nil || !touch {
		return who, err
	}
	key, _ := keyOf(token) // it was one
	err = a.write(ctx, func(tx Tx) error {
		var s *session
		if who, touch, err = a.session(tx, key); err != nil {
			return err // it ended meanwhile
		}
		if s, _, err = sessionOf(tx, key); err != nil {
			return err
		}
		s.Seen = a.Now()
		return tx.Put(s.item(who.Unit, key))
	})
	if err != nil {
		return nil, err
	}
	return who, nil
}

// Glance is Session for a page that asks by itself: it is no use of the session, which ends
// when nobody uses it for Limits.Idle, however often a page that was left open looks.
func (a *Access) Glance(ctx context.Context, token string) (who *Who, err error) {
	who, _, err = a.seen(ctx, token)
	return who, err
}

// seen is who has a token, and whether its last use is to be kept anew.
func (a *Access) seen(ctx context.Context, token string) (who *Who, touch bool, err error) {
	key, ok := keyOf(token)
	if !ok {
		return nil, false, ErrNoSession
	}
	err = a.read(ctx, func(v View) error {
		who, touch, err = a.session(v, key)
		return err
	})
	return who, touch, err
}

func sessionOf(v View, key string) (*session, bool, error) {
	item, found, err := v.Get(kindSession, key)
	if err != nil || !found {
		return nil, false, err
	}
	s := &session{}
	return s, true, decode(item.Body, s)
}

// session is who has an open session, and whether its last use is to be kept anew.
func (a *Access) session(v View, key string) (*Who, bool, error) {
	s, found, err := sessionOf(v, key)
	if err != nil {
		return nil, false, err
	}
	now := a.Now()
	if !found || s.over(now, a.Limits.Idle) {
		return nil, false, ErrNoSession
	}
	p, err := person(v, s.Person)
	if err != nil {
		return nil, false, err
	}
	if p == nil || p.Locked {
		return nil, false, ErrNoSession
	}
	who, err := a.whoOf(v, p, s, key)
	return who, now.Sub(s.Seen) >= seenEvery, err
}

// SignOut ends a session. One that has ended is no error.
func (a *Access) SignOut(ctx context.Context, from Origin) error {
	key, ok := keyOf(from.Session)
	if !ok {
		return nil
	}
	return a.write(ctx, func(tx Tx) error {
		who, _, err := a.session(tx, key)
		if err == ErrNoSession {
			return tx.Remove(kindSession, key)
		}
		if err != nil {
			return err
		}
		if err := tx.Remove(kindSession, key); err != nil {
			return err
		}
		return a.note(tx, Event{Unit: who.Unit, Kind: SignOut}, who, from)
	})
}

// Sessions are the open sessions of a person, the latest first: her own, or those of
// somebody that she keeps.
func (a *Access) Sessions(ctx context.Context, by *Who, name string) (out []SessionInfo, err error) {
	err = a.read(ctx, func(v View) error {
		p, err := person(v, name)
		if err != nil {
			return err
		}
		if p == nil || !by.Owns(name) && !by.May(p.Unit, ManagePeople) {
			return ErrNotAllowed
		}
		items, err := v.List(kindSession, name)
		if err != nil {
			return err
		}
		now := a.Now()
		for _, item := range items {
			var s session
			if err := decode(item.Body, &s); err != nil {
				return err
			}
			if s.over(now, a.Limits.Idle) {
				continue
			}
			id := idOf(item.Key)
			out = append(out, SessionInfo{id, s.Method, idOf(s.Device), s.Made, s.Seen, s.Until, id == by.Session})
		}
		slices.SortFunc(out, func(x, y SessionInfo) int { return y.Seen.Compare(x.Seen) })
		return nil
	})
	return out, err
}

// Owns says whether somebody is that person and may change the account.
func (w *Who) Owns(name string) bool {
	return w != nil && w.Kind == APerson && w.Name == name && w.Method != ByLetIn
}

// End ends one session of a person by its id, or all but the caller's own where the id is
// empty.
func (a *Access) End(ctx context.Context, by *Who, from Origin, name, id string) error {
	return a.decide(ctx, func(tx Tx) (refusal, err error) {
		p, err := person(tx, name)
		if err != nil {
			return nil, err
		}
		if p == nil || !by.Owns(name) && !by.May(p.Unit, ManagePeople) {
			where := unitOf(by, a.Home)
			if p != nil {
				where = p.Unit
			}
			return ErrNotAllowed, a.note(tx, Event{Unit: where, Kind: Refused, What: string(ManagePeople)}, by, from)
		}
		items, err := tx.List(kindSession, name)
		if err != nil {
			return nil, err
		}
		for _, item := range items {
			this := idOf(item.Key)
			if id != "" && this != id || id == "" && this == by.Session {
				continue
			}
			if err := tx.Remove(kindSession, item.Key); err != nil {
				return nil, err
			}
		}
		return nil, a.note(tx, Event{Unit: p.Unit, Kind: SessionEnded, Whom: name}, by, from)
	})
}

// endAll ends every session, PIN, link and code of a person.
func (a *Access) endAll(tx Tx, name string) error {
	for _, kind := range []string{kindSession, kindLink, kindCode} {
		items, err := tx.List(kind, name)
		if err != nil {
			return err
		}
		for _, item := range items {
			if err := tx.Remove(kind, item.Key); err != nil {
				return err
			}
		}
	}
	return forgetPINs(tx, name)
}

// SignedIn is a session just made. Token, and Device where it is not empty, go into cookies
// and nowhere else.
type SignedIn struct {
	Token  string
	Device string // a new device's token; empty: the one it has stays
	Who    *Who
}
