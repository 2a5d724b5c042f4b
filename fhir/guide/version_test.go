package guide_test

import (
	"crypto/sha256"
	"flag"
	"fmt"
	"os"
	"strconv"
	"strings"
	"testing"

	"cotline/fhir/guide"
	"cotline/handover"
	"cotline/internal/wardtest"
)

var appendCodes = flag.Bool("append-codes", false, "append new codes to testdata/codes.txt, and a new version to testdata/versions.txt")

const (
	codesFile    = "testdata/codes.txt"
	versionsFile = "testdata/versions.txt"
)

// A code that was ever sent stands in receivers: it is never taken away, and never
// comes to mean something else. The file is only ever appended to.
func TestCodesAreForEver(t *testing.T) {
	text, err := os.ReadFile(codesFile)
	if err != nil && !*appendCodes {
		t.Fatal(err)
	}
	now := map[string]string{}
	for _, c := range guide.Codes() {
		now[c[0]] = strings.Join(c[:], "\t")
	}
	kept := map[string]bool{}
	for line := range strings.Lines(string(text)) {
		line = strings.TrimSuffix(line, "\n")
		code, _, _ := strings.Cut(line, "\t")
		if kept[code] {
			t.Errorf("%s stands twice in %s", code, codesFile)
		}
		kept[code] = true
		if now[code] != line {
			t.Errorf("a code was taken away, or means something else:\n-%s\n+%s", line, now[code])
		}
	}
	for _, c := range guide.Codes() {
		if line := now[c[0]]; !kept[c[0]] && *appendCodes {
			text = append(text, line+"\n"...)
		} else if !kept[c[0]] {
			t.Errorf("new, and not in %s: go test ./fhir/guide -run CodesAreForEver -append-codes\n+%s", codesFile, line)
		}
	}
	if *appendCodes && !t.Failed() {
		if err := os.WriteFile(codesFile, text, 0o644); err != nil {
			t.Fatal(err)
		}
	}
}

// A version of the package stands for one content for ever: whoever loaded it has no
// reason to load it again. The file says what each holds, one a line: version, date,
// codes, and a hash of all definitions under the default policy. It is only ever
// appended to, by a version above the last.
func TestVersionsAreForEver(t *testing.T) {
	p := wardtest.Policy(t, []byte("{}"))
	p.FHIR.Send = handover.SendTypes
	defined, err := guide.Definitions(p)
	if err != nil {
		t.Fatal(err)
	}
	hash := sha256.New()
	for _, r := range defined {
		hash.Write(append(r.JSON, '\n'))
	}
	var system struct{ Version, Date string }
	content(t, defined[0], &system)
	now := fmt.Sprintf("%s\t%s\t%d\t%x", system.Version, system.Date, len(guide.Codes()), hash.Sum(nil))

	text, err := os.ReadFile(versionsFile)
	if err != nil && !*appendCodes {
		t.Fatal(err)
	}
	last := ""
	for line := range strings.Lines(string(text)) {
		if !above(t, line, last) {
			t.Errorf("%s: %q is not above %q", versionsFile, line, last)
		}
		last = strings.TrimSuffix(line, "\n")
	}
	switch {
	case now == last:
	case !above(t, now, last):
		t.Errorf("the definitions have changed: raise r4.OwnSystemVersion and r4.OwnSystemDate, then go test ./fhir/guide -run "+
			"ForEver -append-codes\n-%s\n+%s", last, now)
	case *appendCodes:
		if err := os.WriteFile(versionsFile, append(text, now+"\n"...), 0o644); err != nil {
			t.Fatal(err)
		}
	default:
		t.Errorf("a new version: go test ./fhir/guide -run ForEver -append-codes\n+%s", now)
	}
}

// above says whether a line is of a later version than another, and of no earlier date.
func above(t *testing.T, line, than string) bool {
	t.Helper()
	if than == "" {
		return true
	}
	a, b := strings.Split(line, "\t"), strings.Split(than, "\t")
	x, y := strings.Split(a[0], "."), strings.Split(b[0], ".")
	if len(x) != 3 || len(y) != 3 {
		t.Fatalf("%q, %q: three figures are wanted", a[0], b[0])
	}
	for n := range x {
		v, errV := strconv.Atoi(x[n])
		w, errW := strconv.Atoi(y[n])
		if errV != nil || errW != nil {
			t.Fatalf("%q, %q: figures are wanted", a[0], b[0])
		}
		if v != w {
			return v > w && a[1] >= b[1]
		}
	}
	return false
}
