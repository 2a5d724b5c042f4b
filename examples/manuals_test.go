package examples

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// manuals are the front page and the manuals, and what the folder holds in which their
// commands are given; nil: nothing.
var manuals = map[string]func(*testing.T, manual){
	"README.md":                 nil,
	"fhir/MANUAL.md":            nil,
	"internal/sheets/MANUAL.md": exampleWard,
	"internal/page/MANUAL.md": func(t *testing.T, m manual) {
		m.demoIn(t, "demo")
		m.sh(t, "cotline chart --policy demo/policy.yaml --record ward.db")
		var charted string // what the page itself shows
		for _, mark := range []string{"admission", "set-up", "round"} {
			charted += between(t, nursesManual, mark)
		}
		if err := os.WriteFile(filepath.Join(m.dir, "shift.ndjson"), []byte(charted), 0o600); err != nil {
			t.Fatal(err)
		}
	},
	"internal/cli/MANUAL.md": nil, // it names commands in its text
	"internal/web/MANUAL.md": nil, // it serves
}

// notRun are the beginnings of those that no test runs, and why.
var notRun = map[string]string{
	"go test":                       "it is what runs these",
	"cotline serve":                 "it serves until somebody stops it",
	"cotline handover --format pdf": "it needs a browser",
}

// manual is a page and an empty folder.
type manual struct {
	dir, binary string
	demo        string // what cotline demo made once, for those whose reader has it
}

func exampleWard(t *testing.T, m manual) { m.demoIn(t, ".") }

func (m manual) demoIn(t *testing.T, folder string) {
	t.Helper()
	if err := os.CopyFS(filepath.Join(m.dir, folder), os.DirFS(m.demo)); err != nil {
		t.Fatal(err)
	}
}

// sh runs a command line as somebody types it who has put cotline where it is found.
func (m manual) sh(t *testing.T, line string) {
	t.Helper()
	c := exec.Command("sh", "-c", line)
	c.Dir = m.dir
	c.Env = append(os.Environ(), "PATH="+filepath.Dir(m.binary)+string(os.PathListSeparator)+os.Getenv("PATH"), "NO_COLOR=1")
	c.Env = slices.DeleteFunc(c.Env, func(s string) bool { return strings.HasPrefix(s, "COTLINE_") })
	if out, err := c.CombinedOutput(); err != nil {
		t.Fatalf("%s: %v\n%.3000s", line, err, out)
	}
}

// TestManualsCommands runs the commands of each manual in its order, with a binary as it is
// built, in an empty folder. A command is a line of a block without a language that begins
// with one; a block that has one holds nothing else, and no line outside such blocks begins so.
func TestManualsCommands(t *testing.T) {
	binary := filepath.Join(t.TempDir(), "cotline")
	if out, err := exec.Command("go", "build", "-o", binary, "../cmd/cotline").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	made := manual{t.TempDir(), binary, ""}
	made.sh(t, "cotline demo --out .")
	pages, met := manualPages(t), map[string]bool{}
	for page := range manuals {
		if !slices.Contains(pages, page) {
			t.Errorf("there is no %s", page)
		}
	}
	for _, page := range pages {
		before, known := manuals[page]
		if !known {
			t.Errorf("%s is not in the list of manuals", page)
			continue
		}
		t.Run(page, func(t *testing.T) {
			m := manual{t.TempDir(), binary, made.dir}
			if before != nil {
				before(t, m)
			}
			ran := 0
			for _, line := range commandsOf(t, page) {
				if begins := whyNot(line); begins != "" {
					t.Logf("not run: %s (%s)", line, notRun[begins])
					met[begins] = true
					continue
				}
				m.sh(t, strings.Replace(line, "go run ./cmd/cotline", "cotline", 1))
				t.Logf("ran: %s", line)
				ran++
			}
			if before != nil && ran == 0 {
				t.Error("something is made for its commands, and it gives none")
			}
		})
	}
	for begins := range notRun {
		if !met[begins] {
			t.Errorf("no manual gives %s, which is not to be run", begins)
		}
	}
}

