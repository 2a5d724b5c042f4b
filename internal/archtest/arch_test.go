// Package archtest holds the module to the direction its code depends in. It
// parses the source itself: a test that asks the Go tool stays cached after a
// violation.
package archtest

import (
	"go/ast"
	"go/parser"
	"go/token"
	"strings"
	"testing"
)

func TestImports(t *testing.T) {
	all := sources(t, root)
	packages := map[string]bool{}
	for _, s := range all {
		packages[s.dir] = true
		for _, fault := range check(s) {
			t.Error(fault)
		}
	}
	for _, core := range []string{"handover", "handover/entry", "fhir", "internal/intake", "internal/journal", "internal/page",
		"internal/sheets",
		"internal/cli", "cmd/cotline"} {
		if !packages[core] {
			t.Errorf("no source of %s was looked at", core)
		}
	}
}

// A main that does work cannot be run in process.
func TestMainIsShort(t *testing.T) {
	for _, s := range sources(t, root) {
		if s.dir != "cmd/cotline" {
			continue
		}
		for _, d := range s.ast.Decls {
			if f, ok := d.(*ast.FuncDecl); ok && f.Name.Name != "main" {
				t.Errorf("%s has a function %s", s.name, f.Name.Name)
			}
		}
	}
}

// The check itself finds what it is for.
func TestCheckFinds(t *testing.T) {
	for name, c := range map[string]struct{ dir, text, want string }{
		"allowed":             {"handover", `import ("time"; "net/url"; "github.com/cockroachdb/apd/v3"); var _ = time.Second`, ""},
		"no row":              {"internal/new", ``, "without a row"},
		"clock":               {"handover", `import "time"; var _ = time.Now()`, "names time.Now"},
		"clock, renamed":      {"handover", `import t "time"; var now = t.Now`, "names time.Now"},
		"clock, without name": {"handover", `import . "time"; var _ = Now()`, "without a name"},
		"clock of the edge":   {"internal/cli", `import "time"; var _ = time.Now()`, ""},
		"another Now":         {"handover", `var clock struct{ Now func() }; var _ = clock.Now`, ""},
		"randomness":          {"handover", `import "math/rand"`, "imports math/rand"},
		"randomness, v2":      {"fhir", `import r "math/rand/v2"`, "imports math/rand/v2"},
		"random id":           {"fhir", `import "github.com/google/uuid"; var _ = uuid.New()`, "names github.com/google/uuid.New"},
		"derived id":          {"fhir", `import "github.com/google/uuid"; var _ = uuid.NewSHA1`, ""},
		"files":               {"handover", `import "os"`, "imports os"},
		"files, below":        {"internal/intake", `import "os/exec"`, "imports os/exec"},
		"network":             {"internal/page", `import "net"`, "imports net"},
		"network, below":      {"fhir", `import "net/http"`, "imports net/http"},
		"storage":             {"internal/cli", `import "database/sql"`, "imports database/sql"},
		"JSON tags":           {"handover", "type t struct { A string `json:\"a\"` }", "has a tag"},
		"another third party": {"handover", `import "github.com/spf13/cobra"`, "imports github.com/spf13/cobra"},
		"the other way":       {"handover", `import "cotline/fhir"`, "imports cotline/fhir"},
		"entry, upward":       {"handover/entry", `import "cotline/handover"`, "imports cotline/handover"},
		"entry, below":        {"handover", `import "cotline/handover/entry"`, ""},
		"face to face":        {"internal/page", `import "cotline/internal/sheets"`, "imports cotline/internal/sheets"},
		"driver":              {"internal/journal", `import _ "cotline/internal/store/sqlite"`, "imports cotline/internal/store/sqlite"},
		"past the program":    {"cmd/cotline", `import "cotline/internal/journal"`, "imports cotline/internal/journal"},
		"tests":               {"internal/cli", `import "cotline/internal/store/storetest"`, "imports cotline/internal/store/storetest"},
		"test wards":          {"internal/page", `import "cotline/internal/wardtest"`, "imports cotline/internal/wardtest"},
		"test wards, in cli":  {"internal/cli", `import "cotline/internal/wardtest"`, "imports cotline/internal/wardtest"},
	} {
		t.Run(name, func(t *testing.T) {
			file, err := parser.ParseFile(token.NewFileSet(), "a.go", "package a\n"+c.text, parser.SkipObjectResolution)
			if err != nil {
				t.Fatal(err)
			}
			got := strings.Join(check(source{dir: c.dir, name: "a.go", ast: file}), "\n")
			if c.want == "" && got != "" || !strings.Contains(got, c.want) {
				t.Errorf("found %q, want %q", got, c.want)
			}
		})
	}
}

// Every ban that a row names is one, and every row says why.
func TestTable(t *testing.T) {
	for dir, r := range table {
		if r.why == "" {
			t.Errorf("%s: no why", dir)
		}
		for _, never := range r.never {
			if _, ok := ban[never]; !ok {
				t.Errorf("%s: no ban %q", dir, never)
			}
		}
	}
}
