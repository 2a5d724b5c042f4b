//go:build outside

package browser

import (
	"bytes"
	"context"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"
)

// A real browser leaves nothing behind, neither in the PDF nor on the disk, and
// reaches no server, even for a page that asks for one.
func TestRealBrowser(t *testing.T) {
	var asked atomic.Int32
	server := httptest.NewServer(http.HandlerFunc(func(http.ResponseWriter, *http.Request) { asked.Add(1) }))
	defer server.Close()
	dir := t.TempDir()
	t.Setenv("TMPDIR", dir)
	home := t.TempDir()
	t.Setenv("HOME", home)
	program, err := Find("")
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(t.Context(), time.Minute)
	defer cancel()
	made, err := PDF(ctx, t.TempDir(), program, []byte(`<!DOCTYPE html><html lang="en"><title>Żuraw Ελλ</title><h1>Sheet</h1>`+
		`<img src="`+server.URL+`/a.png"><img src="`+strings.Replace(server.URL, "127.0.0.1", "localhost", 1)+`/b.png">`))
	if err != nil {
		t.Fatal(err)
	}
	if n := asked.Load(); n > 0 {
		t.Errorf("the server was asked %d times", n)
	}
	host, _ := os.Hostname()
	who, _ := user.Current()
	for _, own := range []string{dir, "file:", "Mozilla", "/CreationDate", "/ModDate", host, who.Username} {
		if own != "" && bytes.Contains(made, []byte("("+own)) || len(own) > 4 && bytes.Contains(made, []byte(own)) {
			t.Errorf("the PDF holds %s", own)
		}
	}
	for _, place := range []string{dir, home} {
		left, err := os.ReadDir(place)
		if err != nil || len(left) > 0 {
			t.Errorf("left behind: %v, %v", left, err)
		}
	}
	pdf := filepath.Join(t.TempDir(), "a.pdf")
	if err := os.WriteFile(pdf, made, 0o600); err != nil {
		t.Fatal(err)
	}
	info, err := exec.Command("pdfinfo", pdf).CombinedOutput() // warns on standard error of what is amiss
	if err != nil {
		t.Fatal(err)
	}
	for _, line := range []string{"Title:           Żuraw Ελλ\n", "Tagged:          yes\n", "Pages:           1\n"} {
		if !strings.Contains(string(info), line) {
			t.Errorf("no %q in\n%s", line, info)
		}
	}
	for _, word := range []string{"Creat", "ModDate", "Error", "Warning"} {
		if strings.Contains(string(info), word) {
			t.Errorf("%s in\n%s", word, info)
		}
	}
}
