package cli_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"cotline/internal/cli"
	"cotline/internal/ward"
)

// in is the program on a clock that stands, in a folder of its own.
type in struct {
	*testing.T
	dir string
	ids int
}

func (in *in) path(name string) string { return filepath.Join(in.dir, name) }

// run runs a command line and returns what it says and its exit code.
func (in *in) run(args ...string) (out, told string, code int) {
	in.Helper()
	var stdout, stderr bytes.Buffer
	p := &cli.Program{
		Stdin: strings.NewReader(""), Stdout: &stdout, Stderr: &stderr,
		Now: func() time.Time { return time.Date(2026, 3, 9, 20, 0, 0, 0, time.UTC) },
		Env: func(string) (string, bool) { return "", false },
		NewID: func() string {
			in.ids++
			return fmt.Sprintf("7c000000-0000-4000-8000-%012d", in.ids)
		},
	}
	code = p.Run(context.Background(), args)
	return stdout.String(), stderr.String(), code
}

// do is run that must succeed.
func (in *in) do(args ...string) (out, told string) {
	in.Helper()
	out, told, code := in.run(args...)
	if code != 0 {
		in.Fatalf("%v: exit %d\n%s", args, code, told)
	}
	return out, told
}

// policy is a file with the defaults.
func (in *in) policy() string {
	in.Helper()
	path := in.path("alder.yaml")
	if err := os.WriteFile(path, []byte("unit: Alder neonatal unit\n"), 0o600); err != nil {
		in.Fatal(err)
	}
	return path
}

