package web

import (
	"net/http"

	"cotline/internal/access"
)

// What a route needs that is no permission of a unit.
const (
	open     access.Permission = ""          // nothing: it answers before sign-in
	signedIn access.Permission = "signed-in" // to be signed in, whatever one may do
)

// route is something that is answered. One with {unit} in its path needs its permission in
// that unit, any other at home.
type route struct {
	method, path string
	needs        access.Permission
	do           action
	pages        []string // that it shows
	guesses      bool     // it proves who somebody is: it is asked seldom
	takesFile    bool     // what is sent to it may bring a file
	ofPrograms   bool     // a program asks: it is answered in JSON, refusals too
}

func get(path string, needs access.Permission, do action, pages ...string) route {
	return route{method: http.MethodGet, path: path, needs: needs, do: do, pages: pages}
}

func post(path string, needs access.Permission, do action, pages ...string) route {
	return route{method: http.MethodPost, path: path, needs: needs, do: do, pages: pages}
}

// guess is a route that proves who somebody is.
func (r route) guess() route {
	r.guesses = true
	return r
}

// file is a route that a file is sent to.
func (r route) file() route {
	r.takesFile = true
	return r
}

// program is a route that programs ask.
func (r route) program() route {
	r.ofPrograms = true
	return r
}

// action makes the answer to a request that may be answered.
type action func(*Server, *request) (answer, error)
