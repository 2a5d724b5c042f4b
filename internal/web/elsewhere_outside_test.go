//go:build outside

package web

import (
	"bufio"
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"cotline/internal/access"
	"cotline/internal/access/accesstest"
)

// A real provider, a real browser and the server's own routes, on two sites, so that cookies
// and the policy on content are held to as a browser does.
func TestSignInElsewhereInABrowser(t *testing.T) {
	b := newServer(t, nil)
	b.fern.clock.set(time.Now()) // the provider has a clock of its own
	base := strings.Replace(b.url, "127.0.0.1", "localhost", 1)
	issuer := accesstest.RealProvider(t, "../access/testdata/provider", base+BackPath)
	b.access.OpenID = &access.OpenID{Issuer: issuer, ClientID: "cotline", Secret: "a secret of the test alone, of forty letters",
		Redirect: base + BackPath, Claim: "groups",
		Roles: map[string][]access.UnitRole{"nicu-nurses": {{Unit: "fern", Role: access.Nurse}}}}
	dir := browserKit(t)
	script, err := os.ReadFile("testdata/browser/elsewhere.mjs")
	if err == nil {
		err = os.WriteFile(filepath.Join(dir, "elsewhere.mjs"), script, 0o644)
	}
	if err != nil {
		t.Fatal(err)
	}
	job, err := json.Marshal(map[string]string{"base": base, "issuer": issuer, "name": "nurse", "password": accesstest.Password,
		"ward": "/units/fern/ward", "chromium": "/usr/bin/chromium"})
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("node", filepath.Join(dir, "elsewhere.mjs"))
	var said bytes.Buffer
	cmd.Stdin, cmd.Stderr = bytes.NewReader(job), &said
	out, err := cmd.Output()
	if err != nil {
		t.Errorf("%v\n%s", err, said.String())
	}
	ended := false
	for lines := bufio.NewScanner(bytes.NewReader(out)); lines.Scan(); {
		var one struct {
			Fault string
			End   bool
		}
		if err := json.Unmarshal(lines.Bytes(), &one); err != nil {
			t.Fatal(err)
		}
		if ended = ended || one.End; one.Fault != "" {
			t.Error(one.Fault)
		}
	}
	if !ended {
		t.Error("it did not come to its end")
	}
	r, err := b.access.Trace(t.Context(), console, from, "fern", access.About{Who: "maeve", Kinds: []access.EventKind{access.SignIn}})
	if err != nil || len(r.Events) != 2 || r.Events[0].Method != access.ByElsewhere {
		t.Errorf("%+v %v", r.Events, err)
	}
}