// whyNot is the beginning by which a command is not run, empty where it is.
func whyNot(line string) string {
	for begins := range notRun {
		if line == begins || strings.HasPrefix(line, begins+" ") {
			return begins
		}
	}
	return ""
}

// manualPages are the front page and every manual, from the top of the module.
func manualPages(t *testing.T) (pages []string) {
	t.Helper()
	for _, pattern := range []string{"README.md", "MANUAL.md", "*/MANUAL.md", "*/*/MANUAL.md"} {
		found, err := filepath.Glob(filepath.Join("..", pattern))
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range found {
			pages = append(pages, strings.TrimPrefix(filepath.ToSlash(f), "../"))
		}
	}
	return pages
}

var (
	fenced  = regexp.MustCompile("(?ms)^```([a-z]*)\n(.*?)^```$")
	command = regexp.MustCompile(`^(cotline|go) `)
	anyhow  = regexp.MustCompile(`(?m)^(\$ |sudo |[A-Z_]+=\S+ )*cotline `)
	comment = regexp.MustCompile(`\s+#.*$`)
	goesOn  = regexp.MustCompile(`\s*\\\n\s*`) // a line that ends with a backslash
)

// commandsOf are the lines of a page's blocks of commands, without their comments.
func commandsOf(t *testing.T, page string) (all []string) {
	t.Helper()
	text, own := file(t, "../"+page), 0
	for _, block := range fenced.FindAllStringSubmatch(string(text), -1) {
		lines := strings.Split(strings.TrimSpace(goesOn.ReplaceAllString(block[2], " ")), "\n")
		if block[1] != "" || !slices.ContainsFunc(lines, command.MatchString) {
			continue
		}
		for _, line := range lines {
			if !command.MatchString(line) {
				t.Errorf("%s: neither a command nor shown apart from one: %s", page, line)
				continue
			}
			all = append(all, comment.ReplaceAllString(line, ""))
			if strings.HasPrefix(line, "cotline ") {
				own++
			}
		}
	}
	if n := len(anyhow.FindAll(text, -1)); n != own {
		t.Errorf("%s: %d lines begin with a command, %d of them in blocks of commands", page, n, own)
	}
	return all
}

var (
	spoken = regexp.MustCompile("`cotline ([a-z]+)([^`]*)`")
	flags  = regexp.MustCompile(`--[a-z][a-z-]*`)
)

// TestManualsNameWhatThereIs: a command that a manual names in its text, or gives, exists and
// has the flags that are given with it.
func TestManualsNameWhatThereIs(t *testing.T) {
	help := map[string]string{}
	named := 0
	for _, page := range manualPages(t) {
		said := string(file(t, "../"+page))
		for _, line := range commandsOf(t, page) { // some of which no test runs
			said += "\n`" + line + "`\n"
		}
		for _, m := range spoken.FindAllStringSubmatch(said, -1) {
			of := []string{m[1]}
			grouped := m[1] == "people" || m[1] == "programs" // a command of commands
			if rest := strings.Fields(m[2]); grouped && len(rest) > 0 && !strings.HasPrefix(rest[0], "-") {
				of = append(of, rest[0])
			}
			name := strings.Join(of, " ")
			if help[name] == "" {
				help[name] = string(run(t, append(of, "--help")...))
			}
			if !strings.Contains(help[name], "cotline "+name) {
				t.Errorf("%s: there is no command %s", page, m[0])
			}
			for _, flag := range flags.FindAllString(m[2], -1) {
				if flag != "--help" && !slices.Contains(flags.FindAllString(help[name], -1), flag) {
					t.Errorf("%s: %s has no flag %s", page, m[0], flag)
				}
			}
			named++
		}
	}
	if named == 0 {
		t.Error("no manual names a command")
	}
	t.Logf("%d commands named", named)
}
