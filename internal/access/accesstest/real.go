//go:build outside

package accesstest

import (
	"bufio"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// RealProvider starts npm's oidc-provider, which is installed on first use, and gives its issuer.
// From is the folder of its package, redirect where it sends browsers back to.
func RealProvider(t testing.TB, from, redirect string) string {
	t.Helper()
	lock, err := os.ReadFile(filepath.Join(from, "package-lock.json"))
	fits(t, "lock", err)
	cache, err := os.UserCacheDir()
	fits(t, "cache", err)
	sum := sha256.Sum256(lock)
	dir := filepath.Join(cache, "cotline-oracle", "provider-"+hex.EncodeToString(sum[:6]))
	fits(t, "folder", os.MkdirAll(dir, 0o755))
	for _, name := range []string{"package.json", "package-lock.json", "provider.mjs"} {
		text, err := os.ReadFile(filepath.Join(from, name))
		fits(t, "read", err)
		fits(t, "write", os.WriteFile(filepath.Join(dir, name), text, 0o644))
	}
	if _, err := os.Stat(filepath.Join(dir, "done")); err != nil {
		out, err := exec.Command("npm", "ci", "--prefix", dir, "--ignore-scripts", "--no-audit", "--no-fund", "--loglevel=error").
			CombinedOutput()
		if err != nil {
			t.Fatalf("npm: %v\n%s", err, out)
		}
		fits(t, "done", os.WriteFile(filepath.Join(dir, "done"), nil, 0o644))
	}
	cmd := exec.Command("node", filepath.Join(dir, "provider.mjs"))
	cmd.Stderr, cmd.Env = os.Stderr, append(os.Environ(), "REDIRECT="+redirect)
	in, err := cmd.StdinPipe()
	fits(t, "input", err)
	out, err := cmd.StdoutPipe()
	fits(t, "output", err)
	fits(t, "start", cmd.Start())
	t.Cleanup(func() {
		if err := errors.Join(in.Close(), cmd.Wait()); err != nil {
			t.Error(err)
		}
	})
	lines := bufio.NewScanner(out)
	for lines.Scan() {
		if strings.HasPrefix(lines.Text(), "http://127.0.0.1:") {
			go io.Copy(io.Discard, out) // it may say more
			return lines.Text()
		}
	}
	t.Fatal("the provider did not start")
	return ""
}

func fits(t testing.TB, what string, err error) {
	t.Helper()
	if err != nil {
		t.Fatalf("%s: %v", what, err)
	}
}
