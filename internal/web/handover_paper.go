package web

import (
	"context"

	"cotline/handover"
	"cotline/internal/access"
)

// Paper is a unit as it stands, for paper that this machine keeps ready. It is traced as
// printed by the machine.
func (s *Server) Paper(ctx context.Context, unit string) (*handover.Handover, handover.Ward, error) {
	l := s.units[unit]
	if l == nil {
		return nil, handover.Ward{}, errNotThere
	}
	snap, err := l.Look(ctx)
	if err != nil {
		return nil, handover.Ward{}, err
	}
	err = s.Access.Note(
		ctx,
		access.Console(),
		access.Origin{},
		access.Event{Unit: unit, Kind: access.Printed, What: "hourly", Whole: true},
	)
	return snap.Ward(), handover.Ward{Policy: snap.policy}, err
}
