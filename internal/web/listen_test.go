package web

import (
	"bufio"
	"bytes"
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"io"
	"log/slog"
	"math/big"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// running is a server on a listener of its own, and how to stop it.
func running(t *testing.T, s *Server) (address string, stop func() error) {
	t.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- s.Run(ctx, l) }()
	t.Cleanup(cancel)
	return l.Addr().String(), func() error { cancel(); return <-ended }
}

// Who sends a request slowly, its head or its body, is cut off; a head that is too large
// is refused.
func TestSlowRequests(t *testing.T) {
	t.Parallel()
	b := newServer(t, func(c *Config) {
		c.Limits.Header, c.Limits.Read, c.Limits.Head = 200*time.Millisecond, 400*time.Millisecond, 4<<10
	})
	address, _ := running(t, b.Server)
	for name, first := range map[string]string{
		"head": "GET /sign-in HTTP/1.1\r\nHost: x\r\nX-Slow: ",
		"body": "POST /sign-in HTTP/1.1\r\nHost: x\r\nContent-Type: " + formKind + "\r\nContent-Length: 1000\r\n\r\nname=x",
	} {
		c, err := net.Dial("tcp", address)
		if err != nil {
			t.Fatal(err)
		}
		defer c.Close() // of a test
		if err := c.SetDeadline(time.Now().Add(20 * time.Second)); err != nil {
			t.Fatal(err)
		}
		if _, err := io.WriteString(c, first); err != nil {
			t.Fatal(err)
		}
		answer, err := io.ReadAll(c) // until the server ends it
		if err != nil && !strings.Contains(err.Error(), "reset") || strings.Contains(string(answer), " 200 ") {
			t.Errorf("%s: %v %q", name, err, answer)
		}
	}
	c, err := net.Dial("tcp", address)
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close() // of a test
	if _, err := io.WriteString(c, "GET /sign-in HTTP/1.1\r\nHost: x\r\nX-Large: "+strings.Repeat("x", 16<<10)+"\r\n\r\n"); err != nil {
		t.Fatal(err)
	}
	got, err := http.ReadResponse(bufio.NewReader(c), nil)
	if err != nil || got.StatusCode != http.StatusRequestHeaderFieldsTooLarge {
		t.Errorf("%v %v", got, err)
	}
}

// A stop lets a request that is open end, takes no new one, and says that all is well.
func TestStopLetsRequestsEnd(t *testing.T) {
	b := newServer(t, nil)
	asked, go1 := make(chan bool), make(chan bool)
	b.handler = http.HandlerFunc(func(w http.ResponseWriter, _ *http.Request) {
		asked <- true
		<-go1
		io.WriteString(w, "whole") // to a test
	})
	address, stop := running(t, b.Server)
	said := make(chan string, 1)
	go func() {
		got, err := http.Get("http://" + address + "/")
		if err != nil {
			said <- err.Error()
			return
		}
		body, err := io.ReadAll(got.Body)
		got.Body.Close() // it was read
		if err != nil {
			said <- err.Error()
			return
		}
		said <- string(body)
	}()
	<-asked
	stopped := make(chan error, 1)
	go func() { stopped <- stop() }()
	for {
		c, err := net.Dial("tcp", address)
		if err != nil {
			break // nobody listens any more
		}
		c.Close() // of a test
	}
	close(go1)
	if got := <-said; got != "whole" {
		t.Errorf("%q", got)
	}
	if err := <-stopped; err != nil {
		t.Error(err)
	}
}

// certify writes a certificate of its own for a name.
func certify(t *testing.T, dir, name string) (cert, key string) {
	t.Helper()
	private, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	template := &x509.Certificate{SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: name}, DNSNames: []string{name},
		NotBefore: time.Now().Add(-time.Hour), NotAfter: time.Now().Add(time.Hour)}
	der, err := x509.CreateCertificate(rand.Reader, template, template, private.Public(), private)
	if err != nil {
		t.Fatal(err)
	}
	secret, err := x509.MarshalPKCS8PrivateKey(private)
	if err != nil {
		t.Fatal(err)
	}
	cert, key = filepath.Join(dir, "cert.pem"), filepath.Join(dir, "key.pem")
	for path, block := range map[string]*pem.Block{cert: {Type: "CERTIFICATE", Bytes: der}, key: {Type: "PRIVATE KEY", Bytes: secret}} {
		if err := os.WriteFile(path, pem.EncodeToMemory(block), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	return cert, key
}

// Of files without end no more is read than a certificate takes.
func TestCertificatesAreBounded(t *testing.T) {
	t.Parallel()
	cert, key := certify(t, t.TempDir(), "first.example")
	for _, name := range []string{key, cert} {
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		for more, refused := range map[int]bool{mostPEM - len(text): false, mostPEM - len(text) + 1: true} {
			if err := os.WriteFile(name, append(text, bytes.Repeat([]byte("\n"), more)...), 0o600); err != nil {
				t.Fatal(err)
			}
			_, err := ReadCertificate(cert, key, slog.New(slog.DiscardHandler))
			if (err != nil) != refused || refused && err.Error() != name+": more than 256 KiB" {
				t.Errorf("%s with %d bytes more: %v", name, more, err)
			}
		}
		if err := os.WriteFile(name, text, 0o600); err != nil {
			t.Fatal(err)
		}
	}
}

// A certificate that is renewed is spoken with from then on; while the new files do not
// belong together, the one before is.
func TestCertificateIsReadAgain(t *testing.T) {
	dir := t.TempDir()
	cert, key := certify(t, dir, "first.example")
	c, err := ReadCertificate(cert, key, slog.New(slog.DiscardHandler))
	if err != nil {
		t.Fatal(err)
	}
	b := newServer(t, nil)
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	ended := make(chan error, 1)
	go func() { ended <- b.Run(ctx, tls.NewListener(l, c.Config())) }()
	speaks := func() string {
		c.mu.Lock()
		c.looked = time.Time{} // as if lookAgain had passed
		c.mu.Unlock()
		conn, err := tls.Dial("tcp", l.Addr().String(), &tls.Config{InsecureSkipVerify: true}) // its own certificate, in a test
		if err != nil {
			t.Fatal(err)
		}
		defer conn.Close() // of a test
		return conn.ConnectionState().PeerCertificates[0].Subject.CommonName
	}
	if got := speaks(); got != "first.example" {
		t.Error(got)
	}
	other := t.TempDir()
	certify(t, other, "second.example")
	for i, name := range []string{"cert.pem", "key.pem"} {
		text, err := os.ReadFile(filepath.Join(other, name))
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(dir, name), text, 0o600); err != nil {
			t.Fatal(err)
		}
		later := time.Now().Add(time.Duration(i+1) * time.Minute)
		if err := os.Chtimes(filepath.Join(dir, name), later, later); err != nil {
			t.Fatal(err)
		}
		if got, want := speaks(), []string{"first.example", "second.example"}[i]; got != want {
			t.Errorf("%s instead of %s", got, want)
		}
	}
	if _, err := tls.Dial("tcp", l.Addr().String(), &tls.Config{InsecureSkipVerify: true, MaxVersion: tls.VersionTLS11}); err == nil {
		t.Error("TLS 1.1 was spoken")
	}
	cancel()
	if err := <-ended; err != nil {
		t.Error(err)
	}
}
