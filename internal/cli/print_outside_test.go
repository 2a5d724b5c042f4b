//go:build outside

package cli

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// The command line as a nurse calls it, with the browser of this machine: her own
// infants, every sheet told whose it is and for how long.
func TestPrintedByABrowser(t *testing.T) {
	policy, record := demoFiles(t)
	p, stdout, stderr := inProcess(t)
	pdf := filepath.Join(t.TempDir(), "own.pdf")
	code := p.Run(context.Background(), []string{"handover", "--record", record, "--policy", policy, "--format", "pdf", "-o", pdf,
		"--cot", "Fern 2,Moss 8", "--initials", "--printed-by", "rn-dune"})
	if code != exitDone || stdout.Len()+stderr.Len() > 0 {
		t.Fatalf("exit %d: %s%s", code, stdout, stderr)
	}
	if info, err := os.Stat(pdf); err != nil || info.Mode().Perm() != 0o600 {
		t.Errorf("%v, %v", info.Mode(), err)
	}
	text, err := exec.Command("pdftotext", "-layout", pdf, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	sheets := strings.Split(strings.TrimSuffix(string(text), "\f"), "\f")
	if len(sheets) != 2 { // the ward, and both infants
		t.Errorf("%d sheets", len(sheets))
	}
	for i, sheet := range sheets {
		for _, want := range []string{"printed by rn-dune", "destroy by Sun 25 Oct 2026 19:40 (+01:00)", "Look at the infant."} {
			if !strings.Contains(sheet, want) {
				t.Errorf("sheet %d does not say %q", i+1, want)
			}
		}
	}
	for name, there := range map[string]bool{"Feldspar": false, "Squall": false, "F., S. no. 7306214": true,
		"F., Z., number 7302614": false, "MW-25-K": true, "Marram": false} {
		if strings.Contains(strings.Join(strings.Fields(string(text)), " "), name) != there {
			t.Errorf("%s is there: %v", name, !there)
		}
	}
}
