//go:build outside

package access_test

import (
	"bufio"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"

	"cotline/internal/access"
	"cotline/internal/access/accesstest"
)

// realProvider starts npm's oidc-provider, which is installed on first use, and returns its
// issuer.
func realProvider(t *testing.T) string {
	t.Helper()
	const from = "testdata/provider"
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
	cmd.Stderr = os.Stderr
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

var action = regexp.MustCompile(`action="([^"]+)"`)

// browse goes to an address as a browser does, signs in where it is asked for, consents, and
// gives the address of ours that it is sent back to.
func browse(t *testing.T, address string) *url.URL {
	t.Helper()
	jar, err := cookiejar.New(nil)
	fits(t, "jar", err)
	var back *url.URL
	client := &http.Client{Jar: jar, Timeout: 10 * time.Second, CheckRedirect: func(r *http.Request, _ []*http.Request) error {
		if r.URL.Host == "cotline.example" {
			back = r.URL
			return http.ErrUseLastResponse
		}
		return nil
	}}
	res, err := client.Get(address)
	for _, form := range []url.Values{{"prompt": {"login"}, "login": {"4711"}, "password": {"x"}}, {"prompt": {"consent"}}} {
		if back != nil {
			break
		}
		fits(t, "page", err)
		page, err2 := io.ReadAll(res.Body)
		fits(t, "page", err2)
		m := action.FindSubmatch(page)
		if m == nil {
			t.Fatalf("no form: %s\n%s", res.Status, page)
		}
		to, err3 := res.Request.URL.Parse(string(m[1]))
		fits(t, "form", err3)
		res, err = client.PostForm(to.String(), form)
	}
	fits(t, "last page", err)
	if back == nil {
		t.Fatalf("not sent back: %s", res.Status)
	}
	return back
}

// The whole way with a provider that is not ours: discovery, the code with PKCE, keys, nonce,
// and roles from a claim.
func TestSignInAtARealProvider(t *testing.T) {
	a, _, clock := accesstest.New(home)
	clock.At = time.Now() // the provider has a clock of its own
	a.OpenID = &access.OpenID{Issuer: realProvider(t), ClientID: "cotline", Secret: "a secret of the test alone, of forty letters",
		Redirect: "https://cotline.example/back", Claim: "groups",
		Roles: map[string][]access.UnitRole{"nicu-nurses": {{Unit: home, Role: access.Nurse}}}}
	address, browser, err := a.SendElsewhere(ctx, "/units/fern/ward")
	fits(t, "send", err)
	back := browse(t, address).Query()
	in, _, err := a.BackFromElsewhere(ctx, access.Origin{Address: "a"}, browser, back.Get("state"), back.Get("code"))
	fits(t, "back", err)
	if who := session(t, a, in.Token); who.Name != "maeve" || who.Shown != "Maeve B." || !who.May(home, access.Chart) {
		t.Errorf("%+v", who)
	}
	_, _, err = a.BackFromElsewhere(ctx, access.Origin{Address: "a"}, browser, back.Get("state"), back.Get("code"))
	is(t, "the same answer again", err, access.ErrRefused)

	// A code that was taken from another browser's answer is worth nothing in ours.
	address, _, err = a.SendElsewhere(ctx, "/units/fern/ward")
	fits(t, "send", err)
	back = browse(t, address).Query()
	_, ours, err := a.SendElsewhere(ctx, "/units/fern/ward")
	fits(t, "send", err)
	_, _, err = a.BackFromElsewhere(ctx, access.Origin{Address: "a"}, ours, back.Get("state"), back.Get("code"))
	is(t, "another browser's", err, access.ErrRefused)
}
