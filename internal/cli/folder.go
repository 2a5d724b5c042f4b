package cli

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

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
// folder without a manifest is not whole: what was written before a failure is removed.
func (p *Program) bundleFolder(f bundleFlags, c *compilation, each bundles) (held []fhir.Held, err error) {
	var written []bundleSum
	defer func() {
		if err != nil {
			for _, b := range written {
				os.Remove(filepath.Join(f.out, b.name)) // the failure is told
			}
		}
	}()
	ready := false // nothing is touched before there is something to write
	held, err = each(func(b bundleFile) error {
		if !ready {
			if err := emptied(f); err != nil {
				return err
			}
			ready = true
		}
		written = append(written, bundleSum{b.name, len(b.text), sha256.Sum256(b.text)})
		return p.into(f.out, b.name, b.text)
	})
	if err == nil && !ready {
		err = emptied(f)
	}
	if err != nil {
		return held, err
	}
	return held, p.into(f.out, manifestName, manifest(f, c, written))
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
