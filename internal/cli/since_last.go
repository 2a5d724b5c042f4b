package cli

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"

	"cotline/handover"
)

// sinceLast is what --since says for the moment of the export in the folder.
const sinceLast = "last"

// mostManifest is how many bytes of a manifest are read: it lists 100,000 parts.
const mostManifest = 16 << 20

// lastSent is the export that a folder holds, as far as the next one goes on from it.
type lastSent struct {
	since       string // when a receiver of it begins to lack what was charted
	send, leave []string
}

// lastExport reads it from the manifest. It must have been of what is asked for now.
func lastExport(ctx context.Context, f bundleFlags, infant string) (*lastSent, error) {
	if !folder(f.out) || f.kind != "transaction" {
		return nil, wrong{"--since last reads the folder that is written to", "name it with -o DIR/, of transactions"}
	}
	path := filepath.Join(f.out, manifestName)
	var m struct {
		Type, Mode, At, Known, Infant string
		Send, Leave                   []string
	}
	is, err := readManifest(ctx, path, &m)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, wrong{f.out + " holds no whole export", "write one first, without --since"}
	}
	if err != nil {
		return nil, err
	}
	if !is {
		return nil, wrong{path + " is no manifest of an export", "write a whole one first, without --since"}
	}
	for _, x := range []struct{ what, was, is string }{
		{"--type", m.Type, f.kind}, {"--mode", m.Mode, f.mode}, {"--infant", m.Infant, infant}} {
		if x.was != x.is {
			return nil, wrong{fmt.Sprintf("the export in %s had another %s", f.out, x.what), "give the same, or another folder"}
		}
	}
	if m.At != m.Known {
		return nil, wrong{fmt.Sprintf("the export in %s was of %s as known at %s", f.out, m.At, m.Known), "give --since a moment"}
	}
	known, err := time.Parse(time.RFC3339, m.Known)
	if err != nil {
		return nil, wrong{path + " is no manifest of an export", "write a whole one first, without --since"}
	}
	// An entry that was charted within that second may have come after the export.
	return &lastSent{known.Add(-time.Second).Format(time.RFC3339), m.Send, m.Leave}, nil
}

// readManifest reads a manifest into a value, and says whether it is one.
func readManifest(ctx context.Context, path string, into any) (is bool, err error) {
	file, err := os.Open(path)
	if err != nil {
		return false, err
	}
	defer file.Close() // it was only read
	text, err := io.ReadAll(io.LimitReader(&stoppable{ctx: ctx, r: file}, mostManifest+1))
	return len(text) <= mostManifest && json.Unmarshal(text, into) == nil, err
}

// held refuses a difference to an export that held other things by the policy: the
// receiver would lack for good what was not sent then, or keep what is not sent now.
func (l *lastSent) held(dir string, p *handover.Policy) error {
	if l == nil || l.send == nil { // a manifest of before this was told
		return nil
	}
	for n, of := range policyTold(p) {
		if !slices.Equal([][]string{l.send, l.leave}[n], of.words) {
			return wrong{fmt.Sprintf("the export in %s was made with another fhir.%s in the policy", dir, of.name),
				"write a whole one first, without --since"}
		}
	}
	return nil
}
