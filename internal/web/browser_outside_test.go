//go:build outside

package web

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"flag"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"cotline/internal/access/accesstest"
)

var (
	shots   = flag.String("shots", "", "keep pictures of the pages in this folder")
	drawnTo = flag.String("keep", "", "write the pictures of pages that the manuals show into this folder")
)

const browserScripts = "testdata/browser"

// npmModules is the folder of npm's packages that the scripts of a folder drive a browser by,
// installed on first use.
func npmModules(t *testing.T, scripts string) string {
	t.Helper()
	lock := fileOf(t, filepath.Join(scripts, "package-lock.json"))
	cache, err := os.UserCacheDir()
	if err != nil {
		t.Fatal(err)
	}
	sum := sha256.Sum256(lock)
	dir := filepath.Join(cache, "cotline-oracle", "browser-"+hex.EncodeToString(sum[:6]))
	modules, done := filepath.Join(dir, "node_modules"), filepath.Join(dir, "done")
	if _, err := os.Stat(done); err == nil {
		return modules
	}
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(dir, "package-lock.json"), lock)
	write(t, filepath.Join(dir, "package.json"), fileOf(t, filepath.Join(scripts, "package.json")))
	npm := exec.Command("npm", "ci", "--prefix", dir, "--ignore-scripts", "--no-audit", "--no-fund", "--loglevel=error")
	if out, err := npm.CombinedOutput(); err != nil {
		t.Fatalf("npm: %v\n%s", err, out)
	}
	write(t, done, nil)
	return modules
}

// chromium is the browser without its own window where that is installed, which takes half the
// time of a core, otherwise the one that people use; both have the same engine.
func chromium() string {
	if shell, err := exec.LookPath("chromium-headless-shell"); err == nil {
		return shell
	}
	return "/usr/bin/chromium"
}

// driven is what a script told that drove a browser.
type driven struct {
	looked []string // page, window and theme of each look of axe-core
	counts []counted
	queue  []waited
}

// counted is how many touches and keys something took.
type counted struct {
	what       string
	taps, keys int
}

// drive has a script drive a browser to its end. What it finds at fault fails the test.
func (b *bench) drive(t *testing.T, script string, job map[string]any) (said driven) {
	t.Helper()
	whole := map[string]any{"base": b.url, "password": accesstest.Password, "chromium": chromium(),
		"modules": npmModules(t, browserScripts), "shots": *shots, "keep": *drawnTo}
	maps.Copy(whole, job)
	in, err := json.Marshal(whole)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("node", filepath.Join(browserScripts, script))
	var complaint bytes.Buffer
	cmd.Stdin, cmd.Stderr = bytes.NewReader(in), &complaint
	out, err := cmd.Output()
	if err != nil {
		t.Errorf("%v\n%s", err, complaint.String())
	}
	ended := false
	lines := bufio.NewScanner(bytes.NewReader(out))
	lines.Buffer(nil, len(out)+1)
	for lines.Scan() {
		var one struct {
			Fault, Step, Looked, Count string
			Taps, Keys                 int
			Queue                      []waited
			End                        bool
		}
		if err := json.Unmarshal(lines.Bytes(), &one); err != nil {
			t.Fatal(err)
		}
		if one.Fault != "" {
			t.Error(one.Fault)
		}
		if one.Step != "" {
			t.Log(one.Step)
		}
		if one.Looked != "" {
			said.looked = append(said.looked, one.Looked)
		}
		if one.Count != "" {
			said.counts = append(said.counts, counted{one.Count, one.Taps, one.Keys})
		}
		if one.Queue != nil {
			said.queue = one.Queue
		}
		ended = ended || one.End
	}
	if !ended {
		t.Error("it did not come to its end")
	}
	return said
}
