package cli

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"cotline/internal/access"
	"cotline/internal/journal"
	"cotline/internal/store/sqlite"
)

func (p *Program) restore(s *settings) *cobra.Command {
	var out, identity string
	cmd := &cobra.Command{
		Use:   "restore -o FILE",
		Short: "Make a fresh record of all that is whole in a damaged one",
		Long: `restore reads a damaged record entry by entry and makes a fresh one of all that is
whole, with its policies and signed handovers, people, programs and trace; sessions
are not taken along. It lists what is not, and then exits
with 1. Nothing is mended or changed in place, and nothing is overwritten. What is
missing must come from paper or from a backup. A backup that was encrypted is restored
with --identity.`,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error { return p.runRestore(cmd.Context(), s, out, identity) },
	}
	cmd.Flags().StringVarP(&out, "output", "o", "", "write to this file, which must not be there")
	cmd.Flags().StringVar(&identity, "identity", "", "the record is a backup encrypted by age; decrypt it with the key in this file")
	return cmd
}

func (p *Program) runRestore(ctx context.Context, s *settings, out, identity string) error {
	if s.plain() {
		return wrong{"a .ndjson record is mended by hand, line by line", "name a stored record with --record"}
	}
	if err := fresh(out); err != nil {
		return err
	}
	dir, err := os.MkdirTemp(filepath.Dir(out), ".cotline-*")
	if err != nil {
		return err
	}
	defer os.RemoveAll(dir) // what is left of it is not the record
	named := s.record       // in what is told
	if identity != "" {
		plain := *s
		plain.record = filepath.Join(dir, "backup")
		if err := unseal(ctx, s.record, plain.record, identity); err != nil {
			return err
		}
		s = &plain
	}
	at := filepath.Join(dir, "record")
	r, err := s.restoreInto(ctx, at, named)
	if err != nil {
		return err
	}
	report, err := p.verified(ctx, s, at)
	if err != nil {
		return err
	}
	if len(report.Findings) > 0 {
		return fmt.Errorf("no record was made: what was read does not verify: %s", report.Findings[0])
	}
	if err := sqlite.Place(at, out); err != nil {
		return err
	}
	for _, f := range r.Findings {
		if _, err := fmt.Fprintf(p.Stdout, "%s: %s\n", named, f); err != nil {
			return err
		}
	}
	if _, err := fmt.Fprintf(p.Stdout, "%s: %s, chain %s; verified\n", out, plural(r.Taken, "entry"), r.Head.Chain); err != nil {
		return err
	}
	if len(r.Findings) > 0 {
		p.say("not all of %s is in %s: see the list, and chart from paper what is missing", named, out)
		return errRefused
	}
	return nil
}

// restoreInto makes a fresh record at a path of all that is whole in this one, which
// errors call by the name that was given for it.
func (s *settings) restoreInto(ctx context.Context, path, named string) (r journal.Restored, err error) {
	from, err := s.store(ctx, false)
	if err != nil {
		return r, err
	}
	defer from.Close() // it was only read
	into, err := sqlite.Open(ctx, path, true)
	if err != nil {
		return r, err
	}
	r, err = s.journal(from).Restore(ctx, into)
	if err == nil {
		var lost []journal.Finding
		lost, err = access.Restore(ctx, from.Access(), into.Access())
		r.Findings = append(r.Findings, lost...)
	}
	if err = errors.Join(err, into.Close()); err != nil {
		return r, fmt.Errorf("record %s: %w", named, err)
	}
	return r, nil
}
