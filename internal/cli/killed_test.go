//go:build unix

package cli

import (
	"errors"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"cotline/internal/ward"
)

// programFile is the path of the program: the test binary is it under this name.
func programFile(t *testing.T) string {
	t.Helper()
	self, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	program := filepath.Join(t.TempDir(), "cotline")
	if err := os.Symlink(self, program); err != nil {
		t.Fatal(err)
	}
	return program
}

// A command that is killed while it writes leaves a half-written file and its own folder;
// the next command, whatever it is, takes both away, and what stood under the name asked
// for is as it was.
func TestKilledLeavesNothing(t *testing.T) {
	policy, record := demoFiles(t)
	temporary, out := t.TempDir(), t.TempDir()
	book := filepath.Join(out, "ward.xlsx")
	if err := os.WriteFile(book, []byte("of the shift before"), 0o600); err != nil {
		t.Fatal(err)
	}
	program := programFile(t)
	start := func(args ...string) *exec.Cmd {
		cmd := exec.Command(program, args...)
		cmd.Env = append(os.Environ(), "TMPDIR="+temporary, "NOW="+ward.DemoAt)
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		return cmd
	}
	runs := func() (found []string) {
		filepath.WalkDir(temporary, func(path string, d fs.DirEntry, err error) error { // none yet is none
			if err == nil && strings.Count(path, string(filepath.Separator)) > strings.Count(temporary, string(filepath.Separator))+1 {
				found = append(found, path)
			}
			return nil
		})
		return found
	}
	half := func() []string {
		names, err := filepath.Glob(filepath.Join(out, halfWritten+"*"))
		if err != nil {
			t.Fatal(err)
		}
		return names
	}
	killed := 0
	for range 50 {
		cmd := start("workbook", "--record", record, "--policy", policy, "-o", book)
		ended := make(chan error, 1)
		go func() { ended <- cmd.Wait() }()
		for len(half()) == 0 && len(ended) == 0 {
			time.Sleep(100 * time.Microsecond)
		}
		if err := cmd.Process.Kill(); err != nil && !errors.Is(err, os.ErrProcessDone) {
			t.Fatal(err)
		}
		if err := <-ended; err == nil { // it was written before it could be killed
			if err := os.WriteFile(book, []byte("of the shift before"), 0o600); err != nil {
				t.Fatal(err)
			}
			continue
		}
		left, folders := half(), runs()
		if len(left) == 0 {
			continue // it was renamed, and had not ended
		}
		if len(folders) == 0 {
			t.Fatal("a half-written file, and no folder that tells of it")
		}
		killed++
		if err := start("schema").Wait(); err != nil {
			t.Fatal(err)
		}
		if left, folders := half(), runs(); len(left)+len(folders) > 0 {
			t.Errorf("the next command leaves %q and %q", left, folders)
		}
		if content, err := os.ReadFile(book); err != nil || string(content) != "of the shift before" {
			t.Error("what stood there before was changed", err)
		}
		if killed == 3 {
			return
		}
	}
	t.Fatalf("of 50 commands %d were killed while they wrote", killed)
}
