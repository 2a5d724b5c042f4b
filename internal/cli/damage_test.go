package cli

import (
	"bytes"
	"context"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"cotline/internal/ward"
)

var (
	flips    = flag.Int("flips", 0, "how many random bits TestFlippedBits flips in each page, one at a time; 0: one in every eighth page")
	flipSeed = flag.Uint64("flipseed", 0, "seed of TestFlippedBits; 0: a new one each run")
)

// pageSize is SQLite's own where none is asked for (sqlite.org/pragma.html, page_size).
const pageSize = 4096

// smallWard is a record of a few infants with a signed handover, closed.
func smallWard(t *testing.T) (dir, record, policy string) {
	t.Helper()
	dir = t.TempDir()
	record, policy = filepath.Join(dir, "ward.db"), filepath.Join(dir, "policy.yaml")
	text, entries := ward.Demo()
	few := filepath.Join(dir, "few.ndjson")
	lines := bytes.SplitAfter(entries, []byte("\n"))
	keep := map[string]bool{}
	for _, line := range lines { // all of the first four infants, and of the unit
		if i := bytes.Index(line, []byte(`"kind":"admission"`)); i >= 0 && len(keep) < 4 {
			keep[infantOf(line)] = true
		}
	}
	var out []byte
	for _, line := range lines {
		if keep[infantOf(line)] {
			out = append(out, line...)
		}
	}
	out = fmt.Appendf(out, `{"id":"7a000000-0000-4000-8000-0000000000aa","kind":"handover","at":%q,"by":"rn-agate","to":"rn-birch",`+
		`"asOf":%q,"infants":[%q]}`+"\n",
		ward.DemoAt, ward.DemoAt, infantOf(out))
	for name, content := range map[string][]byte{policy: text, few: out} {
		if err := os.WriteFile(name, content, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	if code, _, stderr := runIn(t, record, policy, "chart", few); code != 0 {
		t.Fatal(stderr)
	}
	return dir, record, policy
}

func infantOf(line []byte) string {
	_, rest, found := bytes.Cut(line, []byte(`"infant":"`))
	if !found {
		return ""
	}
	key, _, _ := bytes.Cut(rest, []byte(`"`))
	return string(key)
}

func runIn(t *testing.T, record, policy string, args ...string) (code int, stdout, stderr string) {
	t.Helper()
	p, out, told := inProcess(t)
	n := 0
	p.NewID = func() string { n++; return fmt.Sprintf("00000000-0000-4000-9000-%012d", n) }
	args = append(slices.Clone(args), "--record", record)
	if policy != "" {
		args = append(args, "--policy", policy)
	}
	code = p.Run(context.Background(), args)
	return code, out.String(), told.String()
}

// Whatever bit of whatever page of a record is flipped, a command either gives the
// bytes that it gave before, or says first what is wrong and exits with 1. Charting
// what is held never takes it a second time.
func TestFlippedBits(t *testing.T) {
	t.Parallel()
	dir, record, policy := smallWard(t)
	other := filepath.Join(dir, "other.yaml") // of two, the last rules
	text := bytes.Replace(mustRead(t, policy), []byte("rotationDue: 5h"), []byte("rotationDue: 4h"), 1)
	if err := os.WriteFile(other, text, 0o600); err != nil {
		t.Fatal(err)
	}
	if code, _, stderr := runIn(t, record, other, "chart"); code != 0 || !strings.Contains(stderr, "rotationDue: 4h, was 5h") {
		t.Fatal(stderr)
	}
	whole, err := os.ReadFile(record)
	if err != nil {
		t.Fatal(err)
	}
	head, err := os.ReadFile(record + ".head")
	if err != nil {
		t.Fatal(err)
	}
	infant := infantOf(mustRead(t, filepath.Join(dir, "few.ndjson")))
	more := filepath.Join(dir, "more.ndjson")
	if err := os.WriteFile(more, fmt.Appendf(nil, `{"id":"7a000000-0000-4000-8000-0000000000ab","infant":%q,"kind":"note","at":%q,`+
		`"by":"rn-agate","text":"x"}`+"\n", infant, ward.DemoAt), 0o600); err != nil {
		t.Fatal(err)
	}
	commands := [][]string{
		{"handover", "--format", "json"},
		{"handover", "--format", "json", "--infant", infant},
		{"handover", "--signed", "7a000000-0000-4000-8000-0000000000aa"},
		{"handover", "--policy", policy, "--format", "json"},
		{"policy"},
		{"verify"},
		{"chart", filepath.Join(dir, "few.ndjson")},
		{"chart", more},
	}
	run := func(args []string) (int, string, string) {
		path := filepath.Join(dir, "copy.db")
		for _, end := range []string{"-wal", "-shm"} {
			os.Remove(path + end) // it may be gone
		}
		for name, content := range map[string][]byte{path: whole, path + ".head": head} {
			if err := os.WriteFile(name, content, 0o600); err != nil {
				t.Fatal(err)
			}
		}
		return runIn(t, path, "", args...)
	}
	type result struct {
		code           int
		stdout, stderr string
	}
	sound := map[int]result{}
	for i, args := range commands {
		code, stdout, stderr := run(args)
		if code != 0 {
			t.Fatal(args, stderr)
		}
		sound[i] = result{code, stdout, stderr}
	}
	seed := *flipSeed
	if seed == 0 {
		seed = uint64(time.Now().UnixNano())
	}
	t.Logf("-flipseed %d, %d pages", seed, len(whole)/pageSize)
	r := rand.New(rand.NewPCG(seed, 0))
	warned := 0
	step := pageSize
	if *flips == 0 {
		step, *flips = 8*pageSize, 1
	}
	for page := r.IntN(step/pageSize) * pageSize; page < len(whole); page += step {
		for range *flips {
			at, bit := page+r.IntN(pageSize), byte(1)<<r.IntN(8)
			if r.IntN(2) == 0 { // where something stands, more often than not
				for tries := 0; whole[at] == 0 && tries < 50; tries++ {
					at = page + r.IntN(pageSize)
				}
			}
			whole[at] ^= bit
			for i, args := range commands {
				code, stdout, stderr := run(args)
				switch {
				case code == 0 && stdout == sound[i].stdout && stderr == sound[i].stderr:
				case code == 1 && strings.TrimSpace(stderr) != "":
					warned++
				default:
					t.Errorf("byte %d, bit %d (page %d): cotline %s: exit %d\n%.300s\n%.500s", at, bit, page/pageSize+1,
						strings.Join(args, " "), code, stderr, firstDifferent(sound[i].stdout, stdout))
				}
			}
			whole[at] ^= bit
		}
	}
	if warned == 0 {
		t.Error("no damage was ever found: nothing was tried")
	}
	t.Logf("%d commands warned", warned)
}

func firstDifferent(a, b string) string {
	for i := range min(len(a), len(b)) {
		if a[i] != b[i] {
			return b[max(0, i-60):min(len(b), i+60)]
		}
	}
	return fmt.Sprintf("%d bytes, want %d", len(b), len(a))
}

func mustRead(t *testing.T, path string) []byte {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	return text
}
