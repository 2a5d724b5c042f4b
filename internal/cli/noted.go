package cli

import (
	"context"
	"errors"
	"slices"
	"strings"
	"time"

	"cotline/handover/entry"
	"cotline/internal/access"
	"cotline/internal/journal"
	"cotline/internal/store/sqlite"
)

// What is read, printed and exported at the console is traced where people have accounts in
// the record: by the console, with the system's name of the account. It is a word to the
// keeper, not a lock: whoever has the file can read it by other means. So it never keeps
// anybody from reading: not of a record that cannot be written to, nor of one that is damaged,
// into which nothing is written. A record in which nobody has an account stays as it is to the
// byte, however it is read.

// noteFor is how long the trace is waited for.
const noteFor = 2 * time.Second

// noted traces what a command is about to give out; no infants: the whole unit.
func (s *settings) noted(ctx context.Context, kind access.EventKind, what string, infants []string) {
	s.notedAll(ctx, s.event(kind, what, infants))
}

func (s *settings) event(kind access.EventKind, what string, infants []string) access.Noted {
	return access.Noted{By: access.Console(), From: console, Event: access.Event{Unit: unit, Kind: kind, What: what, Infants: infants,
		Whole: len(infants) == 0 && kind != access.PolicyPut, Detail: s.program.account()}}
}

func (s *settings) notedAll(ctx context.Context, all ...access.Noted) {
	if s.plain() || len(all) == 0 {
		return
	}
	done := make(chan error, 1)
	go func() { done <- s.note(ctx, all) }()
	var err error
	select {
	case err = <-done:
	case <-time.After(noteFor):
		err = journal.ErrBusy
	case <-ctx.Done():
	}
	if err != nil && !errors.Is(err, journal.ErrReadOnly) {
		s.program.say("this is not in the trace, which could not be written; what was asked for goes on")
	}
}

// note keeps them where anybody has an account. A fault of the program in it is an error, too:
// it runs beside the command, whose work it would end.
func (s *settings) note(ctx context.Context, all []access.Noted) (err error) {
	defer func() {
		if recover() != nil {
			err = errors.New("a fault of the program")
		}
	}()
	store, err := sqlite.Open(ctx, s.record, false)
	if err != nil {
		return err
	}
	a := &access.Access{Store: store.Access(), Home: unit, Now: s.program.Now}
	anyone, err := a.Anyone(ctx)
	if err == nil && anyone {
		err = a.Notes(ctx, all)
	}
	return errors.Join(err, store.Close())
}

// notedOf is noted, of what was compiled.
func (s *settings) notedOf(ctx context.Context, kind access.EventKind, what string, c *compilation) {
	var infants []string
	if s.choosing() {
		for _, f := range c.handover.Infants {
			infants = append(infants, f.Infant)
		}
		for _, l := range c.handover.Left {
			infants = append(infants, l.Infant)
		}
	}
	s.noted(ctx, kind, what, infants)
}

// notedCharted traces what was taken.
func (c *charting) notedCharted(ctx context.Context, what string, r journal.Receipt) {
	of := map[access.EventKind][]string{} // infants
	for _, e := range r.Entries {
		kind := access.Charted
		if e.Amends() {
			kind = access.Corrected
		}
		of[kind] = slices.Concat(of[kind], e.About())
	}
	var all []access.Noted
	for _, kind := range []access.EventKind{access.Charted, access.Corrected} {
		if infants, some := of[kind]; some {
			all = append(all, c.event(kind, what, infants))
		}
	}
	if r.Put != nil {
		all = append(all, c.event(access.PolicyPut, r.Put.Hash()[:12], nil))
	}
	c.notedAll(ctx, all...)
}

// account is the system's name of who runs the program, as a word of the trace.
func (p *Program) account() string {
	if p.Account == nil {
		return ""
	}
	name := strings.Map(func(r rune) rune {
		if r < 128 && entry.IsKey(string(r)) {
			return r
		}
		return '_'
	}, p.Account())
	if len(name) > 64 {
		name = name[:64]
	}
	return "account " + name
}
