package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"os"
	"path/filepath"
	"sync"
	"time"

	"cotline/fhir"
	"cotline/handover"
	"cotline/internal/browser"
	"cotline/internal/page"
	"cotline/internal/web"
)

// siteCodes are the site's further codings of a policy.
type siteCodes = func(*handover.Policy) (fhir.SiteCodes, error)

// pdfMaker makes PDFs by an installed browser, one at a time; nil where there is none.
func (p *Program) pdfMaker() (func(context.Context, []byte) ([]byte, error), error) {
	named, _ := p.Env("COTLINE_BROWSER")
	program, err := browser.Find(named)
	if err != nil {
		return nil, nil // pages for paper are HTML then, and say so
	}
	dir, err := p.scratch.folder()
	if err != nil {
		return nil, err
	}
	var one sync.Mutex
	return func(ctx context.Context, text []byte) ([]byte, error) {
		one.Lock()
		defer one.Unlock()
		return browser.PDF(ctx, dir, program, text)
	}, nil
}

// hourly writes the handover of each unit for paper into a folder, so that there is one
// when the server is gone.
type hourly struct {
	program *Program
	server  *web.Server
	units   []string
	dir     string
	pdf     func(context.Context, []byte) ([]byte, error) // nil: no browser
	log     *slog.Logger
	done    chan struct{}
}

// againAfter is how soon it is tried once more after it failed.
const againAfter = time.Minute

// start writes the first ones, so that a folder that cannot be written to is told at the
// start, and goes on each hour until the context ends.
func (h *hourly) start(ctx context.Context) error {
	if err := makeFolder(h.dir); err != nil {
		return err
	}
	if err := h.write(ctx); err != nil {
		return wrong{"--hourly: " + err.Error(), "name a folder that can be written to, or leave it out"}
	}
	h.done = make(chan struct{})
	go func() {
		defer close(h.done)
		for wait := untilNext(time.Now()); ; {
			select {
			case <-ctx.Done():
				return
			case <-time.After(wait):
			}
			wait = untilNext(time.Now())
			if err := h.write(ctx); err != nil && ctx.Err() == nil {
				h.log.Error("the handover for paper could not be written; it is tried again in a minute", "error", err.Error())
				wait = againAfter
			}
		}
	}()
	return nil
}

// wait waits for what is being written.
func (h *hourly) wait() { <-h.done }

// untilNext is how long it is to the next full hour: no more than one.
func untilNext(now time.Time) time.Duration {
	return now.Truncate(time.Hour).Add(time.Hour).Sub(now)
}

func (h *hourly) write(ctx context.Context) error {
	for _, unit := range h.units {
		told, ward, err := h.server.Paper(ctx, unit)
		if err != nil {
			return errors.New("the record cannot be read")
		}
		var text bytes.Buffer
		if err := page.HTML(&text, told, ward, page.Options{Paper: page.Papers[0]}); err != nil {
			return err
		}
		base := filepath.Join(h.dir, "handover-"+unit)
		if err := h.put(base+".html", text.Bytes()); err != nil {
			return err
		}
		if err := h.putPDF(ctx, base+".pdf", text.Bytes()); err != nil {
			return err
		}
	}
	return nil
}

// putPDF writes the PDF. Where none can be made, the one of an hour ago goes: nobody is to
// print it beside a newer page.
func (h *hourly) putPDF(ctx context.Context, path string, text []byte) error {
	if h.pdf != nil {
		limited, cancel := context.WithTimeout(ctx, browserTime)
		made, err := h.pdf(limited, text)
		cancel()
		if err == nil {
			return h.put(path, made)
		}
		h.log.Error("no PDF of the handover was made; the page for paper is there", "error", err.Error())
	}
	if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("an old PDF cannot be taken away: %w", err)
	}
	return nil
}

func (h *hourly) put(path string, text []byte) error {
	return h.program.output(path, func(w io.Writer) error { _, err := w.Write(text); return err })
}
