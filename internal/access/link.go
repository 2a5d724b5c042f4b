package access

import (
	"context"
	"time"
)

// LinkPath is where a server answers links, the first keeper's too; the token follows.
const LinkPath = "/link/"

// link is a one-time way to set a password, under the hash of its token.
type link struct {
	Person string    `json:"person,omitempty"` // empty: whoever becomes the first keeper
	Made   time.Time `json:"made"`
}

// newLink makes the one link of a person; an earlier one is worth nothing then.
func (a *Access) newLink(tx Tx, p *account) (token string, err error) {
	name, unit := "", a.Home
	if p != nil {
		name, unit = p.Name, p.Unit
	}
	had, err := tx.List(kindLink, "")
	if err != nil {
		return "", err
	}
	for _, item := range had {
		if item.Owner == name {
			if err := tx.Remove(kindLink, item.Key); err != nil {
				return "", err
			}
		}
	}
	token, key := newSecret(a.random)
	now := a.Now()
	item := Item{Unit: unit, Kind: kindLink, Key: key, Owner: name, Until: now.Add(a.Limits.Link), Body: encode(link{name, now})}
	return token, tx.Put(item)
}

// taken is the link of a token that still holds; nil when there is none.
func (a *Access) taken(v View, token string) (*link, string, error) {
	key, ok := keyOf(token)
	if !ok {
		return nil, "", nil
	}
	item, found, err := v.Get(kindLink, key)
	if err != nil || !found || !a.Now().Before(item.Until) {
		return nil, "", err
	}
	l := &link{}
	return l, key, decode(item.Body, l)
}

// FirstKeeper makes the token of the link by which the first keeper makes her account, to be
// printed on the console. ErrNotFirst where there are people.
func (a *Access) FirstKeeper(ctx context.Context) (token string, err error) {
	err = a.write(ctx, func(tx Tx) error {
		all, err := tx.List(kindPerson, "")
		if err != nil || len(all) > 0 {
			return firstOf(err, ErrNotFirst)
		}
		token, err = a.newLink(tx, nil)
		return err
	})
	return token, err
}

// LinkFor is for whom a link is: a person, or first for whoever becomes the first keeper.
// ErrRefused when the link does not hold (any more). It uses nothing up.
func (a *Access) LinkFor(ctx context.Context, token string) (p Person, first bool, err error) {
	err = a.read(ctx, func(v View) error {
		l, _, err := a.taken(v, token)
		if err != nil || l == nil {
			return firstOf(err, ErrRefused)
		}
		if l.Person == "" {
			first = true
			return nil
		}
		q, err := person(v, l.Person)
		if err != nil || q == nil || q.Locked {
			return firstOf(err, ErrRefused)
		}
		p = q.Person
		return nil
	})
	return p, first, err
}

// BecomeKeeper makes the first keeper's account of the unit Home, by the link, once.
func (a *Access) BecomeKeeper(ctx context.Context, from Origin, token, name, shown, password string) error {
	name, _ = cleanName(name)
	p := &account{Person: Person{Name: name, Shown: shown, Unit: a.Home, Roles: map[string][]Role{a.Home: {Keeper}}, Made: a.Now()}}
	if err := p.fit(); err != nil {
		return err
	}
	if err := fitPassword(password, p.Name, p.Shown, p.Unit); err != nil {
		return err
	}
	return a.byLink(ctx, from, token, password, func(tx Tx, l *link) (*account, error) {
		all, err := tx.List(kindPerson, "")
		if err != nil || l.Person != "" || len(all) > 0 {
			return nil, firstOf(err, ErrRefused)
		}
		return p, nil
	})
}

// SetPassword sets a person's password by her link, once, and ends every session of hers.
func (a *Access) SetPassword(ctx context.Context, from Origin, token, password string) error {
	p, first, err := a.LinkFor(ctx, token)
	if err != nil || first {
		return firstOf(err, ErrRefused)
	}
	if err := fitPassword(password, p.Name, p.Shown, p.Unit); err != nil {
		return err
	}
	return a.byLink(ctx, from, token, password, func(tx Tx, l *link) (*account, error) {
		p, err := person(tx, l.Person)
		if err != nil || p == nil || p.Locked {
			return nil, firstOf(err, ErrRefused)
		}
		return p, a.endAll(tx, p.Name)
	})
}

// byLink uses a link up and gives whom it is for a password.
func (a *Access) byLink(ctx context.Context, from Origin, token, password string, whose func(Tx, *link) (*account, error)) error {
	hash, err := a.made(ctx, password)
	if err != nil {
		return err
	}
	return a.write(ctx, func(tx Tx) error {
		l, key, err := a.taken(tx, token)
		if err != nil || l == nil {
			return firstOf(err, ErrRefused)
		}
		p, err := whose(tx, l)
		if err != nil {
			return err
		}
		p.Password, p.Wrong = hash, 0
		if err := tx.Remove(kindLink, key); err != nil {
			return err
		}
		if err := tx.Put(p.item()); err != nil {
			return err
		}
		return a.note(tx, Event{Unit: p.Unit, Kind: PasswordSet, What: "link", Whom: p.Name}, nil, from)
	})
}

// ChangePassword changes one's own password, which asks for the one before, and ends every
// other session and every PIN. The device that she is on stays known.
func (a *Access) ChangePassword(ctx context.Context, who *Who, from Origin, before, password string) error {
	if !who.Owns(nameOf(who)) {
		return a.refused(ctx, who, from, unitOf(who, a.Home), OwnAccount)
	}
	if err := fitPassword(password, who.Name, who.Shown, who.Unit); err != nil {
		return err
	}
	kept, err := a.again(ctx, who, from, before)
	if err != nil {
		return err
	}
	hash, err := a.made(ctx, password)
	if err != nil {
		return err
	}
	own, _ := keyOf(from.Session)
	return a.write(ctx, func(tx Tx) error {
		p, err := person(tx, who.Name)
		if err != nil || p == nil || p.Locked || p.Password != kept { // a keeper may have reset it meanwhile
			return firstOf(err, ErrRefused)
		}
		s, found, err := sessionOf(tx, own)
		if err != nil {
			return err
		}
		if err := a.endAll(tx, p.Name); err != nil {
			return err
		}
		if found && s.Person == p.Name {
			if err := tx.Put(s.item(p.Unit, own)); err != nil {
				return err
			}
			if d, key, err := a.deviceOf(tx, from); err != nil {
				return err
			} else if d != nil && key == s.Device {
				d.Seats[p.Name] = &seat{Proven: a.Now()}
				if err := tx.Put(a.deviceItem(p.Unit, key, d)); err != nil {
					return err
				}
			}
		}
		p.Password, p.Wrong = hash, 0
		if err := tx.Put(p.item()); err != nil {
			return err
		}
		return a.note(tx, Event{Unit: p.Unit, Kind: PasswordSet, What: "change", Whom: p.Name}, who, from)
	})
}
