package web

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"os"
	"sync"
	"time"
)

// Run answers on a listener until the context ends, then lets open requests end, for
// Limits.Stop at most; what lasts longer is cut off.
func (s *Server) Run(ctx context.Context, l net.Listener) error {
	h := &http.Server{
		Handler: s, ReadHeaderTimeout: s.Limits.Header, ReadTimeout: s.Limits.Read, WriteTimeout: s.Limits.Write,
		IdleTimeout: s.Limits.Idle, MaxHeaderBytes: s.Limits.Head,
		ErrorLog: slog.NewLogLogger(s.Log.Handler(), slog.LevelDebug),
	}
	ended := make(chan error, 1)
	go func() { ended <- h.Serve(l) }()
	select {
	case err := <-ended:
		return err
	case <-ctx.Done():
	}
	limited, cancel := context.WithTimeout(context.WithoutCancel(ctx), s.Limits.Stop)
	defer cancel()
	err := h.Shutdown(limited)
	if errors.Is(err, context.DeadlineExceeded) {
		s.Log.Warn("requests that lasted too long were cut off")
		err = h.Close()
	}
	if served := <-ended; !errors.Is(served, http.ErrServerClosed) {
		return errors.Join(err, served)
	}
	return err
}

// Certificate is that of the server, read again when its files change, so that a new one
// needs no new start. While what is new cannot be used, the one before stays.
type Certificate struct {
	cert, key string
	log       *slog.Logger

	mu      sync.Mutex
	now     *tls.Certificate
	changed [2]time.Time // of the files
	looked  time.Time
}

// lookAgain is how often the files are looked at.
const lookAgain = 10 * time.Second

// ReadCertificate reads a certificate with what signed it, and its key, both PEM.
func ReadCertificate(cert, key string, log *slog.Logger) (*Certificate, error) {
	c := &Certificate{cert: cert, key: key, log: log}
	return c, c.read()
}

func (c *Certificate) read() error {
	var changed [2]time.Time
	for i, name := range []string{c.cert, c.key} {
		info, err := os.Stat(name)
		if err != nil {
			return err
		}
		changed[i] = info.ModTime()
	}
	if c.now != nil && changed == c.changed {
		return nil
	}
	cert, err := readPEM(c.cert)
	if err != nil {
		return err
	}
	key, err := readPEM(c.key)
	if err != nil {
		return err
	}
	pair, err := tls.X509KeyPair(cert, key)
	if err != nil {
		return err
	}
	c.now, c.changed = &pair, changed
	return nil
}

// mostPEM is more than any certificate with what signed it takes, in bytes.
const mostPEM = 256 << 10

func readPEM(name string) ([]byte, error) {
	f, err := os.Open(name) // #nosec G304 -- who starts the server names it
	if err != nil {
		return nil, err
	}
	defer f.Close() // it was only read
	text, err := io.ReadAll(io.LimitReader(f, mostPEM+1))
	if err == nil && len(text) > mostPEM {
		err = fmt.Errorf("%s: more than 256 KiB", name)
	}
	return text, err
}

// Config is how TLS is spoken: 1.2 at least (RFC 9325), with this certificate.
func (c *Certificate) Config() *tls.Config {
	return &tls.Config{MinVersion: tls.VersionTLS12, NextProtos: []string{"h2", "http/1.1"}, GetCertificate: c.get}
}

func (c *Certificate) get(*tls.ClientHelloInfo) (*tls.Certificate, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if now := time.Now(); now.Sub(c.looked) >= lookAgain {
		c.looked = now
		if err := c.read(); err != nil {
			c.log.Error("the new certificate cannot be used, the one before stays", "error", err.Error())
		}
	}
	return c.now, nil
}
