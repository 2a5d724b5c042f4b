package access_test

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// The table names what is, with a test that there is.
func TestASVS(t *testing.T) {
	var source strings.Builder
	for _, dir := range []string{".", "../store", "../cli", "../../fhir"} {
		err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, "_test.go") {
				return err
			}
			code, err := os.ReadFile(path)
			source.Write(code)
			return err
		})
		fits(t, "source", err)
	}
	table, err := os.ReadFile("ASVS.md")
	fits(t, "table", err)
	row := regexp.MustCompile(`(?m)^\| (\d[\d., ]*) \| ([a-z ]+) \|(.*)\|(.*)\|$`)
	named := regexp.MustCompile("`(Test[A-Za-z0-9_]+)`")
	rows := row.FindAllStringSubmatch(string(table), -1)
	if len(rows) < 100 || len(rows) != strings.Count(string(table), "\n| ")-1 {
		t.Fatalf("%d rows of the table are read", len(rows))
	}
	for _, r := range rows {
		tests := named.FindAllStringSubmatch(r[4], -1)
		switch what := strings.TrimSpace(r[3]); r[2] {
		case "met":
			if len(tests) == 0 {
				t.Errorf("%s is met, and no test says so", r[1])
			}
		case "not applicable", "not met":
			if what == "" {
				t.Errorf("%s is %s, and nothing says why", r[1], r[2])
			}
		case "server":
		default:
			t.Errorf("%s is %s", r[1], r[2])
		}
		for _, m := range tests {
			if !strings.Contains(source.String(), "func "+m[1]+"(") {
				t.Errorf("%s names %s, and there is no such test", r[1], m[1])
			}
		}
	}
}
