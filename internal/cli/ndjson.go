package cli

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"cotline/fhir"
	"cotline/handover"
	"cotline/internal/page"
)

func (p *Program) ndjson(s *settings) *cobra.Command {
	var out string
	cmd := &cobra.Command{
		Use:   "ndjson -o DIR",
		Short: "Write the record as FHIR NDJSON, one file a resource type",
		Long: `ndjson writes what the record holds as HL7 FHIR R4 resources, one a line, one file
a resource type, and a manifest as the Bulk Data Access guide has it. With --since
it is the difference to what was known then; what was withdrawn is a line that
says entered-in-error.

` + page.Caution,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if out == "" {
				return wrong{"no folder is named", "name one with -o"}
			}
			return p.runNDJSON(cmd.Context(), s, out)
		},
	}
	s.reading(cmd, "at", "known", "since", "infant", "cot")
	s.exporting(cmd)
	cmd.Flags().StringVarP(&out, "output", "o", "", "write to this folder")
	return cmd
}

func (p *Program) runNDJSON(ctx context.Context, s *settings, out string) error {
	taken := p.Now() // before the record is read: an entry that comes meanwhile is in the next
	c, broken := s.compileExport(ctx, false)
	if broken != nil && c == nil {
		return broken
	}
	site, err := s.siteCodes(c.ward.Policy)
	if err != nil {
		return err
	}
	s.notedExport("ndjson", c, broken)
	x, err := s.export(c, site)
	if err != nil {
		return err
	}
	if p.tellHeld(x.Held) {
		broken = errRefused
	}
	files, err := x.NDJSON()
	if err != nil {
		return err
	}
	if err := p.ndjsonFolder(ctx, out, files); err != nil {
		return err
	}
	if c.known.Before(taken) {
		taken = c.known
	}
	manifest := fhir.Manifest(files, taken.In(c.ward.Policy.Zone), "cotline ndjson", "")
	return errors.Join(p.into(out, manifestName, manifest), broken)
}

// ndjsonFolder writes the files. It removes those of an earlier export, its manifest first,
// and touches no other file. Of an export that fails or is stopped none is left: they hold
// names.
func (p *Program) ndjsonFolder(ctx context.Context, out string, files []fhir.File) (err error) {
	if err := makeFolder(out); err != nil {
		return err
	}
	if err := emptyOfNDJSON(out); err != nil {
		return err
	}
	defer func() {
		if err != nil {
			emptyOfNDJSON(out) // the failure is told
		}
	}()
	for _, f := range files {
		if err := ctx.Err(); err != nil {
			return err
		}
		if err := p.into(out, f.Name, f.Content); err != nil {
			return err
		}
	}
	return nil
}

func emptyOfNDJSON(dir string) error {
	names := []string{manifestName, "Patient.ndjson"}
	for _, kind := range handover.SendTypes {
		names = append(names, kind+".ndjson")
	}
	for _, name := range names {
		if err := os.Remove(filepath.Join(dir, name)); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return nil
}
