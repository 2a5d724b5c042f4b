package access

import (
	"context"
	"encoding/base32"
	"io"
	"strings"
	"time"
)

// code is what a colleague gives to somebody who forgot hers; there is one of a person.
type code struct {
	Hash  string    `json:"hash"` // PHC
	By    string    `json:"by"`
	Until time.Time `json:"until"` // of the session
}

// codeBytes are 40 bits, 8 characters in base 32 to read out and to type. It is good for
// minutes and a few tries, and hashed as a password is (ASVS 5.0, 6.5.2 and 6.5.4).
const codeBytes = 5

// LetIn makes the code by which a colleague who forgot her password gets in for one shift:
// until a moment at most Limits.Shift away. It is told to her, once, by who is signed in and
// has the right to; never for a keeper, never for oneself, and never by who was let in.
func (a *Access) LetIn(ctx context.Context, by *Who, from Origin, typed string, until time.Time) (text string, err error) {
	name, _ := cleanName(typed)
	now := a.Now()
	if most := now.Add(a.Limits.Shift); until.IsZero() || until.After(most) {
		until = most
	}
	var b [codeBytes]byte
	a.ready()
	if _, err := io.ReadFull(a.random, b[:]); err != nil {
		return "", err
	}
	text = base32.StdEncoding.EncodeToString(b[:])
	hash, err := a.made(ctx, text)
	if err != nil {
		return "", err
	}
	err = a.decide(ctx, func(tx Tx) (refusal, err error) {
		p, err := person(tx, name)
		if err != nil {
			return nil, err
		}
		if p == nil || p.Locked || by == nil || by.Kind != APerson || !by.May(p.Unit, LetIn) || p.Name == by.Name ||
			(&Who{Roles: p.Roles}).Is(Keeper) {
			return ErrNotAllowed, a.note(tx, Event{Unit: unitOf(by, a.Home), Kind: Refused, What: string(LetIn)}, by, from)
		}
		item := Item{Unit: p.Unit, Kind: kindCode, Key: p.Name, Owner: p.Name, Until: now.Add(a.Limits.Code),
			Body: encode(code{hash, by.Name, until})}
		if err := tx.Put(item); err != nil {
			return nil, err
		}
		return nil, a.note(tx, Event{Unit: p.Unit, Kind: GaveCode, Whom: p.Name}, by, from)
	})
	if err != nil {
		return "", err
	}
	return text, nil
}

// ByCode makes the session of somebody who was let in by a colleague. The code is used up.
// It makes no device known, and lets nothing of the account be changed.
func (a *Access) ByCode(ctx context.Context, from Origin, typed, text string) (in SignedIn, err error) {
	a.ready()
	name, _ := cleanName(typed)
	key := codeKey(name, from)
	if wait := a.guesses.take(key, from, false); wait > 0 {
		return in, a.limited(ctx, from, key, nil, ByLetIn, wait)
	}
	text = strings.ToUpper(strings.NewReplacer(" ", "", "-", "").Replace(text[:min(len(text), 64)]))
	var c code
	if err := a.read(ctx, func(v View) (err error) { c, err = a.codeOf(v, name); return err }); err != nil {
		return in, err
	}
	right, err := a.holds(ctx, c.Hash, text)
	if err != nil {
		return in, err
	}
	err = a.decide(ctx, func(tx Tx) (refusal, err error) {
		p, err := person(tx, name)
		if err != nil {
			return nil, err
		}
		now, err := a.codeOf(tx, name)
		if err != nil {
			return nil, err
		}
		if !right || now.Hash != c.Hash || p == nil || p.Locked || !a.Now().Before(c.Until) {
			return a.refuse(tx, p, from, ByLetIn, true)
		}
		if err := tx.Remove(kindCode, name); err != nil {
			return nil, err
		}
		in, err = a.begin(tx, p, from, ByLetIn, c.By, "", c.Until)
		return nil, err
	})
	return in, err
}

// codeOf is the code of a person that still holds; the zero code when there is none.
func (a *Access) codeOf(v View, name string) (c code, err error) {
	item, found, err := v.Get(kindCode, name)
	if err != nil || !found || !a.Now().Before(item.Until) {
		return c, err
	}
	return c, decode(item.Body, &c)
}
