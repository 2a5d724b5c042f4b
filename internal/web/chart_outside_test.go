//go:build outside

package web

import (
	"bufio"
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"cotline/internal/access/accesstest"
)

// By touch on a tablet: a routine round in at most 6 touches and 12 keys, printed;
// everything to touch is 15 mm and 3 mm apart; axe-core finds nothing on pages of
// charting, in both themes and at 200 %.
func TestChartingByTouch(t *testing.T) {
	b := newServer(t, nil)
	plain, alike := b.infant(t, false), b.infant(t, true)
	dir := browserKit(t)
	script, err := os.ReadFile("testdata/browser/round.mjs")
	if err == nil {
		err = os.WriteFile(filepath.Join(dir, "round.mjs"), script, 0o644)
	}
	if err != nil {
		t.Fatal(err)
	}
	var sheets []string
	for _, s := range sheetsOf(plain.Infant) {
		sheets = append(sheets, s.name)
	}
	// Of plain forms one of each sort of control is looked at closely; all are measured.
	kinds := []string{"identity", "skin", "calibration", "outlook"}
	for _, s := range rounds() {
		kinds = append(kinds, s.name)
	}
	job, err := json.Marshal(
		map[string]any{"base": b.url, "name": "nurse", "password": accesstest.Password, "chromium": "/usr/bin/chromium",
			"modules": filepath.Join(
				dir,
				"node_modules",
			), "infant": infantPath("fern", plain.Infant), "alike": infantPath("fern", alike.Infant),
			"unit": "/units/fern", "digits": tail(numberOf(alike)), "sheets": sheets, "kinds": kinds, "shots": *shots},
	)
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command("node", filepath.Join(dir, "round.mjs"))
	var said bytes.Buffer
	cmd.Stdin, cmd.Stderr = bytes.NewReader(job), &said
	out, err := cmd.Output()
	if err != nil {
		t.Errorf("%v\n%s", err, said.String())
	}
	looked, rounds := 0, 0
	lines := bufio.NewScanner(bytes.NewReader(out))
	lines.Buffer(nil, len(out)+1)
	for lines.Scan() {
		var one struct {
			Fault, Count, Looked string
			Taps, Keys, Passes   int
		}
		if err := json.Unmarshal(lines.Bytes(), &one); err != nil {
			t.Fatal(err)
		}
		switch {
		case one.Fault != "":
			t.Error(one.Fault)
		case one.Looked != "":
			looked++
			if one.Passes < 10 {
				t.Errorf("%s: only %d rules passed", one.Looked, one.Passes)
			}
		case one.Count != "":
			t.Logf("%s: %d touches, %d keys", one.Count, one.Taps, one.Keys)
			if one.Count == "routine round" {
				rounds++
				if one.Taps > 6 || one.Keys > 12 {
					t.Errorf("a routine round took %d touches and %d keys, at most 6 and 12", one.Taps, one.Keys)
				}
			}
		}
	}
	if rounds != 1 || looked != 3*(len(kinds)+5) {
		t.Errorf("%d rounds, %d pages", rounds, looked)
	}
}
