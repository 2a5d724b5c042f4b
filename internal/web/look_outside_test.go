//go:build outside

package web

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"flag"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"cotline/internal/access"
	"cotline/internal/access/accesstest"
)

var (
	shots   = flag.String("shots", "", "keep pictures of the pages in this folder")
	drawnTo = flag.String("keep", "", "write the pictures of pages that the manuals show into this folder")
)

// browserKit is the folder of npm's packages that drive the browser, installed on first use.
func browserKit(t *testing.T) string {
	t.Helper()
	const from = "testdata/browser"
	lock, err := os.ReadFile(filepath.Join(from, "package-lock.json"))
	if err != nil {
		t.Fatal(err)
	}
	cache, err := os.UserCacheDir()
	if err != nil {
		t.Fatal(err)
	}
	sum := sha256.Sum256(lock)
	dir := filepath.Join(cache, "cotline-oracle", "browser-"+hex.EncodeToString(sum[:6]))
	if err := os.MkdirAll(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"package.json", "package-lock.json", "look.mjs"} {
		text, err := os.ReadFile(filepath.Join(from, name))
		if err == nil {
			err = os.WriteFile(filepath.Join(dir, name), text, 0o644)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if _, err := os.Stat(filepath.Join(dir, "done")); err == nil {
		return dir
	}
	npm := exec.Command("npm", "ci", "--prefix", dir, "--ignore-scripts", "--no-audit", "--no-fund", "--loglevel=error")
	out, err := npm.CombinedOutput()
	if err != nil {
		t.Fatalf("npm: %v\n%s", err, out)
	}
	if err := os.WriteFile(filepath.Join(dir, "done"), nil, 0o644); err != nil {
		t.Fatal(err)
	}
	return dir
}

type viewedPage struct {
	Name     string `json:"name"`
	Path     string `json:"path"`
	SignedIn bool   `json:"signedIn"`
	Open     bool   `json:"open"`
}

// axe-core finds nothing on any page, in both themes and on a phone, a tablet and a desk;
// no page is wider than the screen, and none says anything on the browser's console.
func TestPagesForEverybody(t *testing.T) {
	b := newServer(t, nil)
	b.access.OpenID = &access.OpenID{Issuer: "http://127.0.0.1:1"} // for its button
	infants := look(t, b.fern.live()).Ward().Infants
	token, err := b.access.Reset(t.Context(), console, from, "clerk")
	if err != nil {
		t.Fatal(err)
	}
	pages := []viewedPage{
		{"sign-in", "/sign-in", false, true}, {"link", "/link/" + token, false, true}, {"not-there", "/nothing", false, false},
		{"ward", "/units/fern/ward", true, false}, {"urgency", "/units/fern/ward?order=urgency", true, false},
		{"infant", infantPath("fern", infants[1].Infant), true, true}, {"no-number", infantPath("fern", infants[7].Infant), true, false},
		{"account", "/account", true, false}, {"let-in", "/let-in", true, false}, {"beyond", "/beyond", true, false},
		{"entries", infantPath("fern", infants[1].Infant) + "/entries", true, false},
		{"facts", infantPath("fern", infants[1].Infant) + "/facts", true, false},
		{"change-over", "/sign-in", true, true}, {"refused", "/units/moss/ward", true, false},
	}
	// What is laid out by width is looked at between the narrowest screen and the widest too,
	// and at 200 %, on a page of each layout.
	some := []string{"ward", "infant", "sign-in"}
	b.lookAt(t, "charge", pages, append(bothEnds,
		map[string]any{"name": "tablet", "theme": "dark", "width": 820, "height": 1180, "only": some},
		map[string]any{"name": "zoomed", "theme": "light", "width": 640, "height": 480, "only": some}), // 1280 at 200 %
		2*len(pages)+2*len(some))
}

// The same of what only a keeper sees.
func TestPagesForTheKeeper(t *testing.T) {
	b := newServer(t, nil)
	moss := b.as(t, "moss-nurse")
	mustGoOn(t, moss.post(t, "/beyond", url.Values{"unit": {"fern"}, "reason": {"nobody else is near"}}))
	pages := []viewedPage{{"people", peoplePath("fern"), true, false}, {"trace", tracePath("fern"), true, false}}
	b.lookAt(t, "keeper", pages, bothEnds, 2*len(pages))
}

// bothEnds are both themes, on the narrowest screen and on the widest.
var bothEnds = []map[string]any{
	{"name": "phone", "theme": "light", "width": 360, "height": 740}, {"name": "desk", "theme": "dark", "width": 1600, "height": 1000},
}

// lookAt has axe-core look at pages as somebody sees them, in some windows.
func (b *bench) lookAt(t *testing.T, name string, pages []viewedPage, windows []map[string]any, looks int) {
	t.Helper()
	dir := browserKit(t)
	job, err := json.Marshal(map[string]any{"base": b.url, "name": name, "password": accesstest.Password,
		"chromium": "/usr/bin/chromium", "modules": filepath.Join(dir, "node_modules"), "pages": pages, "windows": windows,
		"shots": *shots, "keep": *drawnTo})
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("node", filepath.Join(dir, "look.mjs"))
	var said bytes.Buffer
	cmd.Stdin, cmd.Stderr = bytes.NewReader(job), &said
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v\n%s", err, said.String())
	}
	looked := 0
	lines := bufio.NewScanner(bytes.NewReader(out))
	lines.Buffer(nil, len(out)+1)
	for lines.Scan() {
		var one struct {
			Page, Size, Theme string
			Passes, Wide      int
			Console           []string
			Violations        []struct {
				ID    string
				Nodes []string
			}
		}
		if err := json.Unmarshal(lines.Bytes(), &one); err != nil {
			t.Fatal(err)
		}
		looked++
		where := one.Page + ", " + one.Size + ", " + one.Theme
		if one.Passes < 10 {
			t.Errorf("%s: only %d rules passed", where, one.Passes)
		}
		if one.Wide > 0 {
			t.Errorf("%s: %d px wider than the screen", where, one.Wide)
		}
		for _, line := range one.Console {
			t.Errorf("%s: the console says %q", where, line)
		}
		for _, v := range one.Violations {
			t.Errorf("%s: %s: %d places, such as %s", where, v.ID, len(v.Nodes), v.Nodes[0])
		}
	}
	if looked != looks {
		t.Errorf("%d pages were looked at", looked)
	}
}
