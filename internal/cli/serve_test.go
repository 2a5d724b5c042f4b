package cli

import (
	"bytes"
	"context"
	"html"
	"io"
	"net/http"
	"net/http/cookiejar"
	"net/url"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"cotline/internal/access/accesstest"
	"cotline/internal/ward"
	"cotline/internal/wardtest"
)

// said is what a program that runs has written so far.
type said struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (s *said) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.b.Write(p)
}

func (s *said) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.b.String()
}

// wait waits until it holds what is looked for, and gives the first group of it.
func (s *said) wait(t *testing.T, pattern string) string {
	t.Helper()
	re := regexp.MustCompile(pattern)
	for range 600 {
		if m := re.FindStringSubmatch(s.String()); m != nil {
			return m[1]
		}
		time.Sleep(50 * time.Millisecond)
	}
	t.Fatalf("%s is not in\n%s", pattern, s)
	return ""
}

// serving runs serve, and gives how to stop it and its exit code.
func serving(t *testing.T, args ...string) (stdout, stderr *said, stop func() int) {
	t.Helper()
	return servingWith(t, nil, args...)
}

// servingWith is serving with an environment.
func servingWith(t *testing.T, env map[string]string, args ...string) (stdout, stderr *said, stop func() int) {
	t.Helper()
	ctx, cancel := context.WithCancel(t.Context())
	p, _, _ := inProcess(t)
	stdout, stderr = &said{}, &said{}
	p.Stdout, p.Stderr = stdout, stderr
	p.Env = func(name string) (string, bool) { value, ok := env[name]; return value, ok }
	code := make(chan int, 1)
	go func() { code <- p.Run(ctx, append([]string{"serve", "--listen", "127.0.0.1:0"}, args...)) }()
	t.Cleanup(cancel)
	return stdout, stderr, func() int { cancel(); return <-code }
}

// demoCharted is a record with the demo's ward, and what runs a command on it and gives
// what it says.
func demoCharted(t *testing.T) (record string, run func(args ...string) string) {
	t.Helper()
	policy, entries := demoFiles(t)
	record = filepath.Join(t.TempDir(), "ward.db")
	run = func(args ...string) string {
		t.Helper()
		p, out, stderr := inProcess(t)
		if code := p.Run(t.Context(), append(args, "--record", record)); code != exitDone {
			t.Fatalf("%v: %d %s", args, code, stderr)
		}
		return strings.TrimSpace(out.String())
	}
	run("chart", "--policy", policy, entries)
	return record, run
}

func browse(t *testing.T) *http.Client {
	t.Helper()
	jar, err := cookiejar.New(nil)
	if err != nil {
		t.Fatal(err)
	}
	return &http.Client{Jar: jar, Timeout: 30 * time.Second}
}

func posted(t *testing.T, c *http.Client, address string, form url.Values) string {
	t.Helper()
	got, err := c.PostForm(address, form)
	if err != nil {
		t.Fatal(err)
	}
	defer got.Body.Close() // it was read
	body, err := io.ReadAll(got.Body)
	if err != nil || got.StatusCode != http.StatusOK {
		t.Fatalf("%s: %d %v %s", address, got.StatusCode, err, body)
	}
	return string(body)
}

// The demo says where it is and as whom to sign in; the ward is there; it stops cleanly.
func TestServeDemo(t *testing.T) {
	stdout, stderr, stop := serving(t, "--demo")
	address := stdout.wait(t, `Open (http://127\.0\.0\.1:[0-9]+/) `)
	stdout.wait(t, `(keeper|Keeper)`)
	page := posted(t, browse(t), address+"sign-in", url.Values{"name": {"rn-agate"}, "password": {demoPassword}})
	if !strings.Contains(page, "Feldspar, Squall") || !strings.Contains(page, "07:30") {
		t.Errorf("%.2000s", page)
	}
	if code := stop(); code != exitDone {
		t.Errorf("exit %d\n%s", code, stderr)
	}
	if strings.Contains(stderr.String(), "Feldspar") || strings.Contains(stderr.String(), "in-0") {
		t.Error("the log tells of infants")
	}
}

// Nobody has an account: the link on the console makes the first keeper, and the server
// goes on then. What the console adds can sign in, and sees what another process charts.
func TestServeFirstKeeper(t *testing.T) {
	record, run := demoCharted(t)
	_, stderr, stop := serving(t, "--record", record)
	link := stderr.wait(t, `: (http://127\.0\.0\.1:[0-9]+/link/[A-Za-z0-9_-]{43})`)
	if strings.Contains(stderr.String(), "listening on") {
		t.Error("it listens before there is anybody")
	}
	const password = "copper lantern, two oars"
	page := posted(t, browse(t), link, url.Values{"name": {"dock"}, "shown": {"K. Dock"}, "password": {password}, "again": {password}})
	if !strings.Contains(page, "Sign in") {
		t.Errorf("%.500s", page)
	}
	address := stderr.wait(t, `listening on (http://127\.0\.0\.1:[0-9]+)`)
	posted(t, browse(t), address+run("people", "add", "--name", "agate", "--shown", "RN Agate", "--role", "nurse"),
		url.Values{"password": {password}, "again": {password}})
	page = posted(t, browse(t), address+"/sign-in", url.Values{"name": {"agate"}, "password": {password}})
	if !strings.Contains(page, "Feldspar, Squall") {
		t.Errorf("%.2000s", page)
	}
	if code := stop(); code != exitDone {
		t.Errorf("exit %d\n%s", code, stderr)
	}
}

