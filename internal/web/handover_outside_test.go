//go:build outside

package web

import (
	"bufio"
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"testing"
	"time"

	"cotline/internal/access/accesstest"
)

// Two nurses hand over two infants in a browser, one of them interrupted; the record says
// the same as the pages. axe-core finds nothing on these pages and the clerk's.
func TestHandoverInABrowser(t *testing.T) {
	b := newServer(t, nil)
	two, before := b.two(t), b.head(t)
	dir := browserKit(t)
	script, err := os.ReadFile("testdata/browser/handover.mjs")
	if err == nil {
		err = os.WriteFile(filepath.Join(dir, "handover.mjs"), script, 0o644)
	}
	if err != nil {
		t.Fatal(err)
	}
	faulty := "id,infant,kind,at,by,weightG\r\n00000000-0000-4000-8000-00000000dddd," + two[0].Infant + ",weight," +
		b.fern.clock.Now().Format(time.RFC3339) + ",rn-agate,999999\r\n"
	job, err := json.Marshal(
		map[string]any{"base": b.url, "out": "nurse", "in": "charge", "password": accesstest.Password, "unit": "/units/fern",
			"chromium": "/usr/bin/chromium",
			"modules":  filepath.Join(dir, "node_modules"), "infants": []string{two[0].Infant, two[1].Infant},
			"faulty": faulty, "shots": *shots, "keep": *drawnTo},
	)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("node", filepath.Join(dir, "handover.mjs"))
	var said bytes.Buffer
	cmd.Stdin, cmd.Stderr = bytes.NewReader(job), &said
	out, err := cmd.Output()
	if err != nil {
		t.Errorf("%v\n%s", err, said.String())
	}
	looked, ended := 0, false
	lines := bufio.NewScanner(bytes.NewReader(out))
	lines.Buffer(nil, len(out)+1)
	for lines.Scan() {
		var one struct {
			Fault, Looked string
			Passes        int
			End           bool
		}
		if err := json.Unmarshal(lines.Bytes(), &one); err != nil {
			t.Fatal(err)
		}
		switch {
		case one.Fault != "":
			t.Error(one.Fault)
		case one.Looked != "":
			if looked++; one.Passes < 10 {
				t.Errorf("%s: only %d rules passed", one.Looked, one.Passes)
			}
		}
		ended = ended || one.End
	}
	if !ended || looked != 3*9 {
		t.Errorf("%d pages, at the end: %v", looked, ended)
	}
	taken := b.since(t, before)
	if kinds := kindsOf(taken); !slices.Equal(kinds, []string{"handover", "acceptance", "acceptance"}) {
		t.Fatalf("charted: %v", kinds)
	}
	if taken[0].By != "nurse" || taken[1].By != "charge" || taken[1].Text("asked") == "" || taken[2].By != "charge" {
		t.Errorf("%v", taken)
	}
	for _, f := range look(t, b.fern.live()).Ward().Infants {
		if f.Infant == two[0].Infant && len(f.HandedOver.Accepted.NotConfirmed) > 0 {
			t.Errorf("not confirmed: %v", f.HandedOver.Accepted.NotConfirmed)
		}
	}
}
