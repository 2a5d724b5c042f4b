// Package browser makes a PDF of a page of ours with a browser that is installed.
//
// The browser runs without a window, on a profile that is thrown away, with no
// network. Its own messages are shown to nobody, because they may hold paths.
package browser

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// Names are the programs to look for, Chromium and what is built from it. Find takes
// the first that is installed.
var Names = []string{"chromium", "chromium-browser", "google-chrome-stable", "google-chrome", "chrome"}

// Oldest is the first major version that prints margin boxes (CSS Paged Media Level
// 3), in which our page carries its number.
const Oldest = 131

// Reasons why there is no PDF.
var (
	ErrNone   = errors.New("no browser was found")
	ErrCannot = errors.New("the browser cannot be run")
	ErrSlow   = errors.New("the browser did not finish")
	ErrFailed = errors.New("the browser made no PDF")
	ErrOld    = fmt.Errorf("the browser is not a Chromium of version %d or newer", Oldest)
)

// Find is the path of a browser: the one named, else the first of Names that is installed.
// Its errors are ErrCannot, of the one named, and ErrNone.
func Find(named string) (string, error) {
	if named != "" {
		path, err := exec.LookPath(named)
		if err != nil {
			return "", ErrCannot
		}
		return path, nil
	}
	for _, name := range Names {
		if path, err := exec.LookPath(name); err == nil {
			return path, nil
		}
	}
	return "", ErrNone
}

// PDF prints a page that refers to no other file, and gives the PDF. What the browser needs
// stands in a fresh folder below within, which must be the caller's alone, and is removed.
// The deadline of ctx limits how long the browser may take. Errors are ErrSlow, ErrCannot,
// ErrFailed and ErrOld, or those of ctx and of the disk.
func PDF(ctx context.Context, within, program string, page []byte) ([]byte, error) {
	dir, err := os.MkdirTemp(within, "print-*")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir) // a profile that is still being closed
	from, to := filepath.Join(dir, "page.html"), filepath.Join(dir, "page.pdf")
	if err := os.WriteFile(from, page, 0o600); err != nil {
		return nil, err
	}
	// #nosec G204 -- the browser that the operator names, with flags of our own
	cmd := exec.CommandContext(ctx, program, flags(dir, from, to)...)
	cmd.Env = append(os.Environ(), "XDG_CONFIG_HOME="+dir, "XDG_CACHE_HOME="+dir) // no trace at home either
	cmd.WaitDelay = time.Second
	err = cmd.Run()
	switch {
	case errors.Is(ctx.Err(), context.DeadlineExceeded):
		return nil, ErrSlow
	case ctx.Err() != nil:
		return nil, ctx.Err()
	case err != nil && cmd.ProcessState == nil:
		return nil, ErrCannot
	case err != nil:
		return nil, ErrFailed
	}
	made, err := readMade(to)
	if err != nil || !bytes.HasPrefix(made, []byte("%PDF-")) || !bytes.HasSuffix(bytes.TrimSpace(made), []byte("%%EOF")) {
		return nil, ErrFailed
	}
	return neutral(made)
}

// mostMade is how much of what a browser made is read; a ward of 120 infants takes some
// 10 MB.
const mostMade = 512 << 20

func readMade(name string) ([]byte, error) {
	f, err := os.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close() // it was only read
	made, err := io.ReadAll(io.LimitReader(f, mostMade+1))
	if err == nil && len(made) > mostMade {
		err = ErrFailed
	}
	return made, err
}

func flags(dir, from, to string) []string {
	page := url.URL{Scheme: "file", Path: "/" + strings.TrimPrefix(filepath.ToSlash(from), "/")}
	out := []string{
		"--headless", "--disable-gpu", "--no-first-run", "--no-default-browser-check", "--disable-extensions", "--disable-dev-shm-usage",
		"--disable-background-networking", "--disable-component-update", "--disable-sync", "--host-resolver-rules=MAP * ~NOTFOUND",
		"--disable-crash-reporter", "--disable-breakpad", // a dump would hold the page
		"--user-data-dir=" + filepath.Join(dir, "profile"),
		"--generate-pdf-document-outline", "--no-pdf-header-footer", "--print-to-pdf=" + to, page.String(),
	}
	if os.Geteuid() == 0 {
		return append([]string{"--no-sandbox"}, out...) // the superuser has no other way
	}
	return out
}

var (
	maker    = regexp.MustCompile(`/Producer \(Skia/PDF m(\d+)\)`)
	personal = regexp.MustCompile(`/Creator \((?:[^\\()]|\\.)*\)|/(?:Creation|Mod)Date \([^()]*\)`)
)

// neutral blanks the parts of a PDF's description that say what computer made it and
// when; the title stays. Blanks of the same length keep every offset of the file.
func neutral(pdf []byte) ([]byte, error) {
	at := maker.FindSubmatchIndex(pdf)
	if at == nil {
		return nil, ErrOld
	}
	start, length := bytes.LastIndex(pdf[:at[0]], []byte("<<")), bytes.Index(pdf[at[1]:], []byte(">>"))
	if version, err := strconv.Atoi(string(pdf[at[2]:at[3]])); err != nil || version < Oldest || start < 0 || length < 0 {
		return nil, ErrOld
	}
	described := pdf[start : at[1]+length]
	copy(described, personal.ReplaceAllFunc(described, func(b []byte) []byte { return bytes.Repeat([]byte(" "), len(b)) }))
	return pdf, nil
}
