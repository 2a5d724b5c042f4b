package web

import (
	"bytes"
	"flag"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"text/template/parse"

	"cotline/internal/web/words"
)

var updateCatalogue = flag.Bool("update-catalogue", false, "write words/catalogue.txt anew from the sources")

// catalogued is what templates and Go say by way of package words, with where.
func catalogued(t *testing.T) map[string][]string {
	t.Helper()
	out := map[string][]string{}
	add := func(text, where string) {
		if strings.ContainsAny(text, "\n\t") {
			t.Errorf("%s: a text of more than a line: %q", where, text)
		}
		if !slices.Contains(out[text], where) {
			out[text] = append(out[text], where)
		}
	}
	eachTemplate(t, func(name string, tree *parse.Tree) {
		words.Template(tree, func(text string) string { add(text, name); return text })
		calls := sayInTemplate.FindAllStringSubmatch(tree.Root.String(), -1)
		if n := len(saysInTemplate.FindAllString(tree.Root.String(), -1)); n != len(calls) {
			t.Errorf("%s: %d calls of say or phrase, of which %d are an action of their own with a plain text", name, n, len(calls))
		}
		for _, said := range calls {
			add(said[1], name)
		}
	})
	for _, file := range pageSources(t) {
		saidInGo(t, file, add)
	}
	return out
}

// sayInTemplate is a call of words.Say, or of phrase, in a template, with its text; saysInTemplate
// is any.
var (
	sayInTemplate  = regexp.MustCompile(`{{(?:say|phrase) "([^"\\\\]*)"`)
	saysInTemplate = regexp.MustCompile(`\b(?:say|phrase) "`)
)

var literalInScript = regexp.MustCompile("\"(?:[^\"\\\\]|\\\\.)*\"|`[^`]*`")

// notSaid are the literals of scripts that nobody reads: what browsers know, selectors, and
// an error that is caught.
var notSaid = []string{`"use strict"`, `"no answer"`, `".stood time"`, `"main h1, main label, main h1 + p"`,
	`"<html lang=\"en\" data-theme=\"auto\""`, `"<html lang=\"en\" data-theme=\""`}

// Scripts say nothing of their own: what they show stands in templates.
func TestScriptsSayNothing(t *testing.T) {
	scripts, err := fs.Glob(files, "static/*.js")
	if err != nil || len(scripts) == 0 {
		t.Fatal(scripts, err)
	}
	several := regexp.MustCompile(`\pL[,.]? \pL`)
	for _, name := range scripts {
		text, err := files.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, literal := range literalInScript.FindAllString(string(text), -1) {
			if several.MatchString(literal) && !strings.ContainsAny(literal, "#[>{") && !slices.Contains(notSaid, literal) {
				t.Errorf("%s: %s", name, literal)
			}
		}
	}
}

func eachTemplate(t *testing.T, do func(name string, tree *parse.Tree)) {
	t.Helper()
	err := fs.WalkDir(templates, "templates", func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		text, err := templates.ReadFile(path)
		if err != nil {
			return err
		}
		sets := map[string]*parse.Tree{}
		tree := parse.New(filepath.Base(path))
		tree.Mode = parse.SkipFuncCheck
		if _, err := tree.Parse(string(text), "", "", sets); err != nil {
			return err
		}
		for _, tree := range sets {
			do(filepath.Base(path), tree)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
}

// saidInGo finds the calls of package words: Say and Key have a literal, Text what a table
// keeps as a Key.
func saidInGo(t *testing.T, file string, add func(text, where string)) {
	t.Helper()
	tree, err := parser.ParseFile(token.NewFileSet(), file, nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	ast.Inspect(tree, func(n ast.Node) bool {
		call, is := n.(*ast.CallExpr)
		if !is {
			return true
		}
		f, is := call.Fun.(*ast.SelectorExpr)
		if !is {
			return true
		}
		x, is := f.X.(*ast.Ident)
		if !is || x.Name != "words" || !slices.Contains([]string{"Say", "Key", "Text"}, f.Sel.Name) {
			return true
		}
		literal, is := call.Args[0].(*ast.BasicLit)
		switch {
		case is == (f.Sel.Name == "Text"):
			t.Errorf("%s: a literal is for words.Say or words.Key, and nothing else is; words.Text says what was kept", file)
		case is:
			text, err := strconv.Unquote(literal.Value)
			if err != nil {
				t.Fatal(err)
			}
			add(text, filepath.Base(file))
		}
		return true
	})
}

// The catalogue lists every text that pages say, and no other.
func TestCatalogue(t *testing.T) {
	const file, anew = "words/catalogue.txt", "go test ./internal/web -run TestCatalogue -update-catalogue"
	texts := catalogued(t)
	var lines []string
	for text, where := range texts {
		slices.Sort(where)
		lines = append(lines, text+"\t"+strings.Join(where, " ")+"\n")
	}
	slices.Sort(lines)
	want := []byte("# What pages say, and where: a text and its files a line. Written by\n# " + anew + "\n" + strings.Join(lines, ""))
	if *updateCatalogue {
		if err := os.WriteFile(file, want, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s is not what the sources say: %s, and read the difference", file, anew)
	}
}
