package web

import (
	"context"
	"errors"
	"net/http"
	"strconv"
	"time"

	"cotline/internal/access"
	"cotline/internal/journal"
)

// Refusals of this package, beside those of access and the journal.
var (
	errNotThere = errors.New("there is no such page")
	errNoMethod = errors.New("this page is not asked so")
	errNoForm   = errors.New("what was sent is no form")
	errLarge    = errors.New("what was sent is too large")
	errNotHers  = errors.New("somebody else filled this in")
	errElse     = errors.New("this came from another site")
)

// refused is what a page of a refusal says.
type refused struct {
	What, Next string
	Request    string
}

// refusal is the one switch from an error to what is answered. What is not there and what
// may not be seen are one answer; the cause stands in the log alone.
func (s *Server) refusal(r *request, err error) answer {
	page := func(status int, what, next string) answer {
		return answer{status: status, page: "refused", title: what, data: refused{what, next, r.id}}
	}
	var limited *access.Limited
	switch {
	case errors.Is(err, access.ErrNoSession):
		if r.Method != http.MethodGet || r.refresh() {
			return page(http.StatusUnauthorized, "Nobody is signed in", "Sign in; what was sent was not taken.")
		}
		return answer{to: signInPath(r.URL.Path)}
	case errors.Is(err, access.ErrNotAllowed), errors.Is(err, errNotThere), errors.Is(err, ErrGone), errors.Is(err, access.ErrNoPerson):
		return page(http.StatusNotFound, "There is no such page", "Or it is not among what you may see.")
	case errors.Is(err, errNoMethod):
		return page(http.StatusMethodNotAllowed, "This page is not asked so", "Go to the ward.")
	case errors.As(err, &limited):
		a := page(http.StatusTooManyRequests, "Too many tries", "Wait "+waiting(limited.Wait)+", then try again.")
		a.header = map[string]string{"Retry-After": strconv.Itoa(int(limited.Wait/time.Second) + 1)}
		return a
	case errors.Is(err, errLarge):
		return page(http.StatusRequestEntityTooLarge, "What was sent is too large", "Nothing of it was taken.")
	case errors.Is(err, errNoForm):
		return page(http.StatusUnsupportedMediaType, "What was sent is no form", "Nothing of it was taken.")
	case errors.Is(err, errNotHers):
		return page(http.StatusConflict, "Somebody else filled this in",
			"Nothing was taken. Who filled it in signs in here, and sends it.")
	case errors.Is(err, errElse):
		return page(http.StatusForbidden, "This came from another site", "Nothing was taken. Open the page here and send it from there.")
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		return page(http.StatusServiceUnavailable, "This took too long", "Try again; if it stays so, use paper and call the keeper.")
	}
	s.Log.Error("a request failed", "request", r.id, "error", causeOf(err))
	return page(http.StatusServiceUnavailable, "The record cannot be read now",
		"Use the last printed handover and paper, and call the keeper.")
}

// causeOf is what the log is told: journal's and access's own words, which hold no
// patient's data, and of any other error its kind alone.
func causeOf(err error) string {
	for _, known := range []error{journal.ErrDamaged, journal.ErrBusy, journal.ErrFull, journal.ErrNewer, journal.ErrReadOnly,
		journal.ErrBehind, access.ErrDamaged} {
		if errors.Is(err, known) {
			return known.Error()
		}
	}
	var none *journal.NoPolicy
	if errors.As(err, &none) {
		return "no policy is in force"
	}
	return "another fault"
}

func waiting(d time.Duration) string {
	if d < time.Minute {
		return strconv.Itoa(int(d/time.Second)+1) + " seconds"
	}
	return strconv.Itoa(int((d+time.Minute-1)/time.Minute)) + " minutes"
}
