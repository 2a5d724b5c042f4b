package access

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"

	"cotline/internal/journal"
)

// lasting are the kinds of items that a restored record takes along; what lets somebody in
// for a while is not.
var lasting = []string{kindPerson, kindSubject, kindProgram, kindDevice, kindLook}

// Restore takes what is whole of one store into an empty other: accounts, programs, devices,
// looks, and each trace as far as its chain holds. What it could not take it tells.
func Restore(ctx context.Context, from, into Store) (findings []journal.Finding, err error) {
	damaged := func(what string, err error) error {
		if err == nil || !errors.Is(err, journal.ErrDamaged) {
			return err
		}
		findings = append(findings, journal.Finding{What: what + " cannot be read"})
		return nil
	}
	err = from.Read(ctx, func(v View) error {
		return into.Write(ctx, func(tx Tx) error {
			for _, kind := range lasting {
				items, err := v.List(kind, "")
				if err = damaged("what is kept of kind "+kind, err); err != nil {
					return err
				}
				for _, item := range items {
					if !isWhole(item) {
						findings = append(findings, journal.Finding{What: "something kept of kind " + kind + " is not what was kept"})
						continue
					}
					if err := tx.Put(item); err != nil {
						return err
					}
				}
			}
			units, err := v.TraceUnits()
			if err = damaged("the list of traces", err); err != nil {
				return err
			}
			for _, unit := range units {
				lost, err := restoreTrace(v, tx, unit)
				findings = append(findings, lost...)
				if err = damaged("a trace", err); err != nil {
					return err
				}
			}
			return nil
		})
	})
	return findings, err
}

// isWhole says whether an item can be what was kept.
func isWhole(item Item) bool {
	var err error
	switch item.Kind {
	case kindPerson:
		_, err = accountOf(item)
	case kindProgram:
		_, err = registrationOf(item)
	}
	return err == nil && json.Valid(item.Body)
}

// restoreTrace takes the rows of a trace up to the first that is not what was kept.
func restoreTrace(v View, tx Tx, unit string) (findings []journal.Finding, err error) {
	var head journal.Head
	left, end := 0, int64(0)
	err = v.Trace(unit, 0, func(row Traced) error {
		end = row.Position
		if left > 0 || row.Position != head.Position+1 || row.Chain != head.Chain.Next(row.Text) {
			left++
			return nil
		}
		head = journal.Head{Position: row.Position, Chain: row.Chain}
		return tx.AppendTrace(unit, row)
	})
	mark, wrong := v.TraceMark(unit)
	if err == nil {
		err = wrong
	}
	if mark.State == journal.Marked && mark.Position > end {
		findings = append(findings, rowsGone(end, mark.Position))
	}
	if left > 0 {
		findings = append(findings, journal.Finding{
			What: fmt.Sprintf("the trace holds up to position %d; %d rows after it were left", head.Position, left)})
	}
	return findings, err
}
