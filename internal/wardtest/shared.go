package wardtest

import (
	"os"
	"path/filepath"
	"slices"
	"testing"
)

// Shared is a file of the testdata folder at the top of the module, which the tests
// of several packages share. Its README says what each is and where it comes from.
func Shared(t testing.TB, name string) []byte {
	t.Helper()
	text, err := os.ReadFile(filepath.Join(shared(t), filepath.FromSlash(name)))
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// SharedFiles are the paths of all files of a folder of testdata, in order.
func SharedFiles(t testing.TB, folder string) []string {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(shared(t), folder, "*"))
	if err != nil || len(files) == 0 {
		t.Fatal(folder, len(files), err)
	}
	slices.Sort(files)
	return files
}

// shared is the folder: beside go.mod, above the package whose tests run.
func shared(t testing.TB) string {
	t.Helper()
	dir, err := os.Getwd()
	if err != nil {
		t.Fatal(err)
	}
	for ; ; dir = filepath.Dir(dir) {
		if _, err := os.Stat(filepath.Join(dir, "testdata", "night")); err == nil {
			return filepath.Join(dir, "testdata")
		}
		if dir == filepath.Dir(dir) {
			t.Fatal("no testdata above this package")
		}
	}
}
