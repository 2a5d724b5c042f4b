//go:build outside

package intake_test

import (
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// A workbook that an office program wrote, with date cells and a formula, is
// read as one of another writer. Debian: libreoffice-calc.
func TestXLSXOfAnOfficeProgram(t *testing.T) {
	text := columns + "weightG,mrn,held\n" +
		id(1) + ",in-1,weight,2026-10-24 08:00:00,rn-1,1210.5,,\n" +
		id(2) + ",in-1,identity,2026-10-24 23:59:00,rn-1,,0012345,\n" +
		id(3) + ",in-1,seal,2026-10-25 02:30:00,rn-1,,,TRUE\n" +
		id(4) + ",in-1,seal,2026-10-25 03:00:00,rn-1,,,TRUE\n" +
		id(5) + ",in-1,weight,2026-10-25 03:00:00,rn-1,=1200+10,,\n"
	dir := t.TempDir()
	in := filepath.Join(dir, "book.csv")
	if err := os.WriteFile(in, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	// Comma, UTF-8, from line 1; columns 1, 2, 3, 5, 7 as text, the others by themselves; special numbers detected, formulas too.
	filter := "CSV:44,34,76,1,1/2/2/2/3/2/5/2/7/2,1033,false,true,false,false,false,0,true"
	cmd := exec.Command("soffice", "--headless", "-env:UserInstallation=file://"+filepath.Join(dir, "profile"), "--infilter="+filter,
		"--convert-to", "xlsx", "--outdir", dir, in)
	if out, err := cmd.CombinedOutput(); err != nil {
		t.Fatalf("soffice: %v\n%s", err, out)
	}
	data, err := os.ReadFile(filepath.Join(dir, "book.xlsx"))
	if err != nil {
		t.Fatal(err)
	}
	told(t, "office", readXLSX(t, vienna(t), data),
		`2 {"infant":"in-1","kind":"weight","at":"2026-10-24T08:00:00+02:00","by":"rn-1","weightG":1210.5}
3 {"infant":"in-1","kind":"identity","at":"2026-10-24T23:59:00+02:00","by":"rn-1","mrn":"0012345"}
5 {"infant":"in-1","kind":"seal","at":"2026-10-25T03:00:00+01:00","by":"rn-1","held":true}
line 4: at: found "2026-10-25 02:30:00"; which of two: the clock shows it twice; write 2026-10-25T02:30:00+02:00 for the first, 2026-10-25T02:30:00+01:00 for the second [format]
line 6: weightG: found "1210"; a value: the cell holds a formula; copy it and paste the value alone [format]`,
	)
}
