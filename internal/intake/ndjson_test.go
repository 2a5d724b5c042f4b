package intake_test

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"runtime"
	"strings"
	"testing"
	"testing/iotest"
	"time"

	"github.com/google/go-cmp/cmp"

	"cotline/handover/entry"
	"cotline/internal/intake"
	"cotline/internal/ward"
)

// note is a note of the whole unit, whose id ends in n.
func note(n int, text string) string {
	return fmt.Sprintf(
		`{"id":"00000000-0000-4000-8000-%012d","kind":"note","at":"2026-10-24T12:00:00+02:00","by":"rn-agate","text":"%s"}`,
		n,
		text,
	)
}

func ndjson(t testing.TB, r io.Reader) intake.Offer {
	t.Helper()
	o, err := intake.NDJSON(r)
	if err != nil {
		t.Fatal(err)
	}
	return o
}

// outline is the lines of entries, and the lines and codes of issues.
func outline(o intake.Offer) string {
	var b strings.Builder
	for _, e := range o.Entries {
		fmt.Fprintf(&b, "%d ", e.Line)
	}
	for _, i := range o.Issues {
		fmt.Fprintf(&b, "%d:%s ", i.Line, i.Code)
	}
	return strings.TrimSpace(b.String())
}

func TestNDJSON(t *testing.T) {
	long := note(7, strings.Repeat("x", entry.MaxLine))
	for name, c := range map[string]struct{ text, want string }{
		"nothing":             {"", ""},
		"one":                 {note(1, "a") + "\n", "1"},
		"no end of line":      {note(1, "a") + "\n" + note(2, "b"), "1 2"},
		"CRLF":                {note(1, "a") + "\r\n" + note(2, "b") + "\r\n", "1 2"},
		"blank lines":         {"\n \t\r\n" + note(1, "a") + "\n\n\n" + note(2, "b") + "\n\n", "3 6"},
		"byte order mark":     {"\ufeff" + note(1, "a") + "\n", "1"},
		"one in the middle":   {note(1, "a") + "\n\ufeff" + note(2, "b") + "\n", "1 2:json"},
		"bad ones told":       {"{\n" + note(1, "a") + "\n[]\n{}\n", "2 1:json 3:json 4:missing 4:missing 4:missing 4:missing"},
		"not UTF-8":           {"{\"a\":\"\xc3\x28\"}\n" + note(1, "a"), "2 1:utf8"},
		"UTF-16":              {"\xff\xfe{\x00}\x00\n\x00", "1:utf8 2:json"},
		"NUL":                 {"\x00\n" + note(1, "a"), "2 1:json"},
		"too long":            {note(1, "a") + "\n" + long + "\n" + note(2, "b") + "\n", "1 3 2:line-too-long"},
		"too long at the end": {note(1, "a") + "\n" + long, "1 2:line-too-long"},
		"two on a line":       {note(1, "a") + note(2, "b") + "\n", "1:json"},
		"CR alone ends none":  {note(1, "a") + "\r" + note(2, "b") + "\n", "1:json"},
	} {
		t.Run(name, func(t *testing.T) {
			if got := outline(ndjson(t, strings.NewReader(c.text))); got != c.want {
				t.Errorf("got %q, want %q", got, c.want)
			}
			if len(c.text) > 10_000 {
				return
			}
			// How the bytes arrive means nothing.
			if got := outline(ndjson(t, iotest.OneByteReader(strings.NewReader(c.text)))); got != c.want {
				t.Errorf("byte by byte: got %q, want %q", got, c.want)
			}
		})
	}
}

func TestLineAtTheLimit(t *testing.T) {
	text := note(1, "")
	text = note(1, strings.Repeat(" ", entry.MaxLine-len(text)))
	for _, end := range []string{"", "\n", "\r\n"} {
		o := ndjson(t, strings.NewReader(text+end))
		if len(o.Issues) != 1 || o.Issues[0].Code != entry.CodeText { // a blank text, and that is all
			t.Errorf("a line of 1 MiB and %q: %v", end, o.Issues)
		}
		if o := ndjson(t, strings.NewReader(text+" "+end)); outline(o) != "1:line-too-long" {
			t.Errorf("a line of 1 MiB and a byte and %q: %v", end, o.Issues)
		}
	}
}

// A hostile line costs no more memory than the longest that is taken.
func TestMemoryIsBounded(t *testing.T) {
	endless := io.LimitReader(forever('x'), 256<<20)
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	o := ndjson(t, io.MultiReader(strings.NewReader(note(1, "a")+"\n"), endless, strings.NewReader("\n"+note(2, "b"))))
	runtime.ReadMemStats(&after)
	if outline(o) != "1 3 2:line-too-long" {
		t.Error(outline(o))
	}
	if spent := after.TotalAlloc - before.TotalAlloc; spent > 16<<20 {
		t.Errorf("%d MiB spent on 256 MiB", spent>>20)
	}
}

type forever byte

func (f forever) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = byte(f)
	}
	return len(p), nil
}

func TestReadingFails(t *testing.T) {
	broken := errors.New("the disk is gone")
	_, err := intake.NDJSON(io.MultiReader(strings.NewReader(note(1, "a")+"\n{"), iotest.ErrReader(broken)))
	if !errors.Is(err, broken) || !strings.Contains(err.Error(), "line 2") {
		t.Errorf("got %v", err)
	}
}

// The demo ward and random wards, by another hand than this package's, are read
// whole and accepted as plain records.
func TestWards(t *testing.T) {
	_, demo := ward.Demo()
	read := func(name string, text []byte) {
		o, err := intake.Record(bytes.NewReader(text), 2*time.Minute)
		if err != nil || len(o.Issues) > 0 {
			t.Errorf("%s: %v %v", name, err, o.Issues[:min(3, len(o.Issues))])
		}
		if want := bytes.Count(text, []byte("\n")); len(o.Entries) != want {
			t.Errorf("%s: %d entries of %d lines", name, len(o.Entries), want)
		}
	}
	read("demo", demo)
	for seed := range uint64(20) {
		read(fmt.Sprint("seed ", seed), bytes.Join(lines(seed, 9, 3), nil))
	}
}

func lines(seed uint64, infants, days int) (out [][]byte) {
	for l := range ward.Random(seed, infants, days) {
		out = append(out, l)
	}
	return out
}

func TestRecordStampsCharted(t *testing.T) {
	o, err := intake.Record(strings.NewReader(note(1, "a")), time.Minute)
	if err != nil || len(o.Issues) > 0 {
		t.Fatal(err, o.Issues)
	}
	if diff := cmp.Diff(o.Entries[0].At.Text, o.Entries[0].Charted.Text); diff != "" {
		t.Error(diff)
	}
}
