package browser

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// TestMain lets the test program stand in for a browser: how it behaves is in the
// environment.
func TestMain(m *testing.M) {
	if how := os.Getenv("STAND_IN"); how != "" {
		os.Exit(standIn(how))
	}
	os.Exit(m.Run())
}

const made = `%%PDF-1.4
1 0 obj
<</Title (Ward \(7\))
/Creator (An agent \(of host.invented\) \\)
/Producer (Skia/PDF m%d)
/CreationDate (D:20261125172107+00'00')
/ModDate (D:20261125172107+00'00')>>
endobj
2 0 obj
<</Note (/Creator \(stays\))>>
endobj
%%%%EOF
`

func standIn(how string) int {
	var to, from string
	for _, arg := range os.Args[1:] {
		if path, ok := strings.CutPrefix(arg, "--print-to-pdf="); ok {
			to = path
		}
		from = strings.TrimPrefix(arg, "file://")
	}
	if page, err := os.ReadFile(from); err != nil || string(page) != "<p>page</p>" {
		return 3
	}
	fmt.Fprintln(os.Stderr, "words of the browser, with "+from)
	text := ""
	switch how {
	case "good":
		text = fmt.Sprintf(made, 131)
	case "old":
		text = fmt.Sprintf(made, 130)
	case "other":
		text = strings.Replace(fmt.Sprintf(made, 131), "Skia", "Other", 1)
	case "half":
		text = fmt.Sprintf(made, 131)[:200]
	case "no PDF":
		text = "<p>no such page</p>"
	case "nothing":
		return 0
	case "fails":
		return 1
	case "slow":
		time.Sleep(time.Minute)
	}
	if err := os.WriteFile(to, []byte(text), 0o600); err != nil {
		return 3
	}
	return 0
}

func TestPDF(t *testing.T) {
	dir := t.TempDir()
	for _, variable := range []string{"TMPDIR", "TMP"} {
		t.Setenv(variable, dir)
	}
	for how, want := range map[string]error{
		"good": nil, "old": ErrOld, "other": ErrOld, "half": ErrFailed, "no PDF": ErrFailed, "nothing": ErrFailed, "fails": ErrFailed,
		"slow": ErrSlow,
	} {
		t.Setenv("STAND_IN", how)
		limit := time.Minute
		if how == "slow" {
			limit = 200 * time.Millisecond
		}
		ctx, cancel := context.WithTimeout(t.Context(), limit)
		got, err := PDF(ctx, dir, os.Args[0], []byte("<p>page</p>"))
		cancel()
		if !errors.Is(err, want) || (err == nil) != (want == nil) {
			t.Errorf("%s: %v, want %v", how, err, want)
		}
		if (got == nil) != (err != nil) {
			t.Errorf("%s: %d bytes and %v", how, len(got), err)
		}
		if left, _ := filepath.Glob(filepath.Join(dir, "*")); len(left) > 0 {
			t.Errorf("%s leaves %v", how, left)
		}
	}
	if _, err := PDF(t.Context(), dir, filepath.Join(dir, "none"), nil); !errors.Is(err, ErrCannot) {
		t.Errorf("a browser that is not there: %v", err)
	}
}

// Who asked for it, stopped it: that is no fault of the browser.
func TestStopped(t *testing.T) {
	t.Setenv("STAND_IN", "slow")
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	if _, err := PDF(ctx, t.TempDir(), os.Args[0], []byte("<p>page</p>")); !errors.Is(err, context.Canceled) {
		t.Errorf("%v", err)
	}
}

// What is blanked keeps its length, so that every offset of the file holds.
func TestNeutral(t *testing.T) {
	before := fmt.Appendf(nil, made, 156)
	after, err := neutral(bytes.Clone(before))
	if err != nil || len(after) != len(before) {
		t.Fatalf("%d bytes of %d, %v", len(after), len(before), err)
	}
	for text, stays := range map[string]bool{
		`/Title (Ward \(7\))`: true, "/Producer (Skia/PDF m156)": true, `<</Note (/Creator \(stays\))>>`: true,
		"host.invented": false, "2026": false, "Date": false, "agent": false,
	} {
		if bytes.Contains(after, []byte(text)) != stays {
			t.Errorf("%s stays %v:\n%s", text, !stays, after)
		}
	}
	for i := range after {
		if after[i] != before[i] && after[i] != ' ' {
			t.Fatalf("byte %d is %q", i, after[i])
		}
	}
}

func TestFind(t *testing.T) {
	dir := t.TempDir()
	t.Setenv("PATH", dir)
	if _, err := Find(""); !errors.Is(err, ErrNone) {
		t.Errorf("nowhere: %v", err)
	}
	if _, err := Find("lantern"); !errors.Is(err, ErrCannot) {
		t.Errorf("one that is not there: %v", err)
	}
	for i := range Names { // the last first: each that comes goes before
		name := Names[len(Names)-1-i]
		path := filepath.Join(dir, name)
		if err := os.Symlink(os.Args[0], path); err != nil {
			t.Fatal(err)
		}
		if got, err := Find(""); got != path || err != nil {
			t.Errorf("%s is there: %s, %v", name, got, err)
		}
	}
	if got, err := Find(os.Args[0]); got != os.Args[0] || err != nil {
		t.Errorf("one that is named: %s, %v", got, err)
	}
}
