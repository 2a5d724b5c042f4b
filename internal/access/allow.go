package access

import "context"

// Allow is nil when somebody may do something in a unit. Else what she tried is traced, and
// it is ErrNotAllowed; to her the unit and what is in it are not there. Nobody, who is nil,
// is ErrNoSession and not traced: a stranger could fill the trace.
func (a *Access) Allow(ctx context.Context, who *Who, from Origin, unit string, p Permission) error {
	if who == nil || who.Kind == Nobody {
		return ErrNoSession
	}
	if who.May(unit, p) {
		return nil
	}
	return a.refused(ctx, who, from, unit, p)
}

// refused traces a refusal: in the unit where it was tried, so that its keeper sees it, or at
// home where there is no such unit, so that nobody makes units by asking for them.
func (a *Access) refused(ctx context.Context, who *Who, from Origin, unit string, p Permission) error {
	err := a.write(ctx, func(tx Tx) error {
		where := unit
		head, err := tx.TraceHead(unit)
		if err != nil {
			return err
		}
		if head.Position == 0 {
			where = unitOf(who, a.Home)
		}
		return a.note(tx, Event{Unit: where, Kind: Refused, What: string(p)}, who, from)
	})
	return firstOf(err, ErrNotAllowed)
}

func (a *Access) allowAll(ctx context.Context, who *Who, from Origin, units []string, p Permission) error {
	for _, unit := range units {
		if err := a.Allow(ctx, who, from, unit, p); err != nil {
			return err
		}
	}
	return nil
}