// fill does what the template's own example says, as a person would type it: what looks like a number or a date becomes
// one unless the column is of texts.
func fill(t *testing.T, path string) (entries int) {
	t.Helper()
	f, err := excelize.OpenFile(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close() // it was saved
	example, err := f.GetRows("Example")
	if err != nil {
		t.Fatal(err)
	}
	heads := map[string][]string{} // of each sheet that is written to
	for _, line := range example[2:] {
		sheet, field, write := line[0], line[1], line[3]
		if heads[sheet] == nil {
			rows, err := f.GetRows(sheet)
			if err != nil {
				t.Fatal(err)
			}
			heads[sheet] = rows[3]
		}
		column := slices.Index(heads[sheet], field)
		if column < 0 {
			t.Fatalf("%s has no column %s", sheet, field)
		}
		ref, _ := excelize.CoordinatesToCellName(column+1, 5)
		if err := typed(f, sheet, ref, write); err != nil {
			t.Fatal(err)
		}
	}
	if err := f.Save(); err != nil {
		t.Fatal(err)
	}
	return len(heads) - 1 + ofTheRound
}

// ofTheRound is how many entries the example's one row of a round means: observations, settings, interface, skin, tube,
// humidifier, two cares, outlook, note.
const ofTheRound = 10

func typed(f *excelize.File, sheet, ref, write string) error {
	id, err := f.GetCellStyle(sheet, ref)
	if err != nil {
		return err
	}
	style, err := f.GetStyle(id)
	if err != nil {
		return err
	}
	if style.NumFmt == 49 { // text
		return f.SetCellStr(sheet, ref, write)
	}
	for _, form := range []string{"2006-01-02 15:04", "2006-01-02"} {
		if at, err := time.Parse(form, write); err == nil {
			return errors.Join(f.SetCellValue(sheet, ref, at), f.SetCellStyle(sheet, ref, ref, id))
		}
	}
	var number float64
	if _, err := fmt.Sscan(write, &number); err == nil {
		return f.SetCellValue(sheet, ref, number)
	}
	return f.SetCellValue(sheet, ref, write)
}

// The template filled in as its example says is taken, again adds nothing, and compiles to what was written; so it is
// with a unit's own policy, whose sizes stand in the example.
func TestTemplateIsTaken(t *testing.T) {
	t.Parallel()
	yml, _ := ward.Demo()
	for name, policy := range map[string]string{"defaults": "timezone: Europe/Vienna\n", "demo": string(yml)} {
		t.Run(name, func(t *testing.T) {
			in := &in{T: t, dir: t.TempDir()}
			policyFile, book, record := in.path("policy.yaml"), in.path("night.xlsx"), in.path("ward.db")
			if err := os.WriteFile(policyFile, []byte(policy), 0o600); err != nil {
				t.Fatal(err)
			}
			in.do("template", "-o", book, "--policy", policyFile)

			// As it comes it holds no entry, and nothing is wrong with it.
			_, told := in.do("chart", book, "--record", record, "--policy", policyFile)
			if !strings.Contains(told, "0 entries taken") {
				t.Error(told)
			}
			entries := fill(t, book)
			_, told = in.do("chart", book, "--record", record, "--policy", policyFile)
			if want := fmt.Sprintf("cotline: %d entries taken; ", entries); !strings.Contains(told, want) || entries < 15 {
				t.Errorf("%s; want %s", told, want)
			}
			if strings.Contains(told, "not read") || strings.Contains(told, "hidden") {
				t.Error(told)
			}
			_, told = in.do("chart", book, "--record", record, "--policy", policyFile)
			if !strings.Contains(told, fmt.Sprintf("0 entries taken, %d held already", entries)) {
				t.Error(told)
			}
			text, _ := in.do("handover", "--full", "--record", record, "--policy", policyFile)
			for _, want := range []string{"COT Sill 4: Bramble, Wick, number 0090417", "record key in-90", "27+3", "pressure 6 cmH2O",
				"mask size", "blanching", "15.5 cm", "head 25.5 cm", "weight 1040 g", "SpO2 93 %"} {
				if !strings.Contains(text, want) {
					t.Errorf("the handover lacks %q:\n%s", want, text)
				}
			}
		})
	}
}

// What a person gets wrong in it is told by sheet, row and column, and nothing is taken.
func TestTemplateFilledInWrong(t *testing.T) {
	in := &in{T: t, dir: t.TempDir()}
	book := in.path("night.xlsx")
	in.do("template", "-o", book)
	fill(t, book)
	f, err := excelize.OpenFile(book)
	if err != nil {
		t.Fatal(err)
	}
	percent := 9
	style, err := f.NewStyle(&excelize.Style{NumFmt: percent})
	if err != nil {
		t.Fatal(err)
	}
	err = errors.Join(
		f.SetCellStr("Observations", "A5", "in-90"), f.SetCellStr("Observations", "B5", "2026-03-09 09:30"),
		f.SetCellStr("Observations", "C5", "rn-elm"),
		f.SetCellValue("Observations", "D5", 0.93), f.SetCellStyle("Observations", "D5", "D5", style), // 93 % typed as a percentage
		f.SetCellFormula("Weight", "D5", "1000+40"),
		f.SetCellValue("Note", "K6", "x"),
		f.SetCellStr("Head circumference", "B6", "2026-03-09 08:30"), f.SetCellStr("Head circumference", "A6", "in-90"),
		f.SetCellStr("Head circumference", "C6", "rn-elm"),
		f.SetCellValue("Head circumference", "D6", 60),
		f.SetRowVisible("Head circumference", 6, false),
		f.Save(), f.Close())
	if err != nil {
		t.Fatal(err)
	}
	_, told, code := in.run("chart", book, "--record", in.path("ward.db"), "--policy", in.policy())
	if code != 1 {
		t.Errorf("exit %d", code)
	}
	for _, want := range []string{
		"night.xlsx, sheet Observations, row 5, column D: spo2Percent: found \"0.93\"; a plain number or a whole date: the cell's " +
			"format is 0%; use 0.0, yyyy-mm-dd or yyyy-mm-dd hh:mm [format]",
		"night.xlsx, sheet Weight, row 5, column D: weightG: found \"1040\"; a value: the cell holds a formula; copy it and paste the " +
			"value alone [format]",
		"night.xlsx, sheet Note, row 6: found column K; a header above what the column holds [unknown-field]",
		"night.xlsx, sheet Head circumference, row 6, column D: circumferenceCm: found 60; 15 to 50 cm [range]",
		"cotline: nothing was taken: 4 faults on 4 rows; mend them and chart again",
	} {
		if !strings.Contains(told, want) {
			t.Errorf("it does not say\n%s\nbut\n%s", want, told)
		}
	}
	if _, err := os.Stat(in.path("ward.db")); !errors.Is(err, os.ErrNotExist) {
		t.Errorf("a record was made: %v", err)
	}
}

// A round of three infants by the sheet of rounds: chosen from the record's list, taken, and the same file again adds
// nothing; an infant whom nobody knows is told at her cell.
func TestRoundOfThree(t *testing.T) {
	in := &in{T: t, dir: t.TempDir()}
	book, record, policyFile := in.path("round.xlsx"), in.path("ward.db"), in.path("policy.yaml")
	admitted := in.path("ward.csv")
	lines := "id,infant,kind,at,by,born,cot,mrn,family,state,mode\n"
	for n, of := range []string{"7,0730,Sorrel", "8,0731,Teasel", "9,0732,Vetch"} {
		lines += fmt.Sprintf("7d000000-0000-4000-8000-00000000000%d,reed-%d,admission,2026-03-08 08:00,rn-elm,2026-03-07,%s,,\n", n,
			n+1, of) +
			fmt.Sprintf("7d000000-0000-4000-8000-00000000001%d,reed-%d,support,2026-03-08 08:10,rn-elm,,,,,started,cpap\n", n, n+1)
	}
	if err := errors.Join(os.WriteFile(admitted, []byte(lines), 0o600),
		os.WriteFile(policyFile, []byte("timezone: Europe/Vienna\n"), 0o600)); err != nil {
		t.Fatal(err)
	}
	in.do("chart", admitted, "--record", record, "--policy", policyFile)
	in.do("template", "--infants", "--names", "-o", book, "--record", record)
	set := func(cells map[string]any) {
		t.Helper()
		f, err := excelize.OpenFile(book)
		if err != nil {
			t.Fatal(err)
		}
		rows, err := f.GetRows("Round")
		if err != nil {
			t.Fatal(err)
		}
		for key, v := range cells {
			row, name, _ := strings.Cut(key, " ")
			column := slices.Index(rows[3], name)
			if column < 0 {
				t.Fatalf("no column %s", name)
			}
			ref, _ := excelize.CoordinatesToCellName(column+1, int(row[0]-'0'))
			if err := f.SetCellValue("Round", ref, v); err != nil {
				t.Fatal(err)
			}
		}
		if err := errors.Join(f.Save(), f.Close()); err != nil {
			t.Fatal(err)
		}
	}
	set(map[string]any{
		"5 infant": "7 · Sorrel · 0730", "5 at": "2026-03-09 18:00", "5 by": "rn-elm", "5 written": "as it happened",
		"5 observations.spo2Percent": 93, "5 settings.pressureCmH2O": 6, "5 settings.fio2Percent": 25, "5 skin.sites.others": "yes",
		"6 infant": "8 · Teasel · 0731", "6 at": "2026-03-09 18:10", "6 by": "rn-elm", "6 observations.spo2Percent": 95,
		"6 tube.action": "found", "6 tube.route": "oral", "6 tube.markCm": 15.5,
		"7 infant": "9 · Vetch · 0732", "7 at": "2026-03-09 18:20", "7 by": "rn-elm", "7 interface.type": "mask",
		"7 care.what.parents": "x",
	})
	_, told := in.do("chart", book, "--record", record)
	if !strings.Contains(told, "cotline: 7 entries taken") {
		t.Error(told)
	}
	_, told = in.do("chart", book, "--record", record)
	if !strings.Contains(told, "0 entries taken, 7 held already") {
		t.Error(told)
	}
	text, _ := in.do("handover", "--full", "--record", record)
	for _, want := range []string{"pressure 6 cmH2O", "SpO2 95 %", "15.5 cm"} {
		if !strings.Contains(text, want) {
			t.Errorf("the handover lacks %q", want)
		}
	}
	set(map[string]any{"8 infant": "reed-9", "8 at": "2026-03-09 18:30", "8 by": "rn-elm", "8 weight.weightG": 1200})
	_, told, code := in.run("chart", book, "--record", record)
	if code != 1 || !strings.Contains(told, "sheet Round, row 8, column A: ") || !strings.Contains(told, "never was [not-admitted]") {
		t.Error(told)
	}
	if _, told, code = in.run("template", "--names"); code != 2 || !strings.Contains(told, "give --infants too") {
		t.Error(told)
	}
}
