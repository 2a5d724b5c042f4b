package cli

import (
	"context"
	"io"

	"github.com/spf13/cobra"

	"cotline/fhir"
	"cotline/handover"
	"cotline/internal/page"
)

type bundleFlags struct{ kind, mode, out string }

func (p *Program) bundle(s *settings) *cobra.Command {
	var f bundleFlags
	cmd := &cobra.Command{
		Use:   "bundle",
		Short: "Write the record as HL7 FHIR R4",
		Long: `bundle writes, of every infant admitted at a moment, what the record holds as
HL7 FHIR R4 resources in one transaction. Sent again, it changes nothing.

` + page.Caution,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error { return p.runBundle(cmd.Context(), s, f) },
	}
	s.reading(cmd, "at", "known", "infant", "cot")
	cmd.Flags().StringVar(&f.kind, "type", "transaction", "transaction")
	cmd.Flags().StringVar(&f.mode, "mode", "put", "put: every resource under its own id")
	cmd.Flags().StringVarP(&f.out, "output", "o", "", "write to this file")
	return cmd
}

func (p *Program) runBundle(ctx context.Context, s *settings, f bundleFlags) error {
	if f.kind != "transaction" {
		return wrong{"--type " + f.kind, "give transaction"}
	}
	c, broken := s.compile(ctx)
	if broken != nil && c == nil {
		return broken
	}
	text, held, err := transaction(c, fhir.Mode(f.mode), s.only(c))
	if err != nil {
		return err
	}
	for _, h := range held {
		p.say("infant %s is left out: %s", h.Infant, h.Why)
		broken = errRefused
	}
	if err := p.output(f.out, func(w io.Writer) error { _, err := w.Write(text); return err }); err != nil {
		return err
	}
	return broken
}

// only is the one infant that was asked for, by key or by cot; empty for all.
func (s *settings) only(c *compilation) string {
	if s.cot != "" && len(c.handover.Infants) == 1 {
		return c.handover.Infants[0].Infant
	}
	return s.infant
}

// transaction is the bundle of a compilation, and the infants who cannot be sent.
func transaction(c *compilation, mode fhir.Mode, only string) ([]byte, []fhir.Held, error) {
	x, err := fhir.New(c.ward, fhir.Ask{At: c.at, Known: c.known, Infant: only})
	if err != nil {
		return nil, nil, err
	}
	text, err := x.Transaction(mode)
	return text, x.Held, err
}

// chosen are the entries of the infants of a handover, and of the unit.
func chosen(c *compilation) []*handover.Entry {
	keep := map[string]bool{"": true}
	for _, f := range c.handover.Infants {
		keep[f.Infant] = true
	}
	for _, l := range c.handover.Left {
		keep[l.Infant] = true
	}
	var out []*handover.Entry
	for _, e := range c.ward.Entries {
		if keep[e.Infant] {
			out = append(out, e)
		}
	}
	return out
}
