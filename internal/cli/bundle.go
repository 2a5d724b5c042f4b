package cli

import (
	"context"
	"errors"
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"cotline/fhir"
	"cotline/handover/entry"
	"cotline/internal/access"
	"cotline/internal/page"
)

// What a part has at most, unless the caller says otherwise: receivers refuse more.
const (
	mostEntries = 100
	mostBytes   = 1 << 20
)

type bundleFlags struct {
	kind, mode, out             string
	infant                      string // the only one asked for
	entries, conditional, bytes int
	whole, carry                bool
}

func (p *Program) bundle(s *settings) *cobra.Command {
	var f bundleFlags
	cmd := &cobra.Command{
		Use:   "bundle",
		Short: "Write the record as HL7 FHIR R4 bundles",
		Long: `bundle writes what the record holds as HL7 FHIR R4 resources: of every infant who
is admitted at a moment and, closed, of every one who left within the policy's
fhir.left before. A transaction sent again changes nothing; with --since it is the
difference to what was known then, with --since last to the export that the folder
holds. A transaction is written in parts that each stand alone, into a folder with a
manifest that tells their order; a document an infant likewise.

` + page.Caution,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if f.whole {
				f.entries, f.conditional, f.bytes = 0, 0, 0
			}
			return p.runBundle(cmd.Context(), s, f)
		},
	}
	s.reading(cmd, "at", "known", "since", "infant", "cot")
	s.exporting(cmd)
	flags := cmd.Flags()
	flags.StringVar(&f.kind, "type", "transaction", "transaction, document or collection")
	flags.StringVar(&f.mode, "mode", "put", "of a transaction: put (PUT Type/id) or conditional (by identifier)")
	flags.IntVar(&f.entries, "max-entries", mostEntries, "most entries of a transaction, 0 for no limit")
	flags.IntVar(&f.conditional, "max-conditional", 0, "most entries of one with a conditional entry, 0 for no limit")
	flags.IntVar(&f.bytes, "max-bytes", mostBytes, "most bytes of a transaction, 0 for no limit")
	flags.BoolVar(&f.carry, "entries", false, "carry every care entry in a document, so that another record can take it")
	flags.BoolVar(&f.whole, "whole", false, "one transaction in one file, however large")
	cmd.MarkFlagsMutuallyExclusive("whole", "max-entries")
	cmd.MarkFlagsMutuallyExclusive("whole", "max-conditional")
	cmd.MarkFlagsMutuallyExclusive("whole", "max-bytes")
	flags.StringVarP(&f.out, "output", "o", "", "write to this file, or folder (a name that ends in /, or is one)")
	return cmd
}

// bundleFile is a bundle by the name that it has in a folder.
type bundleFile struct {
	name, infant string
	text         []byte
}

func (p *Program) runBundle(ctx context.Context, s *settings, f bundleFlags) error {
	if f.carry && f.kind != "document" {
		return wrong{"--entries is of documents: a collection always carries what can be read back, a transaction as fhir.send says",
			"give --type document, or leave it out"}
	}
	var last *lastSent
	if s.since == sinceLast {
		if s.cot != "" {
			return wrong{"--since last goes on from an infant's last export, and in a cot may be another by now", "give --infant"}
		}
		var err error
		if last, err = lastExport(ctx, f, s.infant); err != nil {
			return err
		}
		s.since = last.since
	}
	c, broken := s.compileExport(ctx, f.kind == "document")
	if broken != nil && c == nil {
		return broken
	}
	if err := last.held(f.out, c.ward.Policy); err != nil {
		return err
	}
	site, err := s.siteCodes(c.ward.Policy)
	if err != nil {
		return err
	}
	each, err := s.bundles(c, site, f)
	if err != nil {
		return err
	}
	f.infant = s.only(c)
	s.notedExport("bundle "+f.kind, c, broken)
	write := p.oneBundle
	if folder(f.out) {
		write = func(f bundleFlags, each bundles) ([]fhir.Held, error) { return p.bundleFolder(ctx, f, c, each) }
	}
	held, err := write(f, each)
	if p.tellHeld(held) {
		broken = errRefused
	}
	return errors.Join(err, broken)
}

// oneBundle writes the only bundle there is. Of several, none is written.
func (p *Program) oneBundle(f bundleFlags, each bundles) (held []fhir.Held, err error) {
	var only []byte
	held, err = each(func(b bundleFile) error {
		if only != nil {
			return wrong{"more than one file: " + f.several(), f.instead()}
		}
		only = b.text // no next one is written where it stands
		return nil
	})
	if err == nil && only == nil {
		return held, wrong{"nobody is here to write a document of", "name one with --infant"}
	}
	if err == nil {
		err = p.output(f.out, func(w io.Writer) error { _, err := w.Write(only); return err })
	}
	return held, err
}

