package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"strings"
	"unicode/utf8"

	"cotline/internal/intake"
)

// stoppable is an input whose reading ends when the work is to stop, also while nothing
// comes.
type stoppable struct {
	ctx context.Context
	r   io.Reader
	buf []byte
}

type readResult struct {
	n   int
	err error
}

func (s *stoppable) Read(p []byte) (int, error) {
	if err := s.ctx.Err(); err != nil {
		return 0, err
	}
	if len(s.buf) < len(p) {
		s.buf = make([]byte, len(p))
	}
	buf, done := s.buf[:len(p)], make(chan readResult, 1)
	go func() {
		n, err := s.r.Read(buf)
		done <- readResult{n, err}
	}()
	select {
	case <-s.ctx.Done():
		s.buf = nil // the reading that goes on keeps it
		return 0, s.ctx.Err()
	case r := <-done:
		return copy(p, buf[:r.n]), r.err
	}
}

// openInput opens a file that is read. A pipe that nobody writes to does not hold up a
// signal.
func openInput(ctx context.Context, name string) (*os.File, error) {
	type opened struct {
		f   *os.File
		err error
	}
	done := make(chan opened, 1)
	go func() {
		f, err := os.Open(name)
		done <- opened{f, err}
	}()
	select {
	case <-ctx.Done():
		return nil, ctx.Err()
	case o := <-done:
		if o.err != nil {
			return nil, o.err
		}
		if info, err := o.f.Stat(); err == nil && info.IsDir() {
			o.f.Close() // it was only opened
			return nil, wrong{name + " is a directory", "name a file"}
		}
		return o.f, nil
	}
}

// readSettings reads a policy, a map or a list of codings, no further than tells that
// it is too long.
func readSettings(ctx context.Context, name string) ([]byte, error) {
	f, err := openInput(ctx, name)
	if err != nil {
		return nil, err
	}
	defer f.Close() // it was only read
	text, err := io.ReadAll(io.LimitReader(&stoppable{ctx: ctx, r: f}, intake.MostSettings+1))
	var at *fs.PathError
	if err != nil && !errors.As(err, &at) {
		err = fmt.Errorf("%s: %w", name, err)
	}
	return text, err
}

// longestFile is of a file that is written, in bytes: what file systems in general use
// take, less the end of a second file beside it.
const longestFile = 240

// named refuses a name that no file can have.
func named(path string) error {
	const longestPath = 4000 // Linux takes 4,095
	longest := len(path) - longestPath + longestFile
	// #nosec G115 -- below utf8.RuneSelf
	for _, part := range strings.FieldsFunc(path, func(r rune) bool { return r < utf8.RuneSelf && os.IsPathSeparator(uint8(r)) }) {
		longest = max(longest, len(part))
	}
	if longest > longestFile {
		return wrong{"the name of a file to write is too long", fmt.Sprintf("give one of at most %d bytes", longestFile)}
	}
	for _, r := range path {
		if hidden(r) {
			return wrong{"the name of a file to write holds a character that nobody sees", "leave it out"}
		}
	}
	return nil
}
