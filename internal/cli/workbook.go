package cli

import (
	"context"
	"io"
	"os"
	"path/filepath"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"

	"cotline/internal/page"
	"cotline/internal/sheets"
)

func (p *Program) workbook(s *settings) *cobra.Command {
	var out, folder, preset string
	var nowFirst bool
	cmd := &cobra.Command{
		Use:   "workbook",
		Short: "Write the handover and the entries as a workbook, or as CSV",
		Long: `workbook writes the handover, what is due and the entries as an .xlsx workbook
for the ward clerk; with --csv, each table as a CSV file of a folder. Printed as it
is, it gives the ward's page, the handover, what is due, and the charts; the other
sheets are to be looked up.

` + page.Caution,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			flags := cmd.Flags()
			form, ok := sheets.PresetOf(preset)
			switch {
			case folder != "" && given(flags, "output") != "":
				return wrong{"--csv and --output are two forms", "give one of them"}
			case folder == "" && given(flags, "preset") != "":
				return wrong{"--preset is a form of CSV", "give --csv too"}
			case !ok:
				return unfit("preset", preset, "give "+strings.Join(presets(), " or "))
			case folder != "":
				return p.runCSV(cmd.Context(), s, folder, form, nowFirst)
			}
			return p.runWorkbook(cmd.Context(), s, out, nowFirst)
		},
	}
	s.reading(cmd, "at", "known", "since", "infant", "cot")
	cmd.Flags().StringVarP(&out, "output", "o", "handover.xlsx", "write to this file")
	cmd.Flags().BoolVar(&nowFirst, "now-first", false, "infants who need somebody now stand first, else by cot")
	cmd.Flags().StringVar(&folder, "csv", "", "write CSV files to this folder instead")
	cmd.Flags().StringVar(&preset, "preset", "machine", "the form of CSV: "+strings.Join(presets(), ", "))
	return cmd
}

func presets() (names []string) {
	for _, p := range sheets.Presets {
		names = append(names, p.Name)
	}
	return names
}

// compileSheets compiles with the infants in the order that was asked for.
func (s *settings) compileSheets(ctx context.Context, nowFirst bool) (*compilation, error) {
	c, broken := s.compile(ctx, true)
	if c != nil && nowFirst {
		c.handover = sheets.NowFirst(c.handover)
	}
	return c, broken
}

// whileWriting is how much may lie about while a workbook is written, in percent of what is in
// use: then it takes about as much memory as reading did, for a tenth more work.
const whileWriting = 50

func (p *Program) runWorkbook(ctx context.Context, s *settings, out string, nowFirst bool) error {
	c, broken := s.compileSheets(ctx, nowFirst)
	if broken != nil && c == nil {
		return broken
	}
	s.notedExport("workbook", c, broken)
	if _, set := os.LookupEnv("GOGC"); !set {
		defer debug.SetGCPercent(debug.SetGCPercent(whileWriting))
	}
	if err := p.output(out, func(w io.Writer) error {
		return sheets.Workbook(w, c.handover, chosen(c), c.ward.Policy, version)
	}); err != nil {
		return err
	}
	return broken
}

func (p *Program) runCSV(ctx context.Context, s *settings, folder string, form sheets.Preset, nowFirst bool) error {
	c, broken := s.compileSheets(ctx, nowFirst)
	if broken != nil && c == nil {
		return broken
	}
	s.notedExport("tables", c, broken)
	if err := makeFolder(folder); err != nil {
		return err
	}
	err := sheets.CSV(form, c.handover, chosen(c), c.ward.Policy, version, func(name string, write func(io.Writer) error) error {
		return p.output(filepath.Join(folder, name), write)
	})
	if err != nil {
		return err
	}
	return broken
}
