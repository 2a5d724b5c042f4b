package guide_test

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"cotline/fhir/guide"
	"cotline/fhir/internal/fixture"
)

var update = flag.Bool("update", false, "rewrite the pages from the package of the demo ward")

// The pages beside this test are those of the demo ward's package: every profile has
// one, with an example, and every link on them leads somewhere.
func TestPages(t *testing.T) {
	w, _ := fixture.Demo(t)
	pages, err := guide.Pages(w.Policy, demo(t))
	if err != nil {
		t.Fatal(err)
	}
	if *update {
		if err := os.RemoveAll("pages"); err != nil {
			t.Fatal(err)
		}
		if err := os.Mkdir("pages", 0o755); err != nil {
			t.Fatal(err)
		}
	}
	named := map[string][]byte{}
	for _, f := range pages {
		file := strings.TrimPrefix(f.Name, "package/other/")
		named[file] = f.Content
		file = filepath.Join("pages", file)
		if *update {
			if err := os.WriteFile(file, f.Content, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		kept, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(kept, f.Content) {
			t.Errorf("%s is not what the package says: go test ./fhir/guide -run Pages -update", file)
		}
	}
	for url, d := range load(t, w.Policy, nil).raw {
		if d["resourceType"] != "StructureDefinition" {
			continue
		}
		name := url[strings.LastIndexByte(url, '/')+1:] + ".md"
		text := string(named[name])
		if !strings.Contains(text, "`"+url+"`") || d["type"] != "Extension" && !strings.Contains(text, "## Example") {
			t.Errorf("%s has no page, or one without an example", url)
		}
	}
	link := regexp.MustCompile(`\]\(([^)]*)\)`)
	for name, text := range named {
		for _, to := range link.FindAllStringSubmatch(string(text), -1) {
			heading, inside := strings.CutPrefix(to[1], "#")
			if inside && !strings.Contains(string(text), "\n## "+heading+"\n") || !inside && named[to[1]] == nil {
				t.Errorf("%s leads to %s, which is not there", name, to[1])
			}
		}
	}
	kept, err := filepath.Glob("pages/*")
	if err != nil {
		t.Fatal(err)
	}
	if len(kept) != len(pages) {
		t.Errorf("%d files in pages, %d pages", len(kept), len(pages))
	}
}
