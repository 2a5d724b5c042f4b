package cli

import (
	"context"
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"cotline/fhir"
	"cotline/handover/entry"
	"cotline/internal/page"
)

type bundleFlags struct {
	kind, mode, out             string
	entries, conditional, bytes int
}

func (p *Program) bundle(s *settings) *cobra.Command {
	var f bundleFlags
	cmd := &cobra.Command{
		Use:   "bundle",
		Short: "Write the record as HL7 FHIR R4 bundles",
		Long: `bundle writes, of every infant admitted at a moment, what the record holds as
HL7 FHIR R4 resources. A transaction sent again changes nothing; with --since it
is the difference to what was known then. Into a folder it writes a file a bundle
with a manifest: transactions in parts that each stand alone, a document an infant.

` + page.Caution,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error { return p.runBundle(cmd.Context(), s, f) },
	}
	s.reading(cmd, "at", "known", "since", "infant", "cot")
	s.exporting(cmd)
	flags := cmd.Flags()
	flags.StringVar(&f.kind, "type", "transaction", "transaction, document or collection")
	flags.StringVar(&f.mode, "mode", "put", "of a transaction: put (PUT Type/id) or conditional (by identifier)")
	flags.IntVar(&f.entries, "max-entries", 0, "most entries of a transaction (default no limit)")
	flags.IntVar(&f.conditional, "max-conditional", 0, "most entries of one with a conditional entry (default no limit)")
	flags.IntVar(&f.bytes, "max-bytes", 0, "most bytes of a transaction (default no limit)")
	flags.StringVarP(&f.out, "output", "o", "", "write to this file, or folder (a name that ends in /, or is one)")
	return cmd
}

// bundleFile is a bundle by the name that it has in a folder.
type bundleFile struct {
	name, infant string
	text         []byte
}

func (p *Program) runBundle(ctx context.Context, s *settings, f bundleFlags) error {
	c, broken := s.compileExport(ctx)
	if broken != nil && c == nil {
		return broken
	}
	site, err := s.siteCodes(c.ward.Policy)
	if err != nil {
		return err
	}
	files, held, err := s.bundles(c, site, f)
	if err != nil {
		return err
	}
	if p.tellHeld(held) {
		broken = errRefused
	}
	if folder(f.out) {
		err = p.bundleFolder(f, c, files)
	} else {
		if len(files) != 1 {
			return wrong{fmt.Sprintf("%d bundles do not go into one file", len(files)), "name a folder with -o, or one infant"}
		}
		err = p.output(f.out, func(w io.Writer) error { _, err := w.Write(files[0].text); return err })
	}
	return errors.Join(err, broken)
}

// compileExport compiles for what goes to another system. One of a damaged record is not
// made, unless it is asked for in so many words.
func (s *settings) compileExport(ctx context.Context) (*compilation, error) {
	c, broken := s.compile(ctx)
	if c != nil && broken != nil && !s.broken {
		s.program.say("nothing is written for another system from a damaged record; with --broken it is")
		return nil, broken
	}
	return c, broken
}

func (s *settings) exporting(cmd *cobra.Command) {
	cmd.Flags().BoolVar(&s.broken, "broken", false, "write what can be read of a damaged record all the same")
}

// tellHeld names infants who cannot be exported safely.
func (p *Program) tellHeld(held []fhir.Held) bool {
	for _, h := range held {
		p.say("infant %s is left out: %s", h.Infant, h.Why)
	}
	return len(held) > 0
}

// bundles are what was asked for, in order.
func (s *settings) bundles(c *compilation, site fhir.SiteCodes, f bundleFlags) (files []bundleFile, held []fhir.Held, err error) {
	switch f.kind {
	case "document":
		return s.documents(c, site)
	case "transaction", "collection":
		if f.mode != string(fhir.Put) && f.mode != string(fhir.Conditional) {
			return nil, nil, unfit("mode", f.mode, "give put or conditional")
		}
	default:
		return nil, nil, unfit("type", f.kind, "give transaction, document or collection")
	}
	x, err := s.export(c, site)
	if err != nil {
		return nil, nil, err
	}
	var texts [][]byte
	if f.kind == "collection" {
		text, err := x.Collection()
		if err != nil {
			return nil, nil, err
		}
		texts = [][]byte{text}
	} else if texts, err = x.Transactions(fhir.Sending{Mode: fhir.Mode(f.mode), Entries: f.entries, Conditional: f.conditional,
		Bytes: f.bytes}); err != nil {
		return nil, nil, err
	}
	for n, text := range texts {
		files = append(files, bundleFile{name: fmt.Sprintf("%s-%04d.json", f.kind, n+1), text: text})
	}
	return files, x.Held, nil
}

// export is the whole export as known at the moment asked for; with --since, what
// changed since then.
func (s *settings) export(c *compilation, site fhir.SiteCodes) (*fhir.Export, error) {
	ask := fhir.Ask{At: c.at, Known: c.known, Infant: s.only(c), Codes: site}
	if c.since.IsZero() {
		return fhir.New(c.ward, ask)
	}
	return fhir.Delta(c.ward, c.since, ask)
}

// documents are one document for each infant of the handover.
func (s *settings) documents(c *compilation, site fhir.SiteCodes) (files []bundleFile, held []fhir.Held, err error) {
	for _, f := range c.handover.Infants {
		issue := fhir.Edition{Handover: c.handover, Codes: site, Chain: c.handover.Chain}
		issue.Signed, issue.Accepted = signedFor(c, f.Infant)
		if issue.Signed != nil {
			if position, here := c.ward.Signed[issue.Signed.ID]; here {
				issue.Chain = c.chains[position].String()
			}
		}
		text, err := fhir.Document(c.ward, issue, f.Infant)
		if err != nil {
			return nil, nil, err
		}
		files = append(files, bundleFile{"document-" + f.Infant + ".json", f.Infant, text})
	}
	return files, nil, nil
}

// signedFor is the handover that was signed for an infant as of exactly the moment
// asked for, with its acceptances. Of several, it is the one charted last.
func signedFor(c *compilation, infant string) (signed *entry.Entry, accepted []*entry.Entry) {
	records := entry.Replay(c.ward.Entries, c.known).Unit
	for _, e := range records.Entries {
		asOf, ok := e.Moment("asOf")
		if e.Kind == "handover" && ok && asOf.Equal(c.at) && e.Names("infants", infant) {
			signed = e.Entry
		}
	}
	for _, e := range records.Entries {
		if signed != nil && e.Kind == "acceptance" && e.Reference("handover") == signed.ID && e.Names("infants", infant) {
			accepted = append(accepted, e.Entry)
		}
	}
	return signed, accepted
}

// only is the one infant that was asked for, by key or by cot; empty for all.
func (s *settings) only(c *compilation) string {
	if s.cot != "" && len(c.handover.Infants) == 1 {
		return c.handover.Infants[0].Infant
	}
	return s.infant
}

// chosen are the entries of the infants of a handover, and of the unit.
func chosen(c *compilation) []*entry.Entry {
	keep := map[string]bool{"": true}
	for _, f := range c.handover.Infants {
		keep[f.Infant] = true
	}
	for _, l := range c.handover.Left {
		keep[l.Infant] = true
	}
	var out []*entry.Entry
	for _, e := range c.ward.Entries {
		if keep[e.Infant] {
			out = append(out, e)
		}
	}
	return out
}
