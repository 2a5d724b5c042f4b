package web

import (
	"log/slog"
	"net/http"
	"runtime"
	"strings"
	"time"

	"cotline/internal/web/words"
)

// telling is what is told of a request. The route stands for the path, which has keys of
// infants.
type telling struct{ id, address, route string }

type tellingKey struct{}

func tellingOf(r *http.Request) *telling {
	if t, ok := r.Context().Value(tellingKey{}).(*telling); ok {
		return t
	}
	return &telling{}
}

// answered remembers what was sent.
type answered struct {
	http.ResponseWriter
	status, bytes int
}

func (a *answered) WriteHeader(status int) {
	if a.status == 0 {
		a.status = status
	}
	a.ResponseWriter.WriteHeader(status)
}

func (a *answered) Write(b []byte) (int, error) {
	if a.status == 0 {
		a.status = http.StatusOK
	}
	n, err := a.ResponseWriter.Write(b)
	a.bytes += n
	return n, err
}

// told answers a request, tells the log of it, and ends a panic with that request alone.
// What was panicked with may hold what was charted, so only its place is told.
func (s *Server) told(w http.ResponseWriter, r *http.Request, t *telling, do func(http.ResponseWriter)) {
	a := &answered{ResponseWriter: w}
	from := time.Now()
	defer func() {
		if recover() != nil {
			s.Log.Error("a fault of the program ended a request", "request", t.id, "route", t.route, "where", place())
			if a.status == 0 {
				http.Error(a, words.Say("A fault of the program. Nothing was taken. Request %s", t.id), http.StatusInternalServerError)
			}
		}
		level := slog.LevelInfo
		if a.status >= http.StatusInternalServerError {
			level = slog.LevelWarn
		}
		s.Log.Log(r.Context(), level, "request", "request", t.id, "method", methodOf(r), "route", t.route, "status", a.status,
			"bytes", a.bytes, "ms", time.Since(from).Milliseconds(), "address", t.address)
	}()
	do(a)
}

// methodOf is a method that there is; any other is somebody's text.
func methodOf(r *http.Request) string {
	switch r.Method {
	case http.MethodGet, http.MethodHead, http.MethodPost, http.MethodPut, http.MethodDelete, http.MethodOptions, http.MethodPatch:
		return r.Method
	}
	return "other"
}

// place is the function of this module that panicked.
func place() string {
	pcs := make([]uintptr, 64)
	frames := runtime.CallersFrames(pcs[:runtime.Callers(3, pcs)])
	for {
		f, more := frames.Next()
		if strings.HasPrefix(f.Function, "cotline/") && !strings.HasSuffix(f.File, "log.go") {
			return f.Function
		}
		if !more {
			return "unknown"
		}
	}
}
