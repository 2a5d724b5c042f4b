package cli

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/rogpeppe/go-internal/testscript"

	"cotline/internal/access"
	"cotline/internal/access/accesstest"
)

func TestMain(m *testing.M) {
	access.DefaultHashCost = accesstest.Cheap // what a password costs is held where it is hashed
	testscript.Main(m, map[string]func(){
		// cotline on a clock that stands (NOW), with ids that count up (after IDS).
		"cotline": func() {
			p := OS()
			now, err := time.Parse(time.RFC3339, os.Getenv("NOW"))
			if err != nil {
				panic(err)
			}
			n := 0
			p.Now = func() time.Time { return now }
			p.NewID = func() string { n++; return fmt.Sprintf("%08s-0000-4000-9000-%012d", os.Getenv("IDS"), n) }
			p.Asks = os.Getenv("TERMINAL") != ""
			os.Exit(p.Run(context.Background(), os.Args[1:]))
		},
		// damage changes a record behind the program's back: damage FILE SQL...
		"damage": func() {
			db, err := sql.Open("sqlite", "file:"+os.Args[1])
			if err != nil {
				panic(err)
			}
			for _, s := range os.Args[2:] {
				if _, err := db.Exec(s); err != nil {
					panic(s + ": " + err.Error())
				}
			}
		},
		// faulty writes so many lines that are no entries.
		"faulty": func() {
			n, _ := strconv.Atoi(os.Args[1])
			for range n {
				fmt.Println(`{"id":1}`)
			}
		},
		// badutf8 writes a line that is no text.
		"badutf8": func() { fmt.Println("{\"id\":\"\xff\"}") },
		// halve cuts the second half of a file off.
		"halve": func() {
			info, err := os.Stat(os.Args[1])
			if err != nil {
				panic(err)
			}
			if err := os.Truncate(os.Args[1], info.Size()/2); err != nil {
				panic(err)
			}
		},
		// mode prints how a file may be used.
		"mode": func() {
			info, err := os.Stat(os.Args[1])
			if err != nil {
				panic(err)
			}
			fmt.Println(info.Mode())
		},
		// broken changes a weight within a carried text.
		"broken": func() {
			text, err := os.ReadFile(os.Args[1])
			if err == nil {
				err = os.WriteFile(os.Args[1], []byte(strings.Replace(string(text), `\"weightG\":1180`, `\"weightG\":1190`, 1)), 0o600)
			}
			if err != nil {
				panic(err)
			}
		},
		// printer stands in for a browser: it makes a PDF that holds the page as it is.
		"printer": func() {
			var to string
			for _, arg := range os.Args {
				if path, ok := strings.CutPrefix(arg, "--print-to-pdf="); ok {
					to = path
				}
			}
			page, err := os.ReadFile(strings.TrimPrefix(os.Args[len(os.Args)-1], "file://"))
			if err == nil {
				err = os.WriteFile(to, fmt.Appendf(nil, "%%PDF-1.4\n<</Producer (Skia/PDF m131)>>\n%s%%%%EOF\n", page), 0o600)
			}
			if err != nil {
				panic(err)
			}
		},
		// jammed is a browser that fails, and says more than anybody should read.
		"jammed": func() {
			fmt.Fprintln(os.Stderr, "Sorrel", os.Args)
			os.Exit(1)
		},
		// long writes a line of so many bytes.
		"long": func() {
			n, _ := strconv.Atoi(os.Args[1])
			fmt.Println(strings.Repeat("x", n))
		},
	})
}

func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir: "testdata/script",
		Setup: func(e *testscript.Env) error {
			e.Setenv("NOW", "2026-10-24T20:00:00+02:00")
			e.Setenv("IDS", "0")
			shared, err := filepath.Abs("../../testdata")
			if err != nil {
				return err
			}
			e.Setenv("SHARED", shared)
			unit := filepath.Join(e.WorkDir, "alder.yaml")
			e.Setenv("UNIT", unit) // a policy that is the defaults
			if err := os.WriteFile(unit, []byte("unit: Alder neonatal unit\n"), 0o600); err != nil {
				return err
			}
			own, _, _ := strings.Cut(e.Getenv("PATH"), string(filepath.ListSeparator))
			e.Setenv("OWN", own) // where these programs are, and no other
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			// exits CODE program args... runs a program and holds its exit code.
			"exits": func(ts *testscript.TestScript, neg bool, args []string) {
				want, err := strconv.Atoi(args[0])
				if err != nil || neg {
					ts.Fatalf("usage: exits CODE program args...")
				}
				got := 0
				err = ts.Exec(args[1], args[2:]...)
				var exit *exec.ExitError
				switch {
				case errors.As(err, &exit):
					got = exit.ExitCode()
				case err != nil:
					ts.Fatalf("%v", err)
				}
				if got != want {
					ts.Fatalf("exit code %d, want %d", got, want)
				}
			},
		},
	})
}

// Every refusal code of the record has a script that is refused with it.
func TestEveryCodeHasAScript(t *testing.T) {
	file, err := parser.ParseFile(token.NewFileSet(), "../../handover/entry/issue.go", nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	scripts, err := filepath.Glob("testdata/script/*.txtar")
	if err != nil {
		t.Fatal(err)
	}
	var all strings.Builder
	for _, s := range scripts {
		text, err := os.ReadFile(s)
		if err != nil {
			t.Fatal(err)
		}
		all.Write(text)
	}
	codes := 0
	ast.Inspect(file, func(n ast.Node) bool {
		spec, ok := n.(*ast.ValueSpec)
		if !ok || len(spec.Values) != 1 || !strings.HasPrefix(spec.Names[0].Name, "Code") {
			return true
		}
		code, err := strconv.Unquote(spec.Values[0].(*ast.BasicLit).Value)
		if err != nil {
			t.Fatal(err)
		}
		codes++
		if !strings.Contains(all.String(), `\[`+code+`\]`) {
			t.Errorf("no script is refused with %s", code)
		}
		return true
	})
	if codes < 20 {
		t.Errorf("only %d codes looked at", codes)
	}
}
