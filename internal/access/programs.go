package access

import (
	"context"
	"slices"
)

// AddProgram registers a program, or puts its registration in place of the one before, which
// ends its tokens.
func (a *Access) AddProgram(ctx context.Context, by *Who, from Origin, p Program) error {
	if err := p.fit(); err != nil {
		return err
	}
	scopes, err := ParseScopes(p.Scopes)
	if err != nil {
		return err
	}
	p.Scopes = scopes.String()
	if err := a.allowAll(ctx, by, from, p.Units, ManagePrograms); err != nil {
		return err
	}
	return a.write(ctx, func(tx Tx) error {
		had, err := program(tx, p.ID)
		if err != nil {
			return err
		}
		for _, unit := range unitsOf(had) {
			if !by.May(unit, ManagePrograms) {
				return ErrTaken
			}
		}
		p.Made = a.Now()
		if err := endTokens(tx, p.ID); err != nil {
			return err
		}
		if err := tx.Put(p.item()); err != nil {
			return err
		}
		return a.note(tx, Event{Unit: p.Units[0], Kind: Programs, What: "add", Whom: p.ID, Detail: p.Scopes}, by, from)
	})
}

// LockProgram locks a program, which ends its tokens, or opens it again.
func (a *Access) LockProgram(ctx context.Context, by *Who, from Origin, id string, lock bool) error {
	return a.write(ctx, func(tx Tx) error {
		p, err := program(tx, id)
		if err != nil || p == nil || !by.May(p.Units[0], ManagePrograms) {
			return firstOf(err, ErrNoPerson)
		}
		p.Locked = lock
		what := "open"
		if lock {
			what = "lock"
			if err := endTokens(tx, id); err != nil {
				return err
			}
		}
		if err := tx.Put(p.item()); err != nil {
			return err
		}
		return a.note(tx, Event{Unit: p.Units[0], Kind: Programs, What: what, Whom: id}, by, from)
	})
}

// Programs are the registrations of a unit. Damaged are the client_ids of those that cannot be
// read, in the unit that each was kept for first.
func (a *Access) Programs(ctx context.Context, by *Who, from Origin, unit string) (out []Program, damaged []string, err error) {
	if err := a.Allow(ctx, by, from, unit, ManagePrograms); err != nil {
		return nil, nil, err
	}
	err = a.read(ctx, func(v View) error {
		out, damaged = nil, nil
		items, err := v.List(kindProgram, "")
		if err != nil {
			return err
		}
		for _, item := range items {
			p, err := registrationOf(item)
			switch {
			case err != nil && item.Unit == unit:
				damaged = append(damaged, item.Key)
			case err == nil && slices.Contains(p.Units, unit):
				out = append(out, *p)
			}
		}
		return nil
	})
	return out, damaged, err
}

func endTokens(tx Tx, id string) error {
	items, err := tx.List(kindToken, id)
	if err != nil {
		return err
	}
	for _, item := range items {
		if err := tx.Remove(kindToken, item.Key); err != nil {
			return err
		}
	}
	return nil
}
