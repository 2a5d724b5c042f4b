package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"slices"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"cotline/fhir"
	"cotline/handover"
	"cotline/internal/journal"
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
	cmd.Flags().StringVarP(&out, "output", "o", "", "write to this file")
	return cmd
}

func (p *Program) runTransfer(ctx context.Context, s *settings, out string) error {
	c, broken := s.compile(ctx)
	if broken != nil && c == nil {
		return broken
	}
	site, err := s.siteCodes(c.ward.Policy)
	if err != nil {
		return err
	}
	files, _, err := s.documents(c, site)
	if err != nil {
		return err
	}
	return errors.Join(p.output(out, func(w io.Writer) error { _, err := w.Write(files[0].text); return err }), broken)
}

// foreign is how resources that others wrote are charted.
type foreign struct{ by, admit string }

func (f *foreign) flags(cmd *cobra.Command) {
	cmd.Flags().StringVar(&f.by, "by", "", "staff key under which what others observed is charted (FHIR files)")
	cmd.Flags().StringVar(&f.admit, "admit", "", "KEY=COT: admit the one Patient of a FHIR file who is not known")
}

// given is what FHIR files are read with, made when there is one.
func (s *settings) given(ctx context.Context, policy *handover.Policy, f foreign) (fhir.Given, error) {
	g := fhir.Given{Policy: policy, By: f.by}
	if f.admit != "" {
		var ok bool
		if g.Admit, g.Cot, ok = strings.Cut(f.admit, "="); !ok || g.Admit == "" || g.Cot == "" {
			return g, wrong{"--admit " + f.admit, "give KEY=COT"}
		}
	}
	if _, err := os.Stat(s.record); errors.Is(err, fs.ErrNotExist) {
		return g, nil
	}
	j, err := s.open(ctx, false)
	if err != nil {
		return g, err
	}
	err = j.Holding(ctx, func(held handover.Holding) { g.Known = numbers(held, s.program.Now()) })
	if errors.Is(err, journal.ErrDamaged) {
		err = nil // charting says so
	}
	if err = errors.Join(err, j.Store.Close()); err != nil {
		err = fmt.Errorf("record %s: %w", s.record, err)
	}
	return g, err
}

// numbers are the infants by their hospital number; "" where two have one.
func numbers(held handover.Holding, now time.Time) map[string]string {
	out := map[string]string{}
	for _, key := range held.Keys() {
		number := ""
		for _, r := range handover.Replay(held.Infant(key), now).Infants {
			for _, e := range r.Entries {
				if e.Has("mrn") {
					number = e.Text("mrn")
				}
			}
		}
		if _, twice := out[number]; twice {
			key = ""
		}
		if number != "" {
			out[number] = key
		}
	}
	return out
}

// inBundle says where in a bundle a fault is.
func (f *fault) inBundle(paths []string) {
	if f.Line < 1 || f.Line > len(paths) {
		return
	}
	f.Path = strings.Trim(paths[f.Line-1]+"."+f.Path, ".")
	f.Line = 0
}

// tellAside lists resources that are not read, those of a kind in one line.
func (p *Program) tellAside(aside []fault) {
	var order []string
	count, first := map[string]int{}, map[string]fault{}
	for _, f := range aside {
		k := f.File + "\n" + f.Found + "\n" + f.Allowed
		if count[k] == 0 {
			order, first[k] = append(order, k), f
		}
		count[k]++
	}
	for _, k := range order {
		f := first[k]
		p.say("%s: %s, first %s: %s [%s]", f.File, plural(count[k], f.Found), f.place(), f.Allowed, f.Code)
	}
}

func (f fault) place() string {
	if f.Line > 0 {
		return fmt.Sprintf("line %d", f.Line)
	}
	return f.Path
}

// reportAs is the report in the form that a file's name asks for.
func reportAs(name string, faults, aside []fault) ([]byte, error) {
	all := slices.Concat(faults, aside)
	if formOf(name) != bundleForm {
		return report(all)
	}
	out := []byte(`{"resourceType":"OperationOutcome","issue":[`)
	if len(all) == 0 {
		out = append(out, `{"severity":"information","code":"informational","diagnostics":"nothing was refused or left aside"}`...)
	}
	for n, f := range all {
		if n > 0 {
			out = append(out, ',')
		}
		severity, code := "error", "invalid"
		switch f.Code {
		case handover.CodeAside:
			severity, code = "information", "not-supported"
		case handover.CodeMissing:
			code = "required"
		case handover.CodeIDConflict:
			code = "conflict"
		case handover.CodeReference:
			code = "not-found"
		case handover.CodeNotAdmitted, handover.CodeAlreadyAdmitted, handover.CodeClock:
			code = "business-rule"
		}
		out = fmt.Appendf(out, "\n{\"severity\":%q,\"code\":%q,\"details\":{\"text\":", severity, code)
		out = handover.AppendString(out, string(f.Code))
		out = append(out, `},"diagnostics":`...)
		out = handover.AppendString(out, f.String())
		if f.Line == 0 && strings.HasPrefix(f.Path, "Bundle.") {
			out = append(out, `,"expression":[`...)
			out = append(handover.AppendString(out, f.Path), ']')
		}
		out = append(out, '}')
	}
	return append(out, "\n]}\n"...), nil
}
