//go:build outside

package oracle

import (
	"bufio"
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
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

// java is a Java program of a folder here, not started yet.
func java(t testing.TB, name, class string, options []string, args ...string) *exec.Cmd {
	t.Helper()
	dir := made(t, name, "pom.xml", class+".java")
	path, err := os.ReadFile(filepath.Join(dir, "classpath"))
	if err != nil {
		t.Fatal(err)
	}
	options = append([]string{"-Dorg.slf4j.simpleLogger.defaultLogLevel=error"}, options...)
	options = append(options, "-cp", filepath.Join(dir, "classes")+":"+string(path), class)
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

func tail(s string, n int) string { return strings.TrimSpace(s[max(0, len(s)-n):]) }
