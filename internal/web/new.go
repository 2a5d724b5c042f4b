package web

import (
	"errors"
	"net/http"

	"github.com/gorilla/mux"

	"cotline/internal/access"
)

// New makes a server, with every template read and every route held to them.
func New(c Config) (*Server, error) {
	if c.Limits == (Limits{}) {
		c.Limits = DefaultLimits
	}
	s := &Server{Config: c, units: map[string]*Live{}, cookies: access.Cookies{TLS: c.TLS}}
	s.often.Rate, s.guess.Rate = c.Limits.Often, c.Limits.Guess
	for key, j := range c.Units {
		s.units[key] = &Live{Journal: j, Now: c.Now, Log: c.Log}
	}
	var err error
	if s.pages, err = readPages(); err != nil {
		return nil, err
	}
	for _, r := range routes() {
		for _, name := range r.pages {
			if s.pages[name] == nil {
				return nil, errors.New("route " + r.path + ": no page " + name)
			}
		}
	}
	s.handler = s.harden(s.router(routes()))
	return s, nil
}

// router finds the route of a request. What it does not find is answered as what may not
// be seen.
func (s *Server) router(routes []route) http.Handler {
	m := mux.NewRouter().UseEncodedPath().SkipClean(true) // a path is what it says, and leads nowhere else
	for _, r := range routes {
		methods := []string{r.method}
		if r.method == http.MethodGet {
			methods = append(methods, http.MethodHead)
		}
		m.Handle(r.path, s.answering(r)).Methods(methods...)
	}
	m.NotFoundHandler = s.answering(route{path: "no route", needs: open, do: notThere})
	m.MethodNotAllowedHandler = s.answering(route{path: "no method", needs: open, do: notSo})
	return m
}

func notThere(*Server, *request) (answer, error) { return answer{}, errNotThere }

func notSo(*Server, *request) (answer, error) { return answer{}, errNoMethod }
