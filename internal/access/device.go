package access

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"
	"time"
)

// device is a browser on which somebody signed in, under the hash of its cookie's token.
type device struct {
	Seats map[string]*seat `json:"seats"` // by person
}

// seat is a person on a device.
type seat struct {
	Proven time.Time `json:"proven"` // when she last signed in here by password or elsewhere
	PIN    string    `json:"pin,omitempty"`
	Wrong  int       `json:"wrong,omitempty"` // PINs one after the other
}

func (a *Access) deviceItem(unit, key string, d *device) Item {
	return Item{Unit: unit, Kind: kindDevice, Key: key, Until: a.Now().Add(a.Limits.Device), Body: encode(d)}
}

// deviceOf is the device of a cookie; nil when there is none that is known, or what is kept of
// it is damaged: a password makes it known anew.
func (a *Access) deviceOf(v View, from Origin) (d *device, key string, err error) {
	key, ok := keyOf(from.Device)
	if !ok {
		return nil, "", nil
	}
	item, found, err := v.Get(kindDevice, key)
	if err != nil || !found || !a.Now().Before(item.Until) {
		return nil, "", err
	}
	if d = (&device{}); decode(item.Body, d) != nil || d.Seats == nil {
		return nil, "", nil
	}
	return d, key, nil
}

// knows says whether a person has signed in on a device before.
func (a *Access) knows(v View, from Origin, name string) (bool, error) {
	d, _, err := a.deviceOf(v, from)
	return d != nil && d.Seats[name] != nil, err
}

// seat gives a person who was proven a place on the device, which it makes where the browser
// has none. The token is that of a new one.
func (a *Access) seat(tx Tx, p *account, from Origin) (key, token string, err error) {
	d, key, err := a.deviceOf(tx, from)
	if err != nil {
		return "", "", err
	}
	if d == nil {
		token, key = newSecret(a.random)
		d = &device{Seats: map[string]*seat{}}
	}
	s := d.Seats[p.Name]
	if s == nil {
		s = &seat{}
		d.Seats[p.Name] = s
	}
	s.Proven, s.Wrong = a.Now(), 0
	return key, token, tx.Put(a.deviceItem(p.Unit, key, d))
}

// Digits of a PIN, this project's own choice: with five tries, one in 200,000 is guessed.
const (
	shortestPIN = 6
	longestPIN  = 12
)

func fitPIN(pin string) error {
	for _, r := range pin {
		if r < '0' || r > '9' {
			return &Unfit{"PIN", "digits"}
		}
	}
	if n := len(pin); n < shortestPIN || n > longestPIN {
		return &Unfit{"PIN", fmt.Sprintf("%d to %d digits", shortestPIN, longestPIN)}
	}
	if differing(pin) < 3 {
		return &Unfit{"PIN", "no row and no repetition, as 123456 or 111111"}
	}
	return nil
}

// SetPIN gives a person a PIN for the device she is on, by which she changes over to herself
// there. It asks for her password, or for a sign-in at the provider just before, and is never
// for a keeper, nor for who was let in.
func (a *Access) SetPIN(ctx context.Context, who *Who, from Origin, password, pin string) error {
	if !who.Owns(nameOf(who)) || who.Is(Keeper) {
		return a.refused(ctx, who, from, unitOf(who, a.Home), OwnAccount)
	}
	if err := fitPIN(pin); err != nil {
		return err
	}
	if who.Method == ByElsewhere {
		if begun := who.Until.Add(-a.Limits.Absolute); a.Now().Sub(begun) > stateFor {
			return &Unfit{"PIN", "within ten minutes of signing in: sign in at the hospital's once more"}
		}
	} else if _, err := a.again(ctx, who, from, password); err != nil {
		return err
	}
	hash, err := a.made(ctx, pin)
	if err != nil {
		return err
	}
	return a.write(ctx, func(tx Tx) error {
		d, key, err := a.deviceOf(tx, from)
		if err != nil {
			return err
		}
		if d == nil || d.Seats[who.Name] == nil || idOf(key) != who.Device {
			return ErrRefused
		}
		s := d.Seats[who.Name]
		s.PIN, s.Wrong, s.Proven = hash, 0, a.Now()
		if err := tx.Put(a.deviceItem(who.Unit, key, d)); err != nil {
			return err
		}
		return a.note(tx, Event{Unit: who.Unit, Kind: PINSet}, who, from)
	})
}

