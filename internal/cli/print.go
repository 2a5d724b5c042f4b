package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/spf13/pflag"

	"cotline/internal/browser"
	"cotline/internal/page"
)

// longestName is how many characters the name of who printed may have: it must fit
// into the margin of a sheet.
const longestName = 40

// browserTime is how long a browser may take; a ward of twelve takes seconds, 120
// infants with their pictures took less than a minute of a busy machine.
const browserTime = 3 * time.Minute

// paper adds the flags of the faces that a nurse reads.
func (f *handoverFlags) paper(flags *pflag.FlagSet) {
	flags.BoolVar(&f.page.Initials, "initials", false, "infants by the initials of their names (text, html, pdf)")
	flags.StringVar(&f.page.PrintedBy, "printed-by", "", "who prints, for each sheet (html, pdf; default a line to write on)")
	flags.BoolVar(&f.page.Full, "full", false, "every fact of each infant, on paper with its pictures (text, html, pdf; default the "+
		"short form)")
	flags.BoolVar(&f.page.Bare, "no-pictures", false, "the full form without pictures, two infants a sheet (html, pdf)")
	flags.StringVar(&f.page.Paper, "paper", "", "size of the paper, "+strings.Join(page.Papers, " or ")+" (default of pdf "+
		page.Papers[0]+", of html the printer's)")
}

// sound refuses flags that mean nothing for the form asked for.
func (f *handoverFlags) sound(flags *pflag.FlagSet) error {
	onPaper := f.format == "html" || f.format == "pdf"
	if f.page.Initials && f.format == "json" {
		return wrong{"--initials changes no JSON: programs need the names", "leave it out, or give --format text, html or pdf"}
	}
	if f.page.Full && f.format == "json" {
		return wrong{"--full changes no JSON: it has every fact", "leave it out, or give --format text, html or pdf"}
	}
	if f.page.Bare && onPaper && !f.page.Full {
		return wrong{"--no-pictures is of the full form: the short one has none", "give --full too, or leave it out"}
	}
	if name := given(flags, "printed-by", "paper", "no-pictures"); name != "" && !onPaper {
		return wrong{"--" + name + " is for paper alone", "give --format html or pdf too"}
	}
	if utf8.RuneCountInString(f.page.PrintedBy) > longestName {
		return wrong{"--printed-by has no room on a sheet", fmt.Sprintf("give at most %d characters", longestName)}
	}
	if f.page.Paper == "" {
		return nil
	}
	i := slices.IndexFunc(page.Papers, func(p string) bool { return strings.EqualFold(p, f.page.Paper) })
	if i < 0 {
		return unfit("paper", f.page.Paper, "give "+strings.Join(page.Papers, " or "))
	}
	f.page.Paper = page.Papers[i]
	return nil
}

// noPDF is why no PDF could be made.
type noPDF struct{ why error }

func (n noPDF) Error() string { return n.why.Error() }

// pdf writes the print page as a PDF, by a browser.
func (p *Program) pdf(ctx context.Context, w io.Writer, c *compilation, o page.Options) error {
	if o.Paper == "" {
		o.Paper = page.Papers[0]
	}
	var text bytes.Buffer
	if err := page.HTML(&text, c.handover, c.ward, o); err != nil {
		return err
	}
	named, _ := p.Env("COTLINE_BROWSER")
	program, err := browser.Find(named)
	if err != nil {
		return noPDF{err}
	}
	dir, err := p.scratch.folder()
	if err != nil {
		return err
	}
	limited, cancel := context.WithTimeout(ctx, browserTime)
	defer cancel()
	made, err := browser.PDF(limited, dir, program, text.Bytes())
	switch {
	case ctx.Err() != nil:
		return ctx.Err()
	case err != nil:
		return noPDF{err}
	}
	_, err = w.Write(made)
	return err
}

// instead writes the print page, if no PDF could be made, beside where the PDF would
// have stood, and says how to get paper.
func (p *Program) instead(f handoverFlags, c *compilation, err error) error {
	var none noPDF
	if !errors.As(err, &none) {
		return err
	}
	const next = "or install chromium, or name a browser of its kind in COTLINE_BROWSER"
	if f.out == "" || f.out == "-" {
		return wrong{"no PDF was made: " + none.Error(), "print what --format html -o handover.html writes from any browser, " + next}
	}
	beside := f.out + ".html"
	if ext := filepath.Ext(f.out); strings.EqualFold(ext, ".pdf") {
		beside = strings.TrimSuffix(f.out, ext) + ".html"
	}
	if err := p.output(beside, func(w io.Writer) error { return page.HTML(w, c.handover, c.ward, f.page) }); err != nil {
		return err
	}
	return wrong{"no PDF was made: " + none.Error(), "the same sheets are in " + beside + ": open it in any browser and print it, " + next}
}
