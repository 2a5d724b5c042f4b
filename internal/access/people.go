package access

import (
	"context"
	"maps"
	"slices"
	"strings"
)

// Anyone says whether there are people. Until there are, a server listens on loopback only.
func (a *Access) Anyone(ctx context.Context) (yes bool, err error) {
	err = a.read(ctx, func(v View) error {
		all, err := v.List(kindPerson, "")
		yes = len(all) > 0
		return err
	})
	return yes, err
}

// People are the accounts that somebody keeps: those of units in which she may, or whose
// home they are. Damaged are the names of those that cannot be read.
func (a *Access) People(ctx context.Context, by *Who) (out []Person, damaged []string, err error) {
	err = a.read(ctx, func(v View) error {
		out, damaged = nil, nil
		items, err := v.List(kindPerson, "")
		if err != nil {
			return err
		}
		for _, item := range items {
			p, err := accountOf(item)
			if err != nil {
				if by.May(item.Unit, ManagePeople) {
					damaged = append(damaged, item.Key)
				}
				continue
			}
			if p.Provider = p.Subject != ""; keeps(by, &p.Person) {
				out = append(out, p.Person)
			}
		}
		return nil
	})
	return out, damaged, err
}

// keeps says whether somebody keeps a person: at home, or in a unit where she has a role.
func keeps(by *Who, p *Person) bool {
	return by.May(p.Unit, ManagePeople) ||
		slices.ContainsFunc(slices.Collect(maps.Keys(p.Roles)), func(unit string) bool { return by.May(unit, ManagePeople) })
}

// AddPerson makes an account and the link by which its owner sets her password: nobody else
// ever knows it. The caller must keep people in every unit in which a role is given.
func (a *Access) AddPerson(ctx context.Context, by *Who, from Origin, p Person) (link string, err error) {
	p.Name, _ = cleanName(p.Name)
	p.Shown = strings.TrimSpace(p.Shown)
	if err := p.fit(); err != nil {
		return "", err
	}
	units := append(slices.Collect(maps.Keys(p.Roles)), p.Unit)
	if err := a.allowAll(ctx, by, from, units, ManagePeople); err != nil {
		return "", err
	}
	err = a.write(ctx, func(tx Tx) error {
		if had, err := person(tx, p.Name); err != nil || had != nil {
			return firstOf(err, ErrTaken)
		}
		p.Made, p.Locked = a.Now(), false
		q := &account{Person: p}
		if err := tx.Put(q.item()); err != nil {
			return err
		}
		if link, err = a.newLink(tx, q); err != nil {
			return err
		}
		slices.Sort(units)
		for _, unit := range slices.Compact(units) {
			e := Event{Unit: unit, Kind: People, What: "add", Whom: p.Name, Detail: RolesText(p.Roles)}
			if err := a.note(tx, e, by, from); err != nil {
				return err
			}
		}
		return nil
	})
	return link, err
}

// RolesText tells roles by unit on one line, empty where there are none.
func RolesText(roles map[string][]Role) string {
	var out []string
	for _, unit := range slices.Sorted(maps.Keys(roles)) {
		for _, r := range roles[unit] {
			out = append(out, unit+"/"+string(r))
		}
	}
	return strings.Join(out, " ")
}

// SetRoles gives a person the roles of one unit in place of those before. A person who
// becomes keeper loses her PINs. The last keeper of a unit can cease to be one: the console
// makes another.
func (a *Access) SetRoles(ctx context.Context, by *Who, from Origin, name, unit string, roles []Role) error {
	if err := fitRoles(map[string][]Role{unit: roles}); err != nil {
		return err
	}
	if err := a.allowAll(ctx, by, from, []string{unit}, ManagePeople); err != nil {
		return err
	}
	return a.change(ctx, by, from, name, "roles", unit, func(tx Tx, p *account) (string, error) {
		if p.Roles == nil {
			p.Roles = map[string][]Role{}
		}
		if p.Roles[unit] = roles; len(roles) == 0 {
			delete(p.Roles, unit)
		}
		if slices.Contains(roles, Keeper) {
			if err := forgetPINs(tx, p.Name); err != nil {
				return "", err
			}
		}
		return RolesText(map[string][]Role{unit: roles}), nil
	})
}

// Lock locks an account, or opens it again. A lock ends every session and every PIN.
func (a *Access) Lock(ctx context.Context, by *Who, from Origin, name string, lock bool) error {
	what := "lock"
	if !lock {
		what = "open"
	}
	return a.change(ctx, by, from, name, what, "", func(tx Tx, p *account) (string, error) {
		p.Locked, p.Wrong = lock, 0
		if !lock {
			return "", nil
		}
		return "", a.endAll(tx, p.Name)
	})
}

// Reset takes a person's password away, ends every session and PIN, and makes the link by
// which she sets a new one. Who resets never knows it.
func (a *Access) Reset(ctx context.Context, by *Who, from Origin, name string) (link string, err error) {
	err = a.change(ctx, by, from, name, "reset", "", func(tx Tx, p *account) (string, error) {
		p.Password, p.Wrong = "", 0
		if err := a.endAll(tx, p.Name); err != nil {
			return "", err
		}
		var err error
		link, err = a.newLink(tx, p)
		return "", err
	})
	return link, err
}

// change changes an account by somebody who keeps it; unit is where, or empty: at home.
func (a *Access) change(
	ctx context.Context,
	by *Who,
	from Origin,
	typed, what, unit string,
	do func(Tx, *account) (string, error),
) error {
	name, ok := cleanName(typed)
	return a.decide(ctx, func(tx Tx) (refusal, err error) {
		p, err := person(tx, name)
		if err != nil {
			return nil, err
		}
		if !ok || p == nil {
			return ErrNoPerson, nil
		}
		where := unit
		if where == "" {
			where = p.Unit
		}
		if !by.May(where, ManagePeople) {
			return ErrNotAllowed, a.note(tx, Event{Unit: where, Kind: Refused, What: string(ManagePeople), Whom: name}, by, from)
		}
		detail, err := do(tx, p)
		if err != nil {
			return nil, err
		}
		if err := tx.Put(p.item()); err != nil {
			return nil, err
		}
		return nil, a.note(tx, Event{Unit: where, Kind: People, What: what, Whom: name, Detail: detail}, by, from)
	})
}
