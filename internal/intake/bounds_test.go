package intake_test

import (
	"fmt"
	"io"
	"runtime"
	"strings"
	"testing"

	"cotline/internal/intake"
)

// Several cores read a file; entries and faults stand in its order all the same.
func TestLinesKeepTheirOrder(t *testing.T) {
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(4))
	var b strings.Builder
	var entries, faults []string
	for n := 1; n <= 5000; n++ {
		if n%7 == 0 {
			b.WriteString("{\n")
			faults = append(faults, fmt.Sprintf("%d:json", n))
		} else {
			b.WriteString(note(n, strings.Repeat("x", 1+n%900)) + "\n")
			entries = append(entries, fmt.Sprint(n))
		}
	}
	if got, want := outline(ndjson(t, strings.NewReader(b.String()))), strings.Join(append(entries, faults...), " "); got != want {
		i := 0
		for i < min(len(got), len(want)) && got[i] == want[i] {
			i++
		}
		t.Errorf("from there on: got %.60s, want %.60s", got[i:], want[i:])
	}
}

// What never ends is read as far as the bound, and refused by what it is.
func TestLinesAreBounded(t *testing.T) {
	whole := note(1, "a") + "\n"
	for name, c := range map[string]struct {
		r    io.Reader
		want string
	}{
		"a line without end": {io.MultiReader(strings.NewReader(whole), forever('x')), "1 2:line-too-long 2:line-too-long"},
		"blank lines": {io.MultiReader(strings.NewReader(whole), forever('\n')),
			fmt.Sprintf("1 %d:line-too-long", 1+4_000_000-len(whole))},
		"at the bound":        {strings.NewReader(strings.Repeat("\n", 3_999_000)), ""},
		"faults without end":  {io.MultiReader(strings.NewReader(strings.Repeat("{\n", 3_000_000))), ""},
		"entries without end": {strings.NewReader(strings.Repeat(whole, 5000)), ""},
	} {
		o, err := intake.NDJSONWithin(c.r, 4_000_000, 3000)
		if err != nil {
			t.Fatal(err)
		}
		switch name {
		case "faults without end":
			if n := len(o.Issues); n < 100_000 || n > 103_000 {
				t.Errorf("%s: %d faults", name, n)
			}
		case "entries without end":
			if n := len(o.Entries); n <= 3000 || n > 5000 || len(o.Issues) != 1 {
				t.Errorf("%s: %d entries, %v", name, n, o.Issues)
			}
		default:
			if got := outline(o); got != c.want {
				t.Errorf("%s: got %s, want %s", name, got, c.want)
			}
		}
		if c.want == "" && name != "at the bound" || strings.Contains(c.want, "line-too-long") {
			if last := o.Issues[len(o.Issues)-1]; !strings.Contains(last.Allowed, "split it") {
				t.Errorf("%s: %v", name, last)
			}
		}
	}
}

// A table without end is read as far as the bound, here in rows that are nearly as long as
// a row may be.
func TestTablesAreBounded(t *testing.T) {
	head := "id,kind,at,by,text,Scale\n"
	row := "00000000-0000-4000-8000-000000000001,note,2026-10-24T12:00:00+02:00,rn-agate,seen," + strings.Repeat("x", 1_000_000) + "\n"
	tables := intake.Tables{Mapping: mapping(t, "ignore: [Scale]")}
	o, err := intake.CSV(io.MultiReader(strings.NewReader(head), &cycle{text: row}), tables)
	if err != nil || len(o.Issues) != 1 || !strings.Contains(o.Issues[0].Allowed, "split it") {
		t.Fatal(err, o.Issues)
	}
	if n, rows := len(o.Entries), 1<<30/len(row); n < rows-1 || n > rows {
		t.Errorf("%d rows were read, of %d within the bound", n, rows)
	}
}

// cycle is one text again and again.
type cycle struct {
	text string
	at   int
}

func (c *cycle) Read(p []byte) (int, error) {
	n := copy(p, c.text[c.at:])
	c.at = (c.at + n) % len(c.text)
	return n, nil
}

// A policy without keys is no policy.
func TestEmptyPolicyIsRefused(t *testing.T) {
	for _, text := range []string{"", "\n", "# nothing yet\n", "---\n", "{}\n", "null\n", "\ufeff"} {
		if _, issues := intake.Policy([]byte(text)); len(issues) != 1 || issues[0].Code != "missing" {
			t.Errorf("%q: %v", text, issues)
		}
	}
	if _, issues := intake.Policy(nil); len(issues) > 0 {
		t.Error("the defaults:", issues)
	}
}
