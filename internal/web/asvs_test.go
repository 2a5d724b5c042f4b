package web

import (
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"cotline/internal/access/accesstest"
)

// Every requirement has a state; one that is met names a test that there is, any other says
// why.
func TestASVS(t *testing.T) {
	var source strings.Builder
	for _, dir := range []string{".", "../cli", "../access"} {
		files, err := filepath.Glob(filepath.Join(dir, "*_test.go"))
		if err != nil || len(files) == 0 {
			t.Fatal(dir, err)
		}
		for _, name := range files {
			source.Write(fileOf(t, name))
		}
	}
	table, err := os.ReadFile("ASVS.md")
	if err != nil {
		t.Fatal(err)
	}
	rows := regexp.MustCompile(`(?m)^\| (\d[\d., ]*) \| ([a-z ]+) \|(.*)\|(.*)\|$`).FindAllStringSubmatch(string(table), -1)
	if len(rows) < 35 || len(rows) != strings.Count(string(table), "\n| ")-1 {
		t.Fatalf("%d rows of the table are read", len(rows))
	}
	for _, r := range rows {
		tests := regexp.MustCompile("`(Test[A-Za-z0-9_]+)`").FindAllStringSubmatch(r[4], -1)
		switch {
		case r[2] == "met" && len(tests) == 0:
			t.Errorf("%s is met, and no test says so", r[1])
		case r[2] != "met" && r[2] != "not met" && r[2] != "not applicable":
			t.Errorf("%s is %s", r[1], r[2])
		case r[2] != "met" && strings.TrimSpace(r[3]) == "":
			t.Errorf("%s is %s, and nothing says why", r[1], r[2])
		}
		for _, m := range tests {
			if !strings.Contains(source.String(), "func "+m[1]+"(") {
				t.Errorf("%s names %s, and there is no such test", r[1], m[1])
			}
		}
	}
}

// Over TLS every cookie is this host's alone, strict, and out of a script's reach.
func TestCookies(t *testing.T) {
	t.Parallel()
	b := newServer(t, func(c *Config) { c.TLS = true })
	v := b.visitor(t)
	got := v.post(t, "/sign-in", url.Values{"name": {"nurse"}, "password": {accesstest.Password}})
	all := append(got.header["Set-Cookie"], v.post(t, "/theme", url.Values{"theme": {"dark"}}).header["Set-Cookie"]...)
	if got.status != http.StatusSeeOther || len(all) != 3 {
		t.Fatalf("%d %q", got.status, all)
	}
	for _, text := range all {
		c, err := http.ParseSetCookie(text)
		if err != nil || !c.Secure || !c.HttpOnly || c.SameSite != http.SameSiteStrictMode || c.Path != "/" || c.Domain != "" {
			t.Errorf("%q %v", text, err)
		}
		if c.Name != themeCookie && !strings.HasPrefix(c.Name, "__Host-") {
			t.Errorf("%q", c.Name)
		}
	}
}

// Each answer that has a body says what it is, with its characters.
func TestKindsOfAnswers(t *testing.T) {
	b := newServer(t, nil)
	v := b.visitor(t)
	for path, want := range map[string]string{
		"/sign-in": "text/html; charset=utf-8", "/none": "text/html; charset=utf-8", "/healthy": "text/plain; charset=utf-8",
		staticPath("cotline.css"): "text/css; charset=utf-8", staticPath("cotline.js"): "text/javascript; charset=utf-8",
	} {
		if got := v.get(t, path); got.header.Get("Content-Type") != want {
			t.Errorf("%s: %q", path, got.header.Get("Content-Type"))
		}
	}
}

// What is secret is typed into fields that hide it, and nothing keeps a manager of
// passwords or pasting away.
func TestPasswordFields(t *testing.T) {
	b := newServer(t, nil)
	token, err := b.access.Reset(t.Context(), console, from, "clerk")
	if err != nil {
		t.Fatal(err)
	}
	for path, fields := range map[string]int{"/sign-in": 1, "/link/" + token: 2, "/account": 5} {
		v := b.visitor(t)
		if path == "/account" {
			v = b.as(t, "nurse")
		}
		body := v.get(t, path).body
		if n := strings.Count(body, `type="password"`); n != fields {
			t.Errorf("%s: %d fields", path, n)
		}
		if strings.Contains(body, "onpaste") || strings.Contains(body, "maxlength") || !strings.Contains(body, `autocomplete="`) {
			t.Errorf("%s keeps a password away", path)
		}
	}
}

// Signing out is on every page of who is signed in.
func TestSignOutIsOnEveryPage(t *testing.T) {
	t.Parallel()
	b := newServer(t, nil)
	v := b.as(t, "charge")
	for _, path := range []string{"/units/fern/ward", infantPath("fern", "in-01"), "/account", "/let-in", "/beyond", "/none", "/sign-in"} {
		if !strings.Contains(v.get(t, path).body, `action="/sign-out"`) {
			t.Errorf("%s has no way out", path)
		}
	}
}
