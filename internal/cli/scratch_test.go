//go:build unix

package cli

import (
	"io"
	"os"
	"path/filepath"
	"sync"
	"testing"
)

// What a killed command left is taken away by the next one, wherever it stands; what a
// living one works on stays.
func TestLeftoversAreSwept(t *testing.T) {
	t.Setenv("TMPDIR", t.TempDir())
	out := t.TempDir()
	begin := func(name string) (*scratch, string) {
		s := new(scratch)
		f, err := s.half(filepath.Join(out, name))
		if err != nil {
			t.Fatal(err)
		}
		dir, err := s.folder()
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, "page.html"), []byte("a name"), 0o600); err != nil {
			t.Fatal(err)
		}
		return s, f.Name()
	}
	living, keeps := begin("living.html")
	killed, left := begin("killed.html")
	killed.lock.Close() // as the system does when a process ends
	p, _, _ := inProcess(t)
	if code := p.Run(t.Context(), []string{"schema"}); code != exitDone {
		t.Fatal(code)
	}
	if _, err := os.Stat(left); err == nil {
		t.Error("a half-written file stays")
	}
	if _, err := os.Stat(killed.dir); err == nil {
		t.Error("the folder of a killed command stays")
	}
	if _, err := os.Stat(keeps); err != nil {
		t.Error(err)
	}
	if info, err := os.Stat(ours()); err != nil || info.Mode().Perm() != 0o700 {
		t.Error(info, err)
	}
	living.end()
	if runs, err := os.ReadDir(ours()); err != nil || len(runs) > 0 {
		t.Error(runs, err)
	}
}

// Commands that start while another sweeps keep what they make.
func TestSweepSparesWhoBegins(t *testing.T) {
	t.Setenv("TMPDIR", t.TempDir())
	out := t.TempDir()
	var group sync.WaitGroup
	for range 8 {
		group.Go(func() {
			for range 25 {
				sweep()
				s := new(scratch)
				f, err := s.half(filepath.Join(out, "book.xlsx"))
				if err != nil {
					t.Error(err)
					return
				}
				sweep()
				if _, err := os.Stat(f.Name()); err != nil {
					t.Error(err)
				}
				f.Close()
				os.Remove(f.Name())
				s.end()
			}
		})
	}
	group.Wait()
}

// A folder that somebody else could look into is not used, and nothing in it is taken
// away.
func TestScratchIsPrivate(t *testing.T) {
	t.Setenv("TMPDIR", t.TempDir())
	if err := os.Mkdir(ours(), 0o755); err != nil {
		t.Fatal(err)
	}
	kept := filepath.Join(ours(), "kept")
	if err := os.Mkdir(kept, 0o700); err != nil {
		t.Fatal(err)
	}
	p, _, _ := inProcess(t)
	if err := p.output(filepath.Join(t.TempDir(), "a"), func(io.Writer) error { return nil }); err == nil {
		t.Error("it was used")
	}
	sweep()
	if _, err := os.Stat(kept); err != nil {
		t.Error(err)
	}
}

// Folders that are made are their owner's alone, for what stands in them holds names.
func TestFoldersArePrivate(t *testing.T) {
	t.Parallel()
	policy, record := demoFiles(t)
	dir := t.TempDir()
	for _, args := range [][]string{
		{"handover", "--pictures", filepath.Join(dir, "pictures")}, {"workbook", "--csv", filepath.Join(dir, "csv")},
		{"bundle", "-o", filepath.Join(dir, "bundle") + "/"}, {"ndjson", "-o", filepath.Join(dir, "ndjson")},
		{"demo", "--out", filepath.Join(dir, "demo")}, {"codes", "-o", filepath.Join(dir, "codes")},
	} {
		p, _, stderr := inProcess(t)
		if code := p.Run(t.Context(), append(args, "--record", record, "--policy", policy)); code != exitDone {
			t.Errorf("%v: %d: %s", args, code, stderr)
		}
	}
	made, err := os.ReadDir(dir)
	if err != nil || len(made) != 6 {
		t.Error(made, err)
	}
	for _, d := range made {
		if info, err := d.Info(); err != nil || info.Mode().Perm() != 0o700 {
			t.Error(d.Name(), info.Mode(), err)
		}
	}
}
