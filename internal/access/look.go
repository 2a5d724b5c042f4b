package access

import (
	"context"
	"slices"
	"strings"
	"unicode/utf8"
)

// Lengths of a reason, in characters.
const (
	shortestReason = 10
	longestReason  = 500
)

// LookBeyond lets somebody read another unit's infants for a limited time. The reason is
// kept for that unit's keeper and hers, outside the trace, which holds its SHA-256. From the
// next request on, Session says so.
func (a *Access) LookBeyond(ctx context.Context, by *Who, from Origin, unit, reason string) (look Look, err error) {
	reason = strings.Join(strings.Fields(reason), " ")
	if n := utf8.RuneCountInString(reason); n < shortestReason || n > longestReason || !utf8.ValidString(reason) {
		return look, &Unfit{"reason", "10 to 500 characters that say why"}
	}
	units, err := a.TraceUnits(ctx)
	if err != nil {
		return look, err
	}
	if by == nil || by.Kind != APerson || len(by.Units(LookBeyond)) == 0 || !slices.Contains(units, unit) {
		return look, a.refused(ctx, by, from, unit, LookBeyond)
	}
	err = a.write(ctx, func(tx Tx) error {
		now := a.Now()
		_, key := newSecret(a.random)
		look = Look{ID: idOf(key), Person: by.Name, Unit: unit, Reason: reason, From: now, Until: now.Add(a.Limits.Look)}
		item := Item{Unit: unit, Kind: kindLook, Key: look.ID, Owner: by.Name, Body: encode(look)}
		if err := tx.Put(item); err != nil {
			return err
		}
		for _, u := range slices.Compact([]string{unit, by.Unit}) {
			e := Event{Unit: u, Kind: LookedBeyond, What: look.ID, Detail: unit + " sha256:" + digest([]byte(reason))}
			if err := a.note(tx, e, by, from); err != nil {
				return err
			}
		}
		return nil
	})
	return look, err
}

// Looks are the looks beyond their unit, the latest first: into a unit, or by its people,
// for who may read its trace.
func (a *Access) Looks(ctx context.Context, by *Who, from Origin, unit string) (out []Look, err error) {
	if err := a.Allow(ctx, by, from, unit, ReadTrace); err != nil {
		return nil, err
	}
	err = a.read(ctx, func(v View) error {
		items, err := v.List(kindLook, "")
		if err != nil {
			return err
		}
		for _, item := range items {
			var l Look
			if err := decode(item.Body, &l); err != nil {
				return err
			}
			p, err := person(v, l.Person)
			if err != nil {
				return err
			}
			if l.Unit == unit || p != nil && p.Unit == unit {
				out = append(out, l)
			}
		}
		slices.SortFunc(out, func(x, y Look) int { return y.From.Compare(x.From) })
		return nil
	})
	return out, err
}

// openLooks are those of a person that are open now. One that is damaged lets look at nothing,
// and keeps nobody from her own unit.
func (a *Access) openLooks(v View, name string) (out []Look, err error) {
	items, err := v.List(kindLook, name)
	if err != nil {
		return nil, err
	}
	now := a.Now()
	for _, item := range items {
		var l Look
		if decode(item.Body, &l) == nil && !now.Before(l.From) && now.Before(l.Until) {
			out = append(out, l)
		}
	}
	return out, nil
}
