package web

import (
	"context"
	"errors"
	"net/http"
	"strconv"
	"time"

	"cotline/internal/access"
	"cotline/internal/journal"
	"cotline/internal/web/words"
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
			return page(http.StatusUnauthorized, words.Say("Nobody is signed in"), words.Say("Sign in; what was sent was not taken."))
		}
		return answer{to: signInPath(r.URL.Path)}
	case errors.Is(err, access.ErrNotAllowed), errors.Is(err, errNotThere), errors.Is(err, errGone), errors.Is(err, access.ErrNoPerson):
		return page(http.StatusNotFound, words.Say("There is no such page"), words.Say("Or it is not among what you may see."))
	case errors.Is(err, errNoMethod):
		return page(http.StatusMethodNotAllowed, words.Say("This page is not asked so"), words.Say("Go to the ward."))
	case errors.As(err, &limited):
		a := page(http.StatusTooManyRequests, words.Say("Too many tries"), words.Say("Wait %s, then try again.", waiting(limited.Wait)))
		a.header = map[string]string{"Retry-After": strconv.Itoa(int(limited.Wait/time.Second) + 1)}
		return a
	case errors.Is(err, errLarge):
		return page(http.StatusRequestEntityTooLarge, words.Say("What was sent is too large"), words.Say("Nothing of it was taken."))
	case errors.Is(err, errNoForm):
		return page(http.StatusUnsupportedMediaType, words.Say("What was sent is no form"), words.Say("Nothing of it was taken."))
	case errors.Is(err, errNotHers):
		return page(http.StatusConflict, words.Say("Somebody else filled this in"),
			words.Say("Nothing was taken. Who filled it in signs in here, and sends it."))
	case errors.Is(err, errElse):
		return page(http.StatusForbidden, words.Say("This came from another site"),
			words.Say("Nothing was taken. Open the page here and send it from there."))
	case errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		return page(http.StatusServiceUnavailable, words.Say("This took too long"),
			words.Say("Try again; if it stays so, use paper and call the keeper."))
	}
	s.Log.Error("a request failed", "request", r.id, "error", causeOf(err))
	return page(http.StatusServiceUnavailable, words.Say("The record cannot be read now"),
		words.Say("Use the last printed handover and paper, and call the keeper."))
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
		return words.Say("%d seconds", d/time.Second+1)
	}
	if d >= 2*time.Hour {
		return words.Say("%d hours", (d+time.Hour-1)/time.Hour)
	}
	return words.Say("%d minutes", (d+time.Minute-1)/time.Minute)
}
