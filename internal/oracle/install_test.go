//go:build outside

package oracle

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
)

// made is the folder that install.sh made from some files of a folder here. It is
// named by their hash, so that no test runs on an old build.
func made(t testing.TB, name string, files ...string) string {
	t.Helper()
	hash := sha256.New()
	for _, f := range files {
		b, err := os.ReadFile(filepath.Join(name, f))
		if err != nil {
			t.Fatal(err)
		}
		hash.Write(b)
	}
	cache := os.Getenv("XDG_CACHE_HOME")
	if cache == "" {
		cache = filepath.Join(os.Getenv("HOME"), ".cache")
	}
	dir := filepath.Join(cache, "cotline-oracle", fmt.Sprintf("%s-%.6x", name, hash.Sum(nil)))
	if _, err := os.Stat(filepath.Join(dir, "done")); err != nil {
		t.Fatalf("%s is not installed as it stands: bash internal/oracle/install.sh", name)
	}
	return dir
}

// java is a Java program of a folder here, with a heap of at most so much, not started yet. It
// runs too short to gain by the second compiler or by collecting garbage side by side.
func java(t testing.TB, name, class, heap string, args ...string) *exec.Cmd {
	t.Helper()
	dir := made(t, name, "pom.xml", class+".java")
	path, err := os.ReadFile(filepath.Join(dir, "classpath"))
	if err != nil {
		t.Fatal(err)
	}
	options := []string{"-Dorg.slf4j.simpleLogger.defaultLogLevel=error", heap, "-Xms1g", "-Xmn600m", "-XX:TieredStopAtLevel=1",
		"-XX:+UseSerialGC", "-cp", filepath.Join(dir, "classes") + ":" + string(path), class}
	return exec.Command("java", append(options, args...)...)
}

// answers runs a program that reads one JSON text a line and answers each with one
// line of JSON, in order.
func answers[T any](t testing.TB, program *exec.Cmd, texts [][]byte) []T {
	t.Helper()
	var errors bytes.Buffer
	program.Stdin, program.Stderr = bytes.NewReader(append(bytes.Join(texts, []byte("\n")), '\n')), &errors
	out, err := program.Output()
	if err != nil {
		t.Fatalf("%s: %v\n%s", program.Path, err, tail(errors.String(), 2000))
	}
	all := make([]T, 0, len(texts))
	lines := bufio.NewScanner(bytes.NewReader(out))
	lines.Buffer(nil, len(out)+1)
	for lines.Scan() {
		var one T
		if err := json.Unmarshal(lines.Bytes(), &one); err != nil {
			t.Fatalf("%s: %v in %.200q", program.Path, err, lines.Text())
		}
		all = append(all, one)
	}
	if len(all) != len(texts) {
		t.Fatalf("%s: %d answers to %d texts\n%s", program.Path, len(all), len(texts), tail(errors.String(), 2000))
	}
	return all
}

// talking is a program that answers each line with a line, in order: it is started when
// first asked, and ends with the tests. Those who ask wait for one another.
type talking struct {
	sync.Mutex
	program *exec.Cmd
	in      io.WriteCloser
	out     *bufio.Reader
	errors  bytes.Buffer
	failed  error
}

// ask has the program's answers to some lines.
func (p *talking) ask(t testing.TB, lines [][]byte, program func() *exec.Cmd) (answers [][]byte) {
	t.Helper()
	p.Lock()
	defer p.Unlock()
	if p.program == nil {
		p.failed = p.start(program())
	}
	if p.failed == nil {
		go func() { _, _ = p.in.Write(append(bytes.Join(lines, []byte("\n")), '\n')) }() // a failure is seen below
	}
	for len(answers) < len(lines) && p.failed == nil {
		var line []byte
		line, p.failed = p.out.ReadBytes('\n')
		answers = append(answers, bytes.TrimSpace(line))
	}
	if p.failed != nil {
		t.Fatalf("%s: %v\n%s", p.program.Path, p.failed, tail(p.errors.String(), 2000))
	}
	return answers
}

func (p *talking) start(program *exec.Cmd) (err error) {
	p.program, program.Stderr = program, &p.errors
	if p.in, err = program.StdinPipe(); err != nil {
		return err
	}
	out, err := program.StdoutPipe()
	if err != nil {
		return err
	}
	p.out = bufio.NewReaderSize(out, 1<<20)
	return program.Start()
}

// end ends the program with its input.
func (p *talking) end() error {
	if p.program == nil || p.program.Process == nil {
		return nil
	}
	p.in.Close()
	if err := p.program.Wait(); err != nil {
		return fmt.Errorf("%s: %w\n%s", p.program.Path, err, tail(p.errors.String(), 2000))
	}
	return nil
}

// TestMain lets more tests run at once than there are cores: most wait for one of the
// programs that they share.
func TestMain(m *testing.M) {
	flag.Parse()
	if err := flag.Set("test.parallel", "10"); err != nil {
		panic(err)
	}
	code := m.Run()
	for _, p := range []*talking{&servers, &validators} {
		if err := p.end(); err != nil {
			fmt.Fprintln(os.Stderr, err)
			code = 1
		}
	}
	os.Exit(code)
}

func tail(s string, n int) string { return strings.TrimSpace(s[max(0, len(s)-n):]) }
