package cli

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"time"

	"github.com/spf13/cobra"

	"cotline/internal/access"
	"cotline/internal/journal"
	"cotline/internal/store/sqlite"
)

func (p *Program) backup(s *settings) *cobra.Command {
	var out string
	var toAge []string
	cmd := &cobra.Command{
		Use:   "backup -o FILE",
		Short: "Write a copy of the record, whole and verified",
		Long: `backup copies the record as it is at one moment, while others chart into it, and
verifies the copy before it stands under its name: a copy that does not verify is not
made. Its head file stands beside it. Nothing is overwritten. With --to-age it is
encrypted, in one file, to the keys of those who may restore it.`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error { return p.runBackup(cmd.Context(), s, out, toAge) },
	}
	cmd.Flags().StringVarP(&out, "output", "o", "", "write to this file, which must not be there")
	cmd.Flags().StringSliceVar(&toAge, "to-age", nil, "encrypt it to this recipient (age1…); may stand more than once")
	return cmd
}

func (p *Program) runBackup(ctx context.Context, s *settings, out string, toAge []string) error {
	if s.plain() {
		return wrong{"a .ndjson record is copied as any file", "name a stored record with --record"}
	}
	if err := fresh(out); err != nil {
		return err
	}
	readers, err := recipients(toAge)
	if err != nil {
		return err
	}
	store, err := s.store(ctx, false)
	if err != nil {
		return err
	}
	defer store.Close() // it was only read
	dir, err := os.MkdirTemp(filepath.Dir(out), ".cotline-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir) // what is left of it is not the backup
	at := filepath.Join(dir, "record")
	if err := store.Copy(ctx, unit, at); err != nil {
		return fmt.Errorf("record %s: %w", s.record, err)
	}
	report, err := p.verified(ctx, s, at)
	if err != nil {
		return err
	}
	for _, f := range report.Findings {
		p.say("%s: %s", s.record, f)
	}
	if len(report.Findings) > 0 {
		p.say("no backup was made: %s; cotline restore makes a record of what is whole", plural(len(report.Findings), "finding"))
		return errRefused
	}
	how := "verified"
	if len(readers) > 0 {
		sealed := filepath.Join(dir, "sealed")
		if err := seal(ctx, at, sealed, readers); err != nil {
			return err
		}
		at, how = sealed, "verified, encrypted to "+plural(len(readers), "key")
	}
	s.noted(ctx, access.Exported, "backup, "+how, nil)
	if err := sqlite.Place(at, out); err != nil {
		return err
	}
	_, err = fmt.Fprintf(p.Stdout, "%s: %s, chain %s; %s\n", out, plural(report.Entries, "entry"), report.Head.Chain, how)
	return err
}

// verified verifies a record at another path.
func (p *Program) verified(ctx context.Context, s *settings, at string) (journal.Report, error) {
	store, err := sqlite.Open(ctx, at, false)
	if err != nil {
		return journal.Report{}, err
	}
	j := s.journal(store)
	j.Progress = p.progress("verify")
	report, err := j.Verify(ctx)
	return report, errors.Join(err, store.Close())
}

// fresh refuses a name under which there is a record, or what was left of one.
func fresh(out string) error {
	if out == "" {
		return wrong{"no file is named", "name one with -o"}
	}
	for _, name := range append([]string{out, out + "-wal"}, sqlite.Beside(out)...) {
		if _, err := os.Lstat(name); err == nil {
			return wrong{"there is a " + name + " already", "nothing is overwritten: name another file with -o"}
		}
	}
	return nil
}

// progress tells on a terminal how far long work is, once a second; nil elsewhere.
func (p *Program) progress(what string) func(done, of int64) {
	if !p.Colour {
		return nil
	}
	var last time.Time
	return func(done, of int64) {
		if now := time.Now(); now.Sub(last) >= time.Second && of > 0 {
			last = now
			fmt.Fprintf(p.Stderr, "\r%s: %d of %d entries\r", what, done, of) // nowhere is left to tell it
		}
	}
}
