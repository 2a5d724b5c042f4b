package examples

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

var (
	link    = regexp.MustCompile(`\]\(([^)\s]+)\)`)
	heading = regexp.MustCompile(`(?m)^#+ (.+)$`)
)

// TestLinks follows every link of every page within the repository, to a heading of
// the other page where it names one.
func TestLinks(t *testing.T) {
	followed := 0
	for _, page := range pages(t) {
		for _, m := range link.FindAllStringSubmatch(string(file(t, page)), -1) {
			if strings.Contains(m[1], "://") {
				continue
			}
			name, anchor, _ := strings.Cut(m[1], "#")
			to := page
			if name != "" {
				to = filepath.Join(filepath.Dir(page), name)
			}
			if _, err := os.Stat(to); err != nil {
				t.Errorf("%s: %s leads nowhere", page, m[1])
				continue
			}
			if anchor != "" && !slices.Contains(anchors(string(file(t, to))), anchor) {
				t.Errorf("%s: %s has no such heading", page, m[1])
			}
			followed++
		}
	}
	if followed < 30 {
		t.Errorf("%d links were followed", followed)
	}
}

// TestFrontPage keeps the README short enough to be read whole.
func TestFrontPage(t *testing.T) {
	if n := strings.Count(string(file(t, "../README.md")), "\n"); n > 200 {
		t.Errorf("the README has %d lines, at most 200: what one reader needs stands in her manual", n)
	}
}

// pages are the Markdown files of the repository.
func pages(t *testing.T) (out []string) {
	t.Helper()
	err := filepath.WalkDir("..", func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && (d.Name() == "node_modules" || d.Name() == ".git" || d.Name() == "demo") {
			return filepath.SkipDir
		}
		if strings.HasSuffix(path, ".md") {
			out = append(out, path)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// anchors are the names of a page's headings as its readers link to them: small
// letters, hyphens for spaces, no other punctuation.
func anchors(page string) (out []string) {
	for _, m := range heading.FindAllStringSubmatch(page, -1) {
		out = append(out, strings.Map(func(r rune) rune {
			switch {
			case r == ' ':
				return '-'
			case r == '-' || r == '_' || r >= '0' && r <= '9' || r >= 'a' && r <= 'z' || r > 127:
				return r
			}
			return -1
		}, strings.ToLower(m[1])))
	}
	return out
}
