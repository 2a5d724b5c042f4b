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
	"time"
)

// sinceLast is what --since says for the moment of the export in the folder.
const sinceLast = "last"

// mostManifest is how many bytes of a manifest are read: it lists 100,000 parts.
const mostManifest = 16 << 20

// lastExport is since when a receiver of the export in a folder lacks what was charted.
// That export must have been of what is asked for now.
func lastExport(ctx context.Context, f bundleFlags, infant string) (string, error) {
	if !folder(f.out) || f.kind != "transaction" {
		return "", wrong{"--since last reads the folder that is written to", "name it with -o DIR/, of transactions"}
	}
	path := filepath.Join(f.out, manifestName)
	file, err := os.Open(path)
	if errors.Is(err, fs.ErrNotExist) {
		return "", wrong{f.out + " holds no whole export", "write one first, without --since"}
	}
	if err != nil {
		return "", err
	}
	defer file.Close() // it was only read
	text, err := io.ReadAll(io.LimitReader(&stoppable{ctx: ctx, r: file}, mostManifest+1))
	if err != nil {
		return "", err
	}
	var m struct{ Type, Mode, At, Known, Infant string }
	if len(text) > mostManifest || json.Unmarshal(text, &m) != nil {
		return "", wrong{path + " is no manifest of an export", "write a whole one first, without --since"}
	}
	for _, x := range []struct{ what, was, is string }{
		{"--type", m.Type, f.kind}, {"--mode", m.Mode, f.mode}, {"--infant", m.Infant, infant}} {
		if x.was != x.is {
			return "", wrong{fmt.Sprintf("the export in %s had another %s", f.out, x.what), "give the same, or another folder"}
		}
	}
	if m.At != m.Known {
		return "", wrong{fmt.Sprintf("the export in %s was of %s as known at %s", f.out, m.At, m.Known), "give --since a moment"}
	}
	known, err := time.Parse(time.RFC3339, m.Known)
	if err != nil {
		return "", wrong{path + " is no manifest of an export", "write a whole one first, without --since"}
	}
	// An entry that was charted within that second may have come after the export.
	return known.Add(-time.Second).Format(time.RFC3339), nil
}
