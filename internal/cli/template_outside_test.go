//go:build outside

package cli_test

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// A template that an office program saved again is taken as the one that was filled in: the same entries, to the byte
// that is stored. Debian: libreoffice-calc.
func TestTemplateSavedByAnOfficeProgram(t *testing.T) {
	in := &in{T: t, dir: t.TempDir()}
	book, record := in.path("night.xlsx"), in.path("ward.db")
	in.do("template", "-o", book)
	entries := fill(t, book)
	saved := in.path("saved")
	cmd := exec.Command("soffice", "--headless", "-env:UserInstallation=file://"+in.path("profile"), "--convert-to", "xlsx", "--outdir",
		saved, book)
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("soffice: %v\n%s", err, out)
	}
	again := filepath.Join(saved, "night.xlsx")
	if _, err := os.Stat(again); err != nil {
		t.Fatal(err)
	}
	_, told := in.do("chart", again, "--record", record, "--policy", in.policy())
	if !strings.Contains(told, fmt.Sprintf("%d entries taken", entries)) {
		t.Error(told)
	}
	_, told = in.do("chart", book, "--record", record)
	if !strings.Contains(told, fmt.Sprintf("0 entries taken, %d held already", entries)) {
		t.Error(told)
	}
}