// several says what makes more than one file.
func (f bundleFlags) several() string {
	if f.kind == "document" {
		return "there is a document of each infant"
	}
	return fmt.Sprintf("a part has at most %d entries and %d bytes", f.entries, f.bytes)
}

func (f bundleFlags) instead() string {
	if f.kind == "document" {
		return "name a folder with -o DIR/, or one infant"
	}
	return "name a folder with -o DIR/, or give --whole for one file"
}

// compileExport compiles for what goes to another system. One of a damaged record is not
// made, unless it is asked for in so many words.
func (s *settings) compileExport(ctx context.Context, handed bool) (*compilation, error) {
	c, broken := s.compile(ctx, handed)
	if c != nil && broken != nil && !s.broken {
		s.program.say("nothing is written for another system from a damaged record; with --broken it is")
		return nil, broken
	}
	return c, broken
}

// notedExport traces what leaves for another system.
func (s *settings) notedExport(what string, c *compilation, broken error) {
	if broken == nil {
		s.notedOf(s.ctx, access.Exported, what, c)
	}
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

// bundles calls with what was asked for, in order, each as soon as it is made, and says
// who was left out.
type bundles func(with func(b bundleFile) error) ([]fhir.Held, error)

func (s *settings) bundles(c *compilation, site fhir.SiteCodes, f bundleFlags) (bundles, error) {
	switch f.kind {
	case "document":
		return s.documents(c, site, f.carry), nil
	case "collection":
		return func(with func(b bundleFile) error) ([]fhir.Held, error) {
			x, err := s.export(c, site)
			if err != nil {
				return nil, err
			}
			text, err := x.Collection()
			if err != nil {
				return nil, err
			}
			return x.Held, with(bundleFile{name: "collection-00001.json", text: text})
		}, nil
	case "transaction":
		if f.mode != string(fhir.Put) && f.mode != string(fhir.Conditional) {
			return nil, unfit("mode", f.mode, "give put or conditional")
		}
		return s.transactions(c, site, f), nil
	}
	return nil, unfit("type", f.kind, "give transaction, document or collection")
}

// transactions are the parts of an export: infant by infant, or what changed since.
func (s *settings) transactions(c *compilation, site fhir.SiteCodes, f bundleFlags) bundles {
	sending := fhir.Sending{Mode: fhir.Mode(f.mode), Entries: f.entries, Conditional: f.conditional, Bytes: f.bytes}
	return func(with func(b bundleFile) error) ([]fhir.Held, error) {
		n := 0
		part := func(text []byte) error {
			n++
			return with(bundleFile{name: fmt.Sprintf("transaction-%05d.json", n), text: text})
		}
		if c.since.IsZero() {
			return fhir.Send(c.ward, s.ask(c, site), sending, part)
		}
		x, err := s.export(c, site)
		if err != nil {
			return nil, err
		}
		return x.Held, x.EachTransaction(sending, part)
	}
}

// export is the whole export as known at the moment asked for; with --since, what
// changed since then.
func (s *settings) export(c *compilation, site fhir.SiteCodes) (*fhir.Export, error) {
	ask := s.ask(c, site)
	if c.since.IsZero() {
		return fhir.New(c.ward, ask)
	}
	return fhir.Delta(c.ward, c.since, ask)
}

func (s *settings) ask(c *compilation, site fhir.SiteCodes) fhir.Ask {
	return fhir.Ask{At: c.at, Known: c.known, Infant: s.only(c), Codes: site, Lean: true}
}

// documents are one document for each infant of the handover, in the words of the
// other faces.
func (s *settings) documents(c *compilation, site fhir.SiteCodes, carry bool) bundles {
	return func(with func(b bundleFile) error) ([]fhir.Held, error) {
		for _, f := range c.handover.Infants {
			issue := fhir.Edition{Handover: c.handover, Words: page.Words(c.handover, c.ward.Policy), Entries: carry, Codes: site,
				Chain: c.handover.Chain}
			issue.Signed, issue.Accepted = signedFor(c, f.Infant)
			if issue.Signed != nil {
				if position, here := c.ward.Signed[issue.Signed.ID]; here {
					issue.Chain = c.chains[position].String()
				}
			}
			text, err := fhir.Document(c.ward, issue, f.Infant)
			if err != nil {
				return nil, err
			}
			if err := with(bundleFile{"document-" + f.Infant + ".json", f.Infant, text}); err != nil {
				return nil, err
			}
		}
		return nil, nil
	}
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