// What would send patients' data in the clear, or cannot be, is refused, with what to do.
func TestServeRefuses(t *testing.T) {
	for _, c := range []struct {
		args []string
		want string
	}{
		{[]string{"--listen", "0.0.0.0:8470"}, "in the clear"},
		{[]string{"--listen", ":8470"}, "in the clear"},
		{[]string{"--listen", "192.0.2.1:8470"}, "in the clear"},
		{[]string{"--listen", "ward.example:8470"}, "an address, not a name"},
		{[]string{"--listen", "8470"}, "an address and a port"},
		{[]string{"--tls-cert", "x"}, "go together"},
		{[]string{"--tls-cert", "x", "--tls-key", "y", "--listen", "127.0.0.1:0", "--record", "none.db"}, "no record none.db"},
		{[]string{"--trusted-proxy", "proxy.example"}, "a network such as"},
		{[]string{"--demo", "--listen", "0.0.0.0:1"}, "this machine alone"},
		{[]string{"--demo", "--trusted-proxy", "10.0.0.1"}, "this machine alone"},
		{[]string{"--demo", "--address", "https://ward.example"}, "people of its own"},
		{[]string{"--address", "ward.example"}, "give https://"},
		{[]string{"--address", "http://ward.example"}, "give https://"},
		{[]string{"--address", "https://ward.example/units"}, "nothing behind it"},
		{[]string{"--openid-client", "x"}, "without --openid-issuer"},
		{[]string{"--openid-issuer", "http://sso.example"}, "https://"},
		{[]string{"--openid-issuer", "https://sso.example"}, "needs --address"},
		{[]string{"--openid-issuer", "https://sso.example", "--address", "https://ward.example"}, "--openid-client and --openid-role"},
		{[]string{"--openid-issuer", "https://sso.example", "--address", "https://ward.example", "--openid-client", "c", "--openid-role",
			"a=queen"}, "VALUE=ROLE"},
		{[]string{"--openid-issuer", "https://sso.example", "--address", "https://ward.example", "--openid-client", "c", "--openid-role",
			"a=nurse", "--openid-secret-file", "none.txt"}, "none.txt"},
		{[]string{"--record", "ward.ndjson"}, "stored record"},
		{[]string{"--policy", "unit.yaml", "--record", "ward.db"}, "own policy"},
	} {
		p, _, stderr := inProcess(t)
		code := p.Run(t.Context(), append([]string{"serve"}, c.args...))
		if code != exitFailed || !strings.Contains(stderr.String(), c.want) {
			t.Errorf("%v: %d %s", c.args, code, stderr)
		}
	}
}

// The hospital's sign-in and the endpoint of programs are there where the command line, or the
// environment, names what they need; the secret comes from a file and is told nowhere.
func TestServeOpenID(t *testing.T) {
	record, run := demoCharted(t)
	secret := filepath.Join(t.TempDir(), "secret")
	run("people", "add", "--name", "dock", "--shown", "K. Dock", "--role", "keeper")
	args := []string{"--record", record, "--address", "http://127.0.0.1:8470", "--openid-secret-file", secret}
	provider := accesstest.NewProvider(t)
	env := map[string]string{"COTLINE_OPENID_ISSUER": provider.URL, "COTLINE_OPENID_CLIENT": "cotline",
		"COTLINE_OPENID_ROLE": "nicu-nurses=nurse,nicu-lead=charge", "COTLINE_OPENID_DOMAIN": "@alder.example"}
	for _, text := range []string{"seven moonworts\n", strings.Repeat("moonworts", mostSecret)} {
		if err := os.WriteFile(secret, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		_, stderr, stop := servingWith(t, env, args...)
		stderr.wait(t, "holds (no secret)")
		if code := stop(); code != exitFailed || strings.Contains(stderr.String(), "moonworts") {
			t.Errorf("exit %d\n%s", code, stderr)
		}
	}
	if err := os.WriteFile(secret, []byte("sevenmoonworts\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	_, stderr, stop := servingWith(t, env, args...)
	address, c := stderr.wait(t, `listening on (http://127\.0\.0\.1:[0-9]+)`), browse(t)
	page := posted(t, c, address+"/sign-in/elsewhere", nil)
	to, err := url.Parse(html.UnescapeString(regexp.MustCompile(`class="go" href="([^"]*)"`).FindStringSubmatch(page)[1]))
	if err != nil {
		t.Fatal(err)
	}
	provider.Challenge = to.Query().Get("code_challenge")
	provider.Good(wardtest.Moment(t, ward.DemoAt), to.Query().Get("nonce"))
	if back := to.Query().Get("redirect_uri"); back != "http://127.0.0.1:8470/sign-in/back" {
		t.Errorf("sent back to %s", back)
	}
	got, err := c.Get(address + "/sign-in/back/in?code=the-code&state=" + to.Query().Get("state"))
	if err != nil {
		t.Fatal(err)
	}
	defer got.Body.Close() // it was read
	body, err := io.ReadAll(got.Body)
	if err != nil || !strings.Contains(string(body), "Feldspar, Squall") || !strings.Contains(string(body), "Maeve B.") {
		t.Errorf("%v %.2000s", err, body)
	}
	smart, err := c.Get(address + "/.well-known/smart-configuration")
	if err != nil || smart.StatusCode != http.StatusOK {
		t.Fatal(smart, err)
	}
	defer smart.Body.Close() // it was read
	const endpoint = `"token_endpoint":"http://127.0.0.1:8470/token"`
	if body, err := io.ReadAll(smart.Body); err != nil || !strings.Contains(string(body), endpoint) {
		t.Errorf("%v %s", err, body)
	}
	if code := stop(); code != exitDone || strings.Contains(stderr.String(), "moonworts") {
		t.Errorf("exit %d\n%s", code, stderr)
	}
}
