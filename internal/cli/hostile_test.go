package cli_test

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"cotline/internal/cli/clitest"
	"cotline/internal/ward"
	"cotline/internal/wardtest"
)

// Of a hostile file nothing is taken, with exit code 1 and words for a person: no
// trace, and no name.
func TestHostileFilesAreRefused(t *testing.T) {
	policy := filepath.Join(t.TempDir(), "policy.yaml")
	if err := os.WriteFile(policy, ward.Policy(), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, file := range wardtest.SharedFiles(t, "hostile") {
		record := filepath.Join(t.TempDir(), "w.db")
		p, _, stderr := clitest.Program(t, ward.DemoAt)
		args := []string{"chart", file, "--record", record, "--policy", policy}
		if filepath.Ext(file) == ".json" {
			args = append(args, "--by", "rn-agate")
		}
		code := p.Run(context.Background(), args)
		told := stderr.String()
		if code != 1 || !strings.Contains(told, "nothing was taken") || strings.Contains(told, "goroutine") ||
			strings.Contains(told, "Marigold") {
			t.Errorf("%s: exit %d, %s", filepath.Base(file), code, told)
		}
	}
}
