package cli

import (
	"context"
	"errors"

	"github.com/spf13/cobra"

	"cotline/internal/page"
)

func (p *Program) transfer(s *settings) *cobra.Command {
	var out string
	cmd := &cobra.Command{
		Use:   "transfer --infant KEY -o FILE",
		Short: "Write one infant's record for the next hospital, as a FHIR document",
		Long: `transfer writes an infant who is admitted as a FHIR R4 document: what is charted for
it, and the handovers that name it. The next hospital's record takes it with cotline
chart, entry by entry under the same ids; there a move and an identity entry say
which cot and which numbers it has now. Write it before the discharge is charted, or
with --at for a moment before.

` + page.Caution,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if s.infant == "" || out == "" {
				return wrong{"an infant and a file are wanted", "name them with --infant and -o"}
			}
			return p.runTransfer(cmd.Context(), s, out)
		},
	}
	s.reading(cmd, "at", "known", "infant")
	s.exporting(cmd)
	cmd.Flags().StringVarP(&out, "output", "o", "", "write to this file")
	return cmd
}

func (p *Program) runTransfer(ctx context.Context, s *settings, out string) error {
	c, broken := s.compileExport(ctx, true)
	if broken != nil && c == nil {
		return broken
	}
	site, err := s.siteCodes(c.ward.Policy)
	if err != nil {
		return err
	}
	s.notedExport("transfer", c, broken)
	_, err = p.oneBundle(bundleFlags{kind: "document", out: out}, s.documents(c, site, true))
	return errors.Join(err, broken)
}
