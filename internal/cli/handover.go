package cli

import (
	"context"
	"errors"
	"io"

	"github.com/spf13/cobra"

	"cotline/handover"
	"cotline/internal/access"
	"cotline/internal/journal"
	"cotline/internal/page"
)

type handoverFlags struct {
	format, out, signed, pictures string
	page                          page.Options
}

func (p *Program) handover(s *settings) *cobra.Command {
	var f handoverFlags
	cmd := &cobra.Command{
		Use:   "handover",
		Short: "Compile the handover of every infant admitted at a moment",
		Long: `handover compiles, for one moment, every infant admitted at that moment: first
the ward with all that must be looked at first, then each infant in a dozen
lines. --full tells every fact. With --signed it prints the bytes of a handover
as they were signed, or with --format a face of them.

On paper two infants stand on a sheet; with --full each has a sheet with its
pictures, or with --no-pictures half of one.

For paper, --format pdf has a browser on this machine (chromium, or what
COTLINE_BROWSER names) make a PDF; without one the same sheets are written as HTML.

` + page.Caution,
		Args: cobra.NoArgs,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if f.signed == "" {
				if err := f.sound(cmd.Flags()); err != nil {
					return err
				}
				return p.runHandover(cmd.Context(), s, f)
			}
			if err := f.ofSigned(cmd); err != nil {
				return err
			}
			return p.runSigned(cmd.Context(), s, f)
		},
	}
	s.reading(cmd, "at", "known", "since")
	s.several(cmd)
	f.paper(cmd.Flags())
	cmd.Flags().StringVar(&f.format, "format", "text", "text, json, html (for print) or pdf")
	cmd.Flags().StringVarP(&f.out, "output", "o", "", "write to this file")
	cmd.Flags().StringVar(&f.pictures, "pictures", "", "also draw each infant's pictures into this folder, SVG")
	cmd.Flags().StringVar(&f.signed, "signed", "", "print the handover signed by this entry, to the byte; with --format, a "+
		"face of it")
	return cmd
}

// face is the form that a handover is printed in.
func (p *Program) face(ctx context.Context, f handoverFlags) (func(io.Writer, *compilation) error, error) {
	o := f.page
	switch f.format {
	case "text":
		none, _ := p.Env("NO_COLOR")
		o.Colour = p.Colour && f.out == "" && none == ""
		return func(w io.Writer, c *compilation) error { return page.Text(w, c.handover, o) }, nil
	case "json":
		return func(w io.Writer, c *compilation) error { _, err := w.Write(page.JSON(c.handover)); return err }, nil
	case "html":
		return func(w io.Writer, c *compilation) error { return page.HTML(w, c.handover, c.ward, o) }, nil
	case "pdf":
		if p.Colour && (f.out == "" || f.out == "-") {
			return nil, wrong{"a PDF is nothing for a terminal", "name a file with -o"}
		}
		return func(w io.Writer, c *compilation) error { return p.pdf(ctx, w, c, o) }, nil
	}
	return nil, unfit("format", f.format, "give text, json, html or pdf")
}

func (p *Program) runHandover(ctx context.Context, s *settings, f handoverFlags) error {
	if _, err := p.face(ctx, f); err != nil {
		return err
	}
	s.narrow = true
	c, broken := s.compile(ctx, true)
	if broken != nil && c == nil {
		return broken
	}
	if broken == nil {
		s.notedOf(ctx, f.kind(), "handover", c)
	}
	return errors.Join(p.show(ctx, f, c), broken)
}

// kind is what the trace calls it: html and pdf are for paper.
func (f handoverFlags) kind() access.EventKind {
	if f.format == "html" || f.format == "pdf" {
		return access.Printed
	}
	return access.Read
}

// show writes a handover in the form asked for, and its pictures.
func (p *Program) show(ctx context.Context, f handoverFlags, c *compilation) error {
	write, err := p.face(ctx, f)
	if err != nil {
		return err
	}
	err = p.output(f.out, func(w io.Writer) error { return write(w, c) })
	if f.format == "pdf" {
		err = p.instead(f, c, err)
	}
	if err != nil {
		return err
	}
	if f.pictures != "" {
		return p.draw(f.pictures, c)
	}
	return nil
}

// draw writes each infant's pictures, named by the record's key.
func (p *Program) draw(dir string, c *compilation) error {
	if err := makeFolder(dir); err != nil {
		return err
	}
	for _, f := range c.handover.Infants {
		for _, picture := range page.Pictures(c.handover, c.ward, f) {
			if err := p.into(dir, f.Infant+"-"+picture.Name+".svg", picture.SVG); err != nil {
				return err
			}
		}
	}
	return nil
}

// compilation is a handover and what it was compiled from.
type compilation struct {
	handover *handover.Handover // nil: none was wanted
	ward     handover.Ward
	chains   map[int64]journal.Hash // heads at the positions where handovers were signed
	window
}

// compile reads the record and compiles what was asked for; without a handover, where none is
// wanted of the whole ward. Of a stored record that is broken, it returns both the compilation
// and errRefused.
func (s *settings) compile(ctx context.Context, handed bool) (*compilation, error) {
	w, err := s.window()
	if err != nil {
		return nil, err
	}
	about := s.about(w)
	r, policy, broken := s.readAbout(ctx, about)
	if broken != nil && len(r.Findings) == 0 {
		return nil, broken
	}
	ward := r.Ward(policy)
	ward.Only = about.Infants
	c := &compilation{nil, ward, r.Chains, w}
	if handed || s.choosing() {
		c.handover = compile(ward, w, r)
		if err := s.choose(c.handover); err != nil {
			return nil, err
		}
	}
	return c, broken
}

// about is what must be read of the record: where infants are asked for by key, and
// nothing but their handover is made, what concerns them.
func (s *settings) about(w window) journal.About {
	if !s.narrow {
		return journal.About{}
	}
	return journal.About{Infants: asked(s.infant, s.infants), At: w.at, Known: w.known, Since: w.since}
}
