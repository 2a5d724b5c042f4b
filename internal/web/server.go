package web

import (
	"context"
	"log/slog"
	"net/http"
	"net/netip"
	"time"

	"cotline/fhir"
	"cotline/handover"
	"cotline/internal/access"
	"cotline/internal/journal"
)

// Config is what a server stands on.
type Config struct {
	Units   map[string]*journal.Journal // by key
	Access  *access.Access
	Now     func() time.Time
	Log     *slog.Logger
	TLS     bool           // pages go over TLS, from here or from the proxy
	Proxies []netip.Prefix // whose word on addresses is taken
	// OnlyProxies refuses whoever is neither a proxy that was named nor this machine.
	OnlyProxies bool
	Limits      Limits // zero: DefaultLimits
	// PDF makes one of a page for paper; nil: no browser that can is installed.
	PDF func(ctx context.Context, page []byte) ([]byte, error)
	// Codes are the site's further codings of a policy; nil: there are none.
	Codes func(*handover.Policy) (fhir.SiteCodes, error)
}

// Server answers requests.
type Server struct {
	Config
	units   map[string]*Live
	pages   pages
	handler http.Handler
	cookies access.Cookies
	traced  traced
	often   rates
	guess   rates
	once    once
}

// ServeHTTP answers a request.
func (s *Server) ServeHTTP(w http.ResponseWriter, r *http.Request) { s.handler.ServeHTTP(w, r) }

// Warm compiles every unit, so that the first page does not wait for it. An error is told
// by the page, too.
func (s *Server) Warm(ctx context.Context) {
	for _, l := range s.units {
		if _, err := l.Look(ctx); err != nil {
			s.Log.Error("the ward cannot be compiled", "error", err.Error())
		}
	}
}

// Close waits for what is compiled beside requests.
func (s *Server) Close() {
	for _, l := range s.units {
		l.Close()
	}
}
