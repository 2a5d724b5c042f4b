package examples

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// TestHazardLog finds every test that the hazard log names in the source.
func TestHazardLog(t *testing.T) {
	var source strings.Builder
	err := filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, "_test.go") {
			return err
		}
		code, err := os.ReadFile(path)
		source.Write(code)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	named := regexp.MustCompile("`(Test[A-Za-z0-9_]+)`").FindAllStringSubmatch(string(file(t, "../DEVELOPERS.md")), -1)
	if len(named) < 20 {
		t.Fatalf("the hazard log names %d tests", len(named))
	}
	for _, m := range named {
		if !strings.Contains(source.String(), "func "+m[1]+"(") {
			t.Errorf("the hazard log names %s, and there is no such test", m[1])
		}
	}
}
