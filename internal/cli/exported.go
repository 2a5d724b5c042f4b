package cli

import (
	"bufio"
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"

	"cotline/handover/entry"
)

// An export that this program wrote into a folder is read by its manifest: what parts it
// has, in which order, and that each is as it was written. A part that is missing or
// changed, and one that the manifest does not list, is refused by name, because half an
// export reads like a whole one.

// listed is a part of an export, as its manifest lists it.
type listed struct {
	File   string
	SHA256 string // of a bundle; empty: by count
	Count  int    // of resources one a line
}

// exportParts are the files to read: of a folder, the parts of the export in it.
func (p *Program) exportParts(ctx context.Context, names []string) (files []string, err error) {
	for _, name := range names {
		if info, err := os.Stat(name); name == "-" || err != nil || !info.IsDir() {
			files = append(files, name)
			continue
		}
		parts, ext, err := manifestOf(ctx, name)
		if err != nil {
			return nil, err
		}
		faults, err := partFaults(ctx, name, ext, parts)
		if err != nil {
			return nil, err
		}
		if len(faults) > 0 {
			p.tell(faults)
			p.say("nothing was taken: the export in the folder is not as it was written; have it written again, or name the files to read")
			return nil, errRefused
		}
		for _, l := range parts {
			files = append(files, filepath.Join(name, l.File))
		}
	}
	return files, nil
}

// manifestOf reads what parts the export in a folder has, and how their names end.
func manifestOf(ctx context.Context, dir string) (parts []listed, ext string, err error) {
	no := wrong{dir + " holds no manifest of an export", "name the files in it"}
	var m struct {
		Bundles []listed
		Output  []struct {
			URL   string
			Count int
		}
	}
	is, err := readManifest(ctx, filepath.Join(dir, manifestName), &m)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, "", no
	}
	if err != nil {
		return nil, "", err
	}
	if !is || (m.Bundles == nil) == (m.Output == nil) {
		return nil, "", no
	}
	parts, ext = m.Bundles, bundleForm
	if m.Output != nil {
		ext = ndjson
	}
	for _, o := range m.Output {
		parts = append(parts, listed{File: o.URL, Count: o.Count})
	}
	seen := map[string]bool{manifestName: true}
	for _, l := range parts {
		if filepath.Base(l.File) != l.File || formOf(l.File) != ext || seen[l.File] || ext == bundleForm && l.SHA256 == "" {
			return nil, "", no
		}
		seen[l.File] = true
	}
	return parts, ext, nil
}

// partFaults are the parts of an export that are not as its manifest lists them.
func partFaults(ctx context.Context, dir, ext string, parts []listed) (faults []fault, err error) {
	refuse := func(name, found, allowed string, code entry.Code) {
		faults = append(faults, fault{File: filepath.Join(dir, name), Code: code, Found: found, Allowed: allowed})
	}
	for _, l := range parts {
		same, err := l.holds(ctx, filepath.Join(dir, l.File))
		switch {
		case errors.Is(err, fs.ErrNotExist):
			refuse(l.File, "", "a part of the export that its manifest lists: it is missing", entry.CodeMissing)
		case err != nil:
			return nil, err
		case !same:
			refuse(l.File, "", "the part as the export wrote it: it was changed since", entry.CodeResource)
		}
	}
	there, err := os.ReadDir(dir)
	if err != nil {
		return nil, err
	}
	for _, f := range there {
		if formOf(f.Name()) == ext && f.Name() != manifestName &&
			!slices.ContainsFunc(parts, func(l listed) bool { return l.File == f.Name() }) {
			refuse(f.Name(), "", "only parts of the export that its manifest lists: name it by itself", entry.CodeResource)
		}
	}
	return faults, nil
}

// holds says whether a file is what was listed.
func (l listed) holds(ctx context.Context, path string) (bool, error) {
	f, err := openInput(ctx, path)
	if err != nil {
		return false, err
	}
	defer f.Close() // it was only read
	in := &stoppable{ctx: ctx, r: f}
	if l.SHA256 == "" {
		n, err := filledLines(in)
		return n == l.Count, err
	}
	sum := sha256.New()
	if _, err := io.Copy(sum, in); err != nil {
		return false, fmt.Errorf("%s: %w", path, err)
	}
	return hex.EncodeToString(sum.Sum(nil)) == l.SHA256, nil
}

// filledLines counts the lines that are not blank.
func filledLines(r io.Reader) (n int, err error) {
	in := bufio.NewReaderSize(r, 64<<10)
	filled := false
	for {
		piece, err := in.ReadSlice('\n')
		filled = filled || len(bytes.TrimSpace(piece)) > 0
		if errors.Is(err, bufio.ErrBufferFull) {
			continue
		}
		if filled {
			n++
		}
		if filled = false; err != nil {
			if errors.Is(err, io.EOF) {
				err = nil
			}
			return n, err
		}
	}
}
