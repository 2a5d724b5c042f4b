package web

import "cotline/internal/access"

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
	guessing     bool     // it proves who somebody is: it is asked seldom
}

// action makes the answer to a request that may be answered.
type action func(*Server, *request) (answer, error)
