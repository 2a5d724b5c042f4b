package oracle

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/google/fhir/go/fhirversion"
	"github.com/google/fhir/go/jsonformat"
)

// The foreign bundles that tests read are R4: what is taken of them is taken of what
// another system may send.
func TestForeignBundlesAreR4(t *testing.T) {
	read, err := jsonformat.NewUnmarshaller("Europe/Vienna", fhirversion.R4)
	if err != nil {
		t.Fatal(err)
	}
	files, err := filepath.Glob("../../testdata/foreign/*.json")
	if err != nil || len(files) == 0 {
		t.Fatal(len(files), err)
	}
	for _, file := range files {
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := read.Unmarshal(text); err != nil {
			t.Errorf("%s: %v", file, err)
		}
	}
}
