package web

import (
	"context"
	"crypto/rand"
	"net/http"
	"time"

	"cotline/internal/web/words"
)

// policy lets a page have nothing but what this server sends as a file: no script or style
// within a page, no frame, no other site (CSP Level 3).
const policy = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; form-action 'self'; " +
	"manifest-src 'self'; worker-src 'self'; " +
	"base-uri 'none'; object-src 'none'; frame-ancestors 'none'"

// headers that every answer has, that of a path that is none too. A page is kept by no
// browser and no proxy; a file says otherwise itself.
var headers = map[string]string{
	"Content-Security-Policy":      policy,
	"X-Content-Type-Options":       "nosniff",
	"X-Frame-Options":              "DENY",
	"Referrer-Policy":              "no-referrer",
	"Cross-Origin-Opener-Policy":   "same-origin",
	"Cross-Origin-Resource-Policy": "same-origin",
	"Permissions-Policy":           "camera=(), microphone=(), geolocation=(), payment=(), usb=()",
	"Cache-Control":                "no-store",
}

// overTLS says that this host is asked over TLS only (RFC 6797), for a year.
const overTLS = "max-age=31536000; includeSubDomains"

// harden is what goes round the router: mux does not run its middleware where no route is
// found.
func (s *Server) harden(routed http.Handler) http.Handler {
	sites := http.NewCrossOriginProtection()
	elsewhere := s.answering(route{path: "another site", do: func(*Server, *request) (answer, error) { return answer{}, errElse }})
	often := s.answering(route{path: "too often", do: func(*Server, *request) (answer, error) { return answer{}, errOften }})
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		for name, value := range headers {
			w.Header().Set(name, value)
		}
		if s.TLS {
			w.Header().Set("Strict-Transport-Security", overTLS)
		}
		t := &telling{id: rand.Text(), address: s.address(r), route: "no route"}
		w.Header().Set("X-Request-Id", t.id)
		ctx, cancel := context.WithTimeout(context.WithValue(r.Context(), tellingKey{}, t), s.Limits.Answer)
		defer cancel()
		r = r.WithContext(ctx)
		s.told(w, r, t, func(w http.ResponseWriter) {
			switch {
			case s.OnlyProxies && !s.direct(r):
				http.Error(w, words.Say("This server is asked through its proxy only."), http.StatusForbidden)
			case !s.often.take(t.address, time.Now()):
				r.Body = http.NoBody
				often.ServeHTTP(w, r)
			case sites.Check(r) != nil:
				r.Body = http.NoBody // nothing of it is read
				elsewhere.ServeHTTP(w, r)
			default:
				routed.ServeHTTP(w, r)
			}
		})
	})
}
