package archtest

import (
	"go/ast"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"
)

// tooWide is the first column that a line must not reach; a tab goes to four.
const tooWide = 140

// Folders whose lines are not all mended yet, and packages without a comment. Each
// fails here once it has nothing left to mend, and is to be taken out.
var (
	wideStill   = []string{}
	silentStill = []string{}
)

// Lines can be read whole beside another window. A line within a text of several
// lines is data, and as long as its data.
func TestLinesAreShort(t *testing.T) {
	wide := map[string]int{}
	for _, s := range sources(t, root) {
		for i, line := range s.lines {
			if s.data[i] || columns(line) < tooWide {
				continue
			}
			if wide[s.dir]++; !slices.Contains(wideStill, s.dir) {
				t.Errorf("%s/%s:%d: %d columns, at most %d", s.dir, s.name, i+1, columns(line), tooWide-1)
			}
		}
	}
	for _, dir := range wideStill {
		if wide[dir] == 0 {
			t.Errorf("%s has no long line any more: take it out of wideStill", dir)
		}
	}
}

func columns(line string) int {
	return utf8.RuneCountInString(line) + 3*strings.Count(line, "\t")
}

// Every package says what it is for, once.
func TestPackagesSayWhatTheyAreFor(t *testing.T) {
	comments := map[string]int{}
	for _, s := range sources(t, root) {
		comments[s.dir] += 0
		if says(s.ast) {
			comments[s.dir]++
		}
	}
	for dir, n := range comments {
		switch silent := slices.Contains(silentStill, dir); {
		case n == 0 && !silent:
			t.Errorf("%s has no package comment", dir)
		case n > 0 && silent:
			t.Errorf("%s has a package comment: take it out of silentStill", dir)
		case n > 1:
			t.Errorf("%s has %d package comments", dir, n)
		}
	}
}

// says whether a file has a package comment. A build tag or a directive is none.
func says(file *ast.File) bool { return file.Doc != nil && strings.TrimSpace(file.Doc.Text()) != "" }

// No linter is asked to look away: none is run that would have to be.
func TestNoLinterLooksAway(t *testing.T) {
	for _, s := range sources(t, root) {
		for _, group := range s.ast.Comments {
			for _, c := range group.List {
				if strings.HasPrefix(c.Text, "//"+"nolint") {
					t.Errorf("%s/%s: %s", s.dir, s.name, c.Text)
				}
			}
		}
	}
}
