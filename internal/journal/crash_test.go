package journal_test

import (
	"bufio"
	"flag"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"

	"cotline/handover/entry"
	"cotline/internal/journal"
)

var kills = flag.Int("kills", 20, "how often TestKilled kills a process that charts")

// perFile is how many entries a child charts in one file.
const perFile = 4

// TestMain lets this program be started again as one that charts.
func TestMain(m *testing.M) {
	if path := os.Getenv("CHART_INTO"); path != "" {
		chartAsChild(path)
		return
	}
	os.Exit(m.Run())
}

// chartAsChild charts files of an infant, a signed handover and a few notes each, and says
// the number of a file once it was told that the file is taken. It ends after
// CHART_FILES files.
func chartAsChild(path string) {
	var t loud
	first, _ := strconv.Atoi(os.Getenv("CHART_FROM"))
	files, _ := strconv.Atoi(os.Getenv("CHART_FILES"))
	b := benchAt(t, path)
	for n := first; n < first+files; n++ {
		if _, err := b.Append(ctx, b.policy, func(*journal.Held) ([]*entry.Entry, error) {
			return fileOf(t, n), nil
		}); err != nil {
			fmt.Println("failed:", err)
			os.Exit(1)
		}
		fmt.Println(n)
	}
	os.Exit(0)
}

// loud is a child's test: what fails there ends the child, and is told.
type loud struct{ testing.TB }

func (loud) Helper()                       {}
func (loud) Cleanup(func())                {}
func (loud) Fatal(why ...any)              { fmt.Fprintln(os.Stderr, why...); os.Exit(1) }
func (t loud) Fatalf(f string, why ...any) { t.Fatal(fmt.Sprintf(f, why...)) }

func fileOf(t testing.TB, n int) []*entry.Entry {
	infant := "in-" + strconv.Itoa(n)
	out := []*entry.Entry{admission(t, n*perFile, infant), signingFor(t, n*perFile+1, "11:30", infant)}
	for i := 2; i < perFile; i++ {
		out = append(out, note(t, n*perFile+i, strings.Repeat("x", 500*i)))
	}
	return out
}

func child(t testing.TB, path string, from, files int) (*exec.Cmd, io.Reader) {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), "CHART_INTO="+path, "CHART_FROM="+strconv.Itoa(from), "CHART_FILES="+strconv.Itoa(files))
	cmd.Stderr = os.Stderr
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	return cmd, out
}

// told are the numbers of the files that a child was told are taken.
func told(t testing.TB, out io.Reader) (numbers []int) {
	in := bufio.NewScanner(out)
	for in.Scan() {
		n, err := strconv.Atoi(in.Text())
		if err != nil {
			t.Errorf("a child says %q", in.Text())
		}
		numbers = append(numbers, n)
	}
	return numbers
}

// holdsFiles fails unless the record is sound, holds whole files only, and all
// of those told. It returns how many files there are.
func holdsFiles(t testing.TB, path string, taken []int) int {
	t.Helper()
	b := benchAt(t, path)
	defer b.Store.Close()
	b.sound(t)
	r := b.read(t)
	if len(r.Entries)%perFile != 0 {
		t.Fatalf("%d entries: a file was taken in part", len(r.Entries))
	}
	held := map[string]bool{}
	for _, e := range r.Entries {
		held[e.ID] = true
	}
	for _, n := range taken {
		for i := range perFile {
			if !held[id(n*perFile+i)] {
				t.Fatalf("file %d was taken, entry %d of it is gone", n, i)
			}
		}
	}
	return len(r.Entries) / perFile
}

// Two processes chart into a record that neither finds made, at once: both
// succeed.
func TestTwoProcesses(t *testing.T) {
	path := filepath.Join(t.TempDir(), "record.db")
	var wg sync.WaitGroup
	taken := make([][]int, 3)
	for i := range taken {
		cmd, out := child(t, path, 1000*i, 12)
		wg.Go(func() {
			taken[i] = told(t, out)
			if err := cmd.Wait(); err != nil {
				t.Error(err)
			}
		})
	}
	wg.Wait()
	var all []int
	for _, some := range taken {
		all = append(all, some...)
	}
	if n := holdsFiles(t, path, all); n != 36 || len(all) != 36 {
		t.Errorf("%d files there, %d told", n, len(all))
	}
}

// A process that is killed, at any moment, many times, leaves a record that is
// sound, with every file whole that it was told is taken.
func TestKilled(t *testing.T) {
	path := filepath.Join(t.TempDir(), "record.db")
	var taken []int
	next, amid := 0, 0
	for range *kills {
		cmd, out := child(t, path, next, 1_000_000)
		go func() {
			time.Sleep(60*time.Millisecond + time.Duration(rand.IntN(60_000))*time.Microsecond)
			cmd.Process.Kill()
		}()
		numbers := told(t, out)
		cmd.Wait() // it was killed
		taken = append(taken, numbers...)
		if n := holdsFiles(t, path, taken); n > len(taken) {
			amid++ // killed after the commit, before it said so
			taken = append(taken, next+len(numbers))
		}
		next = len(taken)
	}
	t.Logf("%d files taken, %d of them untold", len(taken), amid)
	if len(taken) == 0 {
		t.Error("no child lived to chart a file")
	}
}
