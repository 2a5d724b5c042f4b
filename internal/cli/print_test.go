package cli

import (
	"context"
	"testing"
)

// No terminal is filled with the bytes of a PDF.
func TestNoPDFOnATerminal(t *testing.T) {
	policy, record := demoFiles(t)
	for _, out := range [][]string{nil, {"-o", "-"}} {
		p, stdout, stderr := inProcess(t)
		p.Colour = true
		code := p.Run(context.Background(), append([]string{"handover", "--record", record, "--policy", policy, "--format", "pdf"},
			out...))
		if want := "cotline: a PDF is nothing for a terminal; name a file with -o\n"; code != exitFailed || stdout.Len() > 0 ||
			stderr.String() != want {
			t.Errorf("%v: exit %d, %q", out, code, stderr)
		}
	}
}