func nameOf(w *Who) string {
	if w == nil {
		return ""
	}
	return w.Name
}

func unitOf(w *Who, home string) string {
	if w == nil || w.Unit == "" {
		return home
	}
	return w.Unit
}

// OnDevice are the people who can change over by PIN on a device now, by shown name.
func (a *Access) OnDevice(ctx context.Context, from Origin) (out []Person, err error) {
	err = a.read(ctx, func(v View) error {
		out = nil
		d, _, err := a.deviceOf(v, from)
		if err != nil || d == nil {
			return err
		}
		for _, name := range slices.Sorted(maps.Keys(d.Seats)) {
			p, err := person(v, name)
			switch {
			case errors.Is(err, ErrDamaged): // she signs in no more; the others do
				continue
			case err != nil:
				return err
			}
			if p != nil && a.canChangeOver(p, d.Seats[name]) {
				out = append(out, p.Person)
			}
		}
		return nil
	})
	return out, err
}

// canChangeOver says whether a PIN may be tried.
func (a *Access) canChangeOver(p *account, s *seat) bool {
	w := Who{Roles: p.Roles}
	return s.PIN != "" && s.Wrong < a.Limits.PINTries && !p.Locked && !w.Is(Keeper) && a.Now().Sub(s.Proven) < a.Limits.PIN
}

// ChangeOver makes a session of another person on a shared device, by the PIN that she set
// there within a shift after her password. After Limits.PINTries wrong ones it asks for the
// password. Each try is counted before the PIN is looked at, so that tries at once are as
// many as tries one after the other.
func (a *Access) ChangeOver(ctx context.Context, from Origin, typed, pin string) (in SignedIn, err error) {
	a.ready()
	name, _ := cleanName(typed)
	trusted := false // a token that is no device's is as good as none
	if err := a.read(ctx, func(v View) (err error) { trusted, err = a.knows(v, from, name); return err }); err != nil {
		return in, err
	}
	limit := "PIN of " + nameKey(name, from, trusted) // apart from passwords, which a PIN must not give tries for
	if wait := a.guesses.take(limit, from, trusted); wait > 0 {
		return in, a.limited(ctx, from, limit, nil, ByPIN, wait)
	}
	kept := ""
	if err := a.write(ctx, func(tx Tx) error {
		kept = ""
		d, key, err := a.deviceOf(tx, from)
		if err != nil || d == nil || d.Seats[name] == nil {
			return err
		}
		p, err := person(tx, name)
		if err != nil || p == nil || !a.canChangeOver(p, d.Seats[name]) {
			return err
		}
		kept = d.Seats[name].PIN
		d.Seats[name].Wrong++
		return tx.Put(a.deviceItem(p.Unit, key, d))
	}); err != nil {
		return in, err
	}
	if len(pin) > longestPIN {
		pin = "" // it is nobody's
	}
	right, err := a.holds(ctx, kept, pin)
	if err != nil {
		return in, err
	}
	err = a.decide(ctx, func(tx Tx) (refusal, err error) {
		p, err := person(tx, name)
		if err != nil {
			return nil, err
		}
		d, key, err := a.deviceOf(tx, from)
		if err != nil {
			return nil, err
		}
		if !right || p == nil || p.Locked || d == nil || d.Seats[name] == nil || d.Seats[name].PIN != kept {
			return a.refuse(tx, p, from, ByPIN, true)
		}
		d.Seats[name].Wrong = 0
		if err := tx.Put(a.deviceItem(p.Unit, key, d)); err != nil {
			return nil, err
		}
		in, err = a.begin(tx, p, from, ByPIN, "", key, d.Seats[name].Proven.Add(a.Limits.PIN))
		return nil, err
	})
	if err == nil {
		a.guesses.forget(limit)
	}
	return in, err
}

// forgetPINs takes a person's place on every device away.
func forgetPINs(tx Tx, name string) error {
	items, err := tx.List(kindDevice, "")
	if err != nil {
		return err
	}
	for _, item := range items {
		var d device
		if decode(item.Body, &d) != nil || d.Seats[name] == nil { // a damaged one is nobody's
			continue
		}
		delete(d.Seats, name)
		item.Body = encode(d)
		if err := tx.Put(item); err != nil {
			return err
		}
	}
	return nil
}
