package cli

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
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
	store, err := s.store(ctx, create)
	if err != nil {
		return nil, err
	}
	return s.journal(store), nil
}

func (s *settings) journal(store journal.Store) *journal.Journal {
	return &journal.Journal{Store: store, Unit: unit, Now: s.program.Now, Engine: version, Compile: compiled}
}

func (s *settings) store(ctx context.Context, create bool) (*sqlite.Store, error) {
	if strings.Contains(s.record, "://") {
		return nil, wrong{"--record is an address, not a file", "name a file"}
	}
	store, err := sqlite.Open(ctx, s.record, create)
	if errors.Is(err, fs.ErrNotExist) && !create {
		if s.moved() {
			return nil, fmt.Errorf("record %s: %w: there is no such file, and %s tells that there was one", s.record, journal.ErrBehind,
				sqlite.HeadOf(s.record))
		}
		return nil, s.none()
	}
	if err != nil {
		return nil, recordError{s.record, err}
	}
	return store, nil
}

// none says that there is no record.
func (s *settings) none() error {
	return wrong{"there is no record " + s.record, "name one with --record, or chart into it first"}
}

// moved says whether a record that is not there has left its head file.
func (s *settings) moved() bool {
	_, err := os.Stat(s.record)
	_, head := os.Stat(sqlite.HeadOf(s.record))
	return errors.Is(err, fs.ErrNotExist) && head == nil
}

// compiled is a handover as it is signed.
func compiled(w handover.Ward, at, known time.Time, head journal.Head) []byte {
	return page.JSON(compile(w, window{at: at, known: known}, journal.Reading{Head: head}))
}

// compile is the handover of a reading.
func compile(w handover.Ward, at window, r journal.Reading) *handover.Handover {
	h := handover.Compile(w, at.at, at.known, at.since)
	r.Tell(h)
	return h
}

// readAbout reads what concerns some infants, or, where none is named, everything, and
// which policy rules: the record's own, or the file that --policy names. Of a stored
// record that is broken, it warns first and returns what can be read with errRefused, for
// the caller to print and to return. A plain file with a bad line is refused whole.
func (s *settings) readAbout(ctx context.Context, about journal.About) (r journal.Reading, policy *handover.Policy, err error) {
	if s.plain() {
		if policy, err = s.withoutRecord(); err == nil {
			r, err = s.readPlain(policy)
		}
		return r, policy, err
	}
	named, err := s.namedPolicy()
	if err != nil {
		return r, nil, err
	}
	j, err := s.open(ctx, false)
	if err != nil {
		return r, nil, err
	}
	defer j.Store.Close() // it was only read
	if len(about.Infants) > 0 {
		r, err = j.ReadAbout(ctx, about, named)
	} else {
		r, err = j.Read(ctx)
	}
	if err != nil {
		return r, nil, recordError{s.record, err}
	}
	if r.Unmarked {
		s.program.say("%s", s.unmarked())
	}
	broken := s.warn(r.Findings)
	if policy, err = s.ruling(r.Policies, named); err != nil {
		return journal.Reading{}, nil, err
	}
	return r, policy, broken
}

// unmarked says that nothing tells where the record ended.
func (s *settings) unmarked() string {
	return "there is no " + sqlite.HeadOf(s.record) + ", so whether the newest entries of the record were lost cannot be told; the " +
		"next entry that is charted makes it"
}

// warn tells what is wrong with a stored record.
func (s *settings) warn(findings []journal.Finding) error {
	if len(findings) == 0 {
		return nil
	}
	s.program.damaged = true
	more := ""
	if len(findings) > 1 {
		more = fmt.Sprintf(", and %d more", len(findings)-1)
	}
	s.program.say("WARNING: the record %s is not what was taken: %s%s; run cotline verify, and hold against paper", s.record,
		findings[0], more)
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
