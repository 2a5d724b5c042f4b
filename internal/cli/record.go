package cli

import (
	"context"
	"errors"
	"fmt"
	"io/fs"

	"path/filepath"
	"strings"
	"time"

	"cotline/handover"
	"cotline/internal/intake"
	"cotline/internal/journal"
	"cotline/internal/page"
	"cotline/internal/store/sqlite"
)

// unit is the journal's key of the one unit that a file holds.
const unit = "unit"

// plain says whether the record is a file that is read as it is.
func (s *settings) plain() bool { return strings.EqualFold(filepath.Ext(s.record), ".ndjson") }

// open opens the stored record; create makes one that is not there.
func (s *settings) open(ctx context.Context, create bool) (*journal.Journal, error) {
	if strings.Contains(s.record, "://") {
		return nil, wrong{"--record " + s.record + " is not a file", "name a file"}
	}
	store, err := sqlite.Open(ctx, s.record, create)
	if errors.Is(err, fs.ErrNotExist) && !create {
		return nil, wrong{"there is no record " + s.record, "name one with --record, or chart into it first"}
	}
	if err != nil {
		return nil, recordError{s.record, err}
	}
	return &journal.Journal{Store: store, Unit: unit, Now: s.program.Now, Engine: version, Compile: compiled}, nil
}

// compiled is a handover as it is signed.
func compiled(w handover.Ward, at, known time.Time, head journal.Head) []byte {
	return page.JSON(compile(w, at, known, time.Time{}, head))
}

// compile is the handover of a record up to its head; the zero head is a plain
// file's.
func compile(w handover.Ward, at, known, since time.Time, head journal.Head) *handover.Handover {
	h := handover.Compile(w, at, known, since)
	if head.Position > 0 {
		h.Position, h.Chain = head.Position, head.Chain.String()
	}
	return h
}

// read reads the record. If a stored record is broken, read warns and returns what can
// be read together with errRefused: the caller prints the one and returns the other.
// A plain file with a bad line is refused whole.
func (s *settings) read(ctx context.Context, policy *handover.Policy) (journal.Reading, error) {
	if s.plain() {
		return s.readPlain(policy)
	}
	j, err := s.open(ctx, false)
	if err != nil {
		return journal.Reading{}, err
	}
	defer j.Store.Close() // it was only read
	r, err := j.Read(ctx)
	if err != nil {
		return r, recordError{s.record, err}
	}
	return r, s.warn(r.Findings)
}

// warn tells what is wrong with a stored record.
func (s *settings) warn(findings []journal.Finding) error {
	if len(findings) == 0 {
		return nil
	}
	s.program.say("WARNING: the record %s is not what was taken: %s; run cotline verify, and hold against paper", s.record, findings[0])
	return errRefused
}

func (s *settings) readPlain(policy *handover.Policy) (journal.Reading, error) {
	f, err := openInput(s.ctx, s.record)
	if errors.Is(err, fs.ErrNotExist) {
		return journal.Reading{}, wrong{"there is no record " + s.record, "name one with --record"}
	}
	if err != nil {
		return journal.Reading{}, err
	}
	defer f.Close() // it was only read
	o, err := intake.Record(&stoppable{ctx: s.ctx, r: f}, policy.ClockTolerance)
	if err != nil {
		return journal.Reading{}, fmt.Errorf("%s: %w", s.record, err)
	}
	if len(o.Issues) > 0 {
		faults := located(o.Issues, []source{{name: s.record, lines: o.Lines}})
		s.program.tell(faults)
		s.program.say("%s is refused: %s; mend the lines", s.record, counted(faults))
		return journal.Reading{}, errRefused
	}
	return journal.Reading{Entries: o.Entries}, nil
}
