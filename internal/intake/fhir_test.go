package intake_test

import (
	"bufio"
	"io"
	"strings"
	"testing"

	"cotline/fhir/read"
	"cotline/handover/entry"
	"cotline/internal/intake"
)

// counted counts what is read of a reader.
type counted struct {
	io.Reader
	n int64
}

func (c *counted) Read(p []byte) (int, error) {
	n, err := c.Reader.Read(p)
	c.n += int64(n)
	return n, err
}

const mostOfFHIR = 128 << 20

// A file over the limit is refused by what is allowed, and no more of it is read
// than tells that: whether it is one text or has lines, and whether it ends at all.
func TestFHIRFilesOverTheLimit(t *testing.T) {
	policy, issues := intake.Policy(nil)
	if len(issues) > 0 {
		t.Fatal(issues)
	}
	line := `{"resourceType":"Media","note":[{"text":"` + strings.Repeat("x", 1<<19) + `"}]}` + "\n"
	for name, reading := range map[string]func(*intake.Resources, io.Reader) (intake.Offer, error){
		"one text": func(r *intake.Resources, in io.Reader) (intake.Offer, error) { return r.Bundle(in, 0) },
		"lines": func(r *intake.Resources, in io.Reader) (intake.Offer, error) {
			return r.Lines(bufio.NewReaderSize(in, 64<<10), 0)
		},
	} {
		in := &counted{Reader: forever('x')}
		if name == "lines" {
			in.Reader = repeated(line)
		}
		var r intake.Resources
		o, err := reading(&r, in)
		if err != nil || len(o.Issues) != 1 || o.Issues[0].Code != entry.CodeLineTooLong ||
			!strings.Contains(o.Issues[0].Allowed, "at most 128 MiB") {
			t.Errorf("%s: %v %v", name, err, o.Issues)
		}
		if in.n > mostOfFHIR+1<<20 {
			t.Errorf("%s: %d bytes were read", name, in.n)
		}
		// The limit is of all files together.
		o, err = r.Bundle(strings.NewReader(`{"resourceType":"Media"}`), 0)
		if err != nil || len(o.Issues) != 1 {
			t.Errorf("%s: one more: %v %v", name, err, o.Issues)
		}
		if offer := r.Read(read.Given{Policy: policy}); len(offer.Entries) > 0 {
			t.Errorf("%s: %d entries", name, len(offer.Entries))
		}
	}
}

// A file just at the limit is read.
func TestFHIRFileAtTheLimit(t *testing.T) {
	policy, _ := intake.Policy(nil)
	text := `{"resourceType":"Media"}`
	for size, refused := range map[int]bool{mostOfFHIR: false, mostOfFHIR + 1: true} {
		var r intake.Resources
		o, err := r.Bundle(io.MultiReader(io.LimitReader(forever(' '), int64(size-len(text))), strings.NewReader(text)), 0)
		if err != nil || (len(o.Issues) > 0) != refused {
			t.Errorf("%d bytes: %v %v", size, err, o.Issues)
		}
		if aside := r.Read(read.Given{Policy: policy}).Aside; (len(aside) == 1) == refused {
			t.Errorf("%d bytes: %v", size, aside)
		}
	}
}

// Short texts of many values cost no more than long ones: they are refused before
// anything is made of them.
func TestFHIRFilesOfManyValues(t *testing.T) {
	policy, _ := intake.Policy(nil)
	for name, text := range map[string]string{
		"zeros":   `{"resourceType":"Bundle","type":"batch","entry":[0` + strings.Repeat(",0", 8<<20) + `]}`,
		"objects": `{"resourceType":"Bundle","type":"batch","entry":[{}` + strings.Repeat(`,{"a":[]}`, 4<<20) + `]}`,
	} {
		var r intake.Resources
		spent := testing.AllocsPerRun(1, func() {
			r = intake.Resources{}
			if _, err := r.Bundle(strings.NewReader(text), 0); err != nil {
				t.Error(err)
			}
		})
		o := r.Read(read.Given{Policy: policy})
		if len(o.Issues) != 1 || !strings.Contains(o.Issues[0].Allowed, "values: send it in parts") || spent > 1000 {
			t.Errorf("%s: %v, %.0f allocations", name, o.Issues, spent)
		}
	}
}

// A bundle of several lines is no file of lines: that is said once.
func TestABundleOfSeveralLines(t *testing.T) {
	for _, text := range []string{"{\n \"resourceType\": \"Bundle\",\n \"type\": \"batch\"\n}\n",
		"{\"resourceType\":\"Bundle\",\n\"type\":\"batch\"}"} {
		var r intake.Resources
		o, err := r.Lines(bufio.NewReader(strings.NewReader(text)), 0)
		if err != nil || len(o.Issues) != 1 || !strings.Contains(o.Issues[0].Allowed, "as a .json file") {
			t.Errorf("%v %v", err, o.Issues)
		}
	}
}

// repeated is a text again and again.
func repeated(s string) io.Reader { return &again{text: s} }

type again struct {
	text string
	at   int
}

func (a *again) Read(p []byte) (int, error) {
	n := copy(p, a.text[a.at:])
	a.at = (a.at + n) % len(a.text)
	return n, nil
}

// Lines are resources by the names of the first, wherever its type stands, even
// beyond what is looked into.
func TestAreResources(t *testing.T) {
	long := strings.Repeat("x", 70<<10)
	for text, want := range map[string]bool{
		`{"resourceType":"Media"}`:                               true,
		"\ufeff\n {\"id\":\"1\",\"resourceType\":\"Media\"}":     true,
		`{"text":{"div":"` + long + `"},"resourceType":"Media"}`: true,
		`{"id":"1","infant":"a","kind":"note","text":"x"}`:       false,
		`{"id":"1","kind":"note","text":"` + long + `"}`:         false,
		`{"id":"1","text":{"resourceType":"x"},"kind":"note"}`:   false,
		`{"id":1`: false, ``: false, `[]`: false, "nothing of it": false,
	} {
		if got := intake.AreResources(bufio.NewReaderSize(strings.NewReader(text), 64<<10)); got != want {
			t.Errorf("%.60s: %t", text, got)
		}
	}
}
