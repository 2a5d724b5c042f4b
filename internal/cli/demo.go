package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"text/tabwriter"
	"time"

	"github.com/spf13/cobra"

	"cotline/fhir"
	"cotline/handover"
	"cotline/internal/intake"
	"cotline/internal/journal"
	"cotline/internal/page"
	"cotline/internal/sheets"
	"cotline/internal/store/sqlite"
	"cotline/internal/ward"
)

func (p *Program) demo() *cobra.Command {
	var out string
	cmd := &cobra.Command{
		Use:   "demo",
		Short: "Do the whole job on an invented ward",
		Long: `demo charts the entries of an invented ward, compiles its handover and writes
record, handover, bundles, workbook and print page into a folder.

` + page.Caution,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error { return p.runDemo(cmd.Context(), out) },
	}
	cmd.Flags().StringVar(&out, "out", "demo", "the folder to write to")
	return cmd
}

// readDemo reads the demo's policy, and the moment of its handover.
func readDemo(policyText []byte) (*handover.Policy, time.Time, error) {
	policy, issues := intake.Policy(policyText)
	if len(issues) > 0 {
		return nil, time.Time{}, errors.New("the demo's policy: " + issues[0].String())
	}
	at, err := time.Parse(time.RFC3339, ward.DemoAt)
	return policy, at, err
}

// runDemo sets the clock to the ward's own moment, so that the demo reads the same
// every day.
func (p *Program) runDemo(ctx context.Context, out string) error {
	policyText, entries := ward.Demo()
	policy, at, err := readDemo(policyText)
	if err != nil {
		return err
	}
	if err := makeFolder(out); err != nil {
		return err
	}
	file := func(name string) string { return filepath.Join(out, name) }
	for name, text := range map[string][]byte{"policy.yaml": policyText, "entries.ndjson": entries} {
		if err := p.output(file(name), func(w io.Writer) error { _, err := w.Write(text); return err }); err != nil {
			return err
		}
	}
	c, err := p.demoRecord(ctx, file("ward.db"), policy, entries, at)
	if err != nil {
		return err
	}
	text := new(bytes.Buffer)
	if err := page.Text(text, c.handover, page.Options{}); err != nil {
		return err
	}
	for _, f := range []struct {
		name  string
		write func(io.Writer) error
	}{
		{"handover.txt", func(w io.Writer) error { _, err := w.Write(text.Bytes()); return err }},
		{"handover.html", func(w io.Writer) error { return page.HTML(w, c.handover, c.ward, page.Options{}) }},
		{"handover.json", func(w io.Writer) error { _, err := w.Write(page.JSON(c.handover)); return err }},
		{"workbook.xlsx", func(w io.Writer) error {
			return sheets.Workbook(w, c.handover, c.ward.Entries, policy, version)
		}},
	} {
		if err := p.output(file(f.name), f.write); err != nil {
			return err
		}
	}
	s := &settings{program: p}
	bundle := bundleFlags{kind: "transaction", mode: string(fhir.Put), entries: mostEntries, bytes: mostBytes, out: file("bundle")}
	held, err := p.bundleFolder(ctx, bundle, c, s.transactions(c, nil, bundle))
	if err != nil {
		return err
	}
	if len(held) > 0 {
		return errors.New("the demo's bundles leave out " + held[0].Infant + ": " + held[0].Why)
	}
	return p.demoTold(file, c)
}

// demoRecord charts the entries into a fresh record and compiles its handover.
func (p *Program) demoRecord(ctx context.Context, path string, policy *handover.Policy, entries []byte, at time.Time) (*compilation,
	error) {
	for _, old := range append(sqlite.Beside(path), path, path+"-wal", path+"-shm") {
		if err := os.Remove(old); err != nil && !errors.Is(err, os.ErrNotExist) {
			return nil, err
		}
	}
	then := *p
	then.Now = func() time.Time { return at }
	s := &settings{program: &then, record: path}
	j, err := s.open(ctx, true)
	if err != nil {
		return nil, err
	}
	defer j.Store.Close() // what was appended is durable
	o, err := intake.NDJSON(bytes.NewReader(entries))
	if err != nil {
		return nil, err
	}
	if len(o.Issues) > 0 {
		return nil, errors.New("the demo's entries: " + o.Issues[0].String())
	}
	if _, err := p.append(ctx, j, policy, journal.Offer(o.Entries)); err != nil {
		return nil, err
	}
	r, err := j.Read(ctx)
	if err != nil {
		return nil, err
	}
	w := r.Ward(policy)
	moment := window{at: at, known: at}
	return &compilation{compile(w, moment, r), w, r.Chains, moment}, nil
}

// demoTold says what was written, and what to open first.
func (p *Program) demoTold(file func(string) string, c *compilation) error {
	w := tabwriter.NewWriter(p.Stdout, 0, 0, 3, ' ', 0)
	fmt.Fprintf(w, "%s\n\n%s, %s: %d infants from %d entries.\n\nOpen first\n", // Flush tells it
		page.Caution, c.handover.Unit, ward.DemoAt, len(c.handover.Infants), len(c.ward.Entries))
	for _, f := range [][2]string{
		{"handover.html", "the handover for print, in a browser"},
		{"handover.txt", "the same for a terminal"},
		{"workbook.xlsx", "for the ward clerk"},
		{"bundle/", "for the record system: HL7 FHIR R4, transactions in order, with a manifest"},
		{"handover.json", "the same facts for programs"},
		{"ward.db", "the record itself"},
		{"entries.ndjson", "the entries it took"},
		{"policy.yaml", "the unit's policy"},
	} {
		fmt.Fprintf(w, "  %s\t%s\n", file(f[0]), f[1]) // Flush tells it
	}
	fmt.Fprintf(w, "\nLook again, at any moment:\n  cotline handover --record %s --at %s\n", // Flush tells it
		file("ward.db"), ward.DemoAt)
	return w.Flush()
}
