package cli

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"cotline/fhir"
	"cotline/handover"
	"cotline/handover/entry"
)

// folder says whether a name given with -o is a folder's.
func folder(out string) bool {
	if strings.HasSuffix(out, "/") || strings.HasSuffix(out, string(filepath.Separator)) {
		return true
	}
	info, err := os.Stat(out)
	return out != "" && err == nil && info.IsDir()
}

// into writes one file of a folder.
func (p *Program) into(dir, name string, text []byte) error {
	return p.output(filepath.Join(dir, name), func(w io.Writer) error { _, err := w.Write(text); return err })
}

// bundleFolder writes bundles, each as soon as it is made, and then the manifest:
// which there are, in which order they are sent, and how they name what they send. A
// folder without a manifest is not whole: what was written before a failure, or before the
// context ends, is removed, and that is waited for.
// So bundles may become durable in any order, some while the next are made; all are
// before the manifest is begun.
func (p *Program) bundleFolder(ctx context.Context, f bundleFlags, c *compilation, each bundles) (held []fhir.Held, err error) {
	p.patience.Store(int64(tidying))
	var written []bundleSum
	var side sideBySide
	defer func() {
		if side.wait(); err != nil {
			for _, b := range written {
				os.Remove(filepath.Join(f.out, b.name)) // the failure is told
			}
		}
	}()
	ready := false // nothing is touched before there is something to write
	held, err = each(func(b bundleFile) error {
		if err := ctx.Err(); err != nil {
			return err
		}
		if !ready {
			if err := emptied(f); err != nil {
				return err
			}
			ready = true
		}
		written = append(written, bundleSum{b.name, len(b.text), sha256.Sum256(b.text)})
		place, err := p.placing(filepath.Join(f.out, b.name), func(w io.Writer) error { _, err := w.Write(b.text); return err })
		if err != nil {
			return err
		}
		return side.do(place)
	})
	if err == nil && !ready {
		err = emptied(f)
	}
	if failed := side.wait(); err == nil {
		err = failed
	}
	if err == nil {
		err = cmp.Or(ctx.Err(), syncDir(f.out))
	}
	if err != nil {
		return held, err
	}
	return held, p.into(f.out, manifestName, manifest(f, c, written))
}

// tidying is how long it may take to remove what was written: files hold names.
const tidying = 10 * time.Second

// sideBySide does some things at a time, since a disk takes as long for several as for
// one.
type sideBySide struct {
	group sync.WaitGroup
	room  chan struct{}
	mutex sync.Mutex
	err   error
}

// atATime is how many.
const atATime = 16

// do does a thing beside others. It returns the error of an earlier one.
func (s *sideBySide) do(thing func() error) error {
	if s.room == nil {
		s.room = make(chan struct{}, atATime)
	}
	s.room <- struct{}{}
	s.group.Go(func() {
		s.failed(thing())
		<-s.room
	})
	return s.failed(nil)
}

// failed keeps the first error.
func (s *sideBySide) failed(err error) error {
	s.mutex.Lock()
	defer s.mutex.Unlock()
	if s.err == nil {
		s.err = err
	}
	return s.err
}

// wait returns when all are done, the first error.
func (s *sideBySide) wait() error {
	s.group.Wait()
	return s.failed(nil)
}

// bundleSum is what the manifest says of a bundle.
type bundleSum struct {
	name  string
	bytes int
	sum   [sha256.Size]byte
}

// manifestName is a name that no bundle has.
const manifestName = "manifest.json"

func manifest(f bundleFlags, c *compilation, all []bundleSum) []byte {
	text := entry.AppendString([]byte("{\n  \"type\": "), f.kind)
	if f.kind == "transaction" {
		text = entry.AppendString(append(text, ",\n  \"mode\": "...), f.mode)
	}
	text = entry.AppendString(append(text, ",\n  \"at\": "...), entry.Stamp(c.at, c.ward.Policy.Zone))
	text = entry.AppendString(append(text, ",\n  \"known\": "...), entry.Stamp(c.known, c.ward.Policy.Zone))
	if !c.since.IsZero() {
		text = entry.AppendString(append(text, ",\n  \"since\": "...), entry.Stamp(c.since, c.ward.Policy.Zone))
	}
	for _, of := range policyTold(c.ward.Policy) {
		text = append(append(entry.AppendString(append(text, ",\n  "...), of.name), ": ["...), wordList(of.words)...)
		text = append(text, ']')
	}
	if f.infant != "" {
		text = entry.AppendString(append(text, ",\n  \"infant\": "...), f.infant)
	}
	text = append(text, ",\n  \"bundles\": ["...)
	for n, b := range all {
		if n > 0 {
			text = append(text, ',')
		}
		text = entry.AppendString(append(text, "\n    {\"file\": "...), b.name)
		text = fmt.Appendf(text, ", \"part\": %d, \"of\": %d, \"bytes\": %d, \"sha256\": \"%s\"}", n+1, len(all), b.bytes,
			hex.EncodeToString(b.sum[:]))
	}
	return append(text, "\n  ]\n}\n"...)
}

// policyTold is what a manifest tells of the policy: a difference goes on only from an
// export that held the same.
func policyTold(p *handover.Policy) []struct {
	name  string
	words []string
} {
	return []struct {
		name  string
		words []string
	}{{"send", p.FHIR.Send}, {"leave", p.FHIR.Leave}}
}

// wordList is a list of words in JSON, without its brackets.
func wordList(words []string) (out []byte) {
	for n, w := range words {
		if n > 0 {
			out = append(out, ", "...)
		}
		out = entry.AppendString(out, w)
	}
	return out
}

// emptied makes the folder, and removes what an earlier export of the type left there,
// its manifest first.
func emptied(f bundleFlags) error {
	if err := makeFolder(f.out); err != nil {
		return err
	}
	stale, err := filepath.Glob(filepath.Join(f.out, f.kind+"-*.json"))
	if err != nil {
		return err
	}
	for _, old := range append([]string{filepath.Join(f.out, manifestName)}, stale...) {
		if err := os.Remove(old); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return err
		}
	}
	return nil
}
