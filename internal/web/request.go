package web

import (
	"bytes"
	"context"
	"errors"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"

	"github.com/gorilla/mux"

	"cotline/internal/access"
	"cotline/internal/web/words"
)

// request is one that may be answered.
type request struct {
	*http.Request
	who  *access.Who // nil before sign-in
	from access.Origin
	unit string // of the path, empty where it names none
	id   string
	snap *Snapshot // of the unit, once it was looked at
}

// part is a variable of the path; one that is badly written is empty, and nothing's name.
func part(r *http.Request, name string) string {
	text, err := url.PathUnescape(mux.Vars(r)[name])
	if err != nil {
		return ""
	}
	return text
}

func (r *request) part(name string) string { return part(r.Request, name) }

// refresh says whether a page that is open asks by itself.
func (r *request) refresh() bool {
	return r.Header.Get("X-Refresh") == "1" && r.Method != http.MethodPost // what is posted, somebody sends
}

// answer is what is sent: a page, a file, or another address.
type answer struct {
	status  int // zero: 200, or 303 with to
	page    string
	title   string
	data    any
	tag     string // of what it shows; a refresh that has it gets 304
	to      string // path to go to
	cookies []*http.Cookie
	header  map[string]string
	body    []byte // instead of a page
	kind    string // its media type
}

// answering is the handler of a route: who asks, whether she may, what comes of it, and
// only then anything that is sent.
func (s *Server) answering(rt route) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, h *http.Request) {
		t := tellingOf(h)
		t.route = rt.path
		r := &request{Request: h, id: t.id, from: s.cookies.Origin(h, t.address, t.id), unit: part(h, "unit")}
		most := s.Limits.Body
		if rt.takesFile {
			most = s.Limits.File
		}
		h.Body = http.MaxBytesReader(w, h.Body, most)
		a, err := s.act(rt, r)
		switch {
		case err != nil && rt.ofPrograms:
			a = s.tokenRefusal(r, err)
		case err != nil:
			a = s.refusal(r, err)
		}
		s.send(w, r, a)
	})
}

// act does what a route does. Nothing is read of what somebody sends who may not.
func (s *Server) act(rt route, r *request) (answer, error) {
	if rt.guesses && !s.guess.take(r.from.Address, time.Now()) {
		return answer{}, &access.Limited{Wait: s.Limits.Guess.Every}
	}
	if err := s.allow(rt, r); err != nil {
		return answer{}, err
	}
	if r.Method == http.MethodPost {
		if err := r.read(rt.takesFile); err != nil {
			return answer{}, err
		}
	}
	return rt.do(s, r)
}

// allow proves who asks and holds her to what the route needs. A route that is open is
// told who it is where that is known.
func (s *Server) allow(rt route, r *request) (err error) {
	look := s.Access.Session
	if r.refresh() {
		look = s.Access.Glance
	}
	r.who, err = look(r.Context(), r.from.Session)
	switch {
	case errors.Is(err, access.ErrNoSession) && rt.needs == open:
		r.who = nil
		return nil
	case err != nil:
		return err
	case rt.needs == open, rt.needs == signedIn:
		return nil
	}
	unit := r.who.Unit
	if strings.Contains(rt.path, "{unit}") {
		unit = r.unit
	}
	return s.Access.Allow(r.Context(), r.who, r.from, unit, rt.needs)
}

// Forms of posts: one that brings a file, and every other.
const (
	formKind = "application/x-www-form-urlencoded"
	fileKind = "multipart/form-data"
)

// read reads what was posted, all of it in memory, within the limit of bodies. A form that
// may bring a file may come without one, which its page says.
func (r *request) read(file bool) error {
	kind, _, _ := strings.Cut(r.Header.Get("Content-Type"), ";")
	var err error
	switch kind = strings.TrimSpace(kind); {
	case kind == formKind:
		err = r.ParseForm()
	case kind == fileKind && file:
		err = r.ParseMultipartForm(1 << 62) // the body is within its limit, and no file is written beside
	default:
		return errNoForm
	}
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		return errLarge
	case err != nil:
		return errNoForm
	}
	return nil
}

// send renders the answer, and sends it once that is done.
func (s *Server) send(w http.ResponseWriter, r *request, a answer) {
	h := w.Header()
	if a.tag != "" && r.refresh() && r.Header.Get("If-None-Match") == a.tag {
		w.WriteHeader(http.StatusNotModified)
		return
	}
	body, kind := a.body, a.kind
	if a.page != "" {
		var b bytes.Buffer
		if err := s.render(&b, r, a); err != nil {
			s.Log.Error("a page could not be made", "request", r.id, "page", a.page)
			http.Error(w, words.Say("This page could not be made. Request %s", r.id), http.StatusInternalServerError)
			return
		}
		body, kind = b.Bytes(), "text/html; charset=utf-8"
	}
	for name, value := range a.header {
		h.Set(name, value)
	}
	for _, c := range a.cookies {
		http.SetCookie(w, c)
	}
	if a.tag != "" {
		h.Set("ETag", a.tag)
	}
	status := a.status
	if a.to != "" {
		h.Set("Location", a.to)
		if status == 0 {
			status = http.StatusSeeOther
		}
	}
	if status == 0 {
		status = http.StatusOK
	}
	if kind != "" {
		h.Set("Content-Type", kind)
	}
	h.Set("Content-Length", strconv.Itoa(len(body)))
	w.WriteHeader(status)
	if r.Method != http.MethodHead {
		w.Write(body) // who went away needs no answer
	}
}

// note traces that something of infants is shown.
func (s *Server) note(ctx context.Context, r *request, e access.Event) error {
	e.Unit, e.Kind = r.unit, access.Read
	if r.refresh() && !s.traced.due(r.who.Session, e) {
		return nil
	}
	if err := s.Access.Note(ctx, r.who, r.from, e); err != nil {
		return err
	}
	s.traced.keep(r.who.Session, e)
	return nil
}
