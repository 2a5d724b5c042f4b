package web

import (
	"encoding/json"
	"errors"
	"net/http"
	"slices"

	"cotline/handover"
	"cotline/internal/access"
)

// TokenPath is where programs ask for a token.
const TokenPath = "/token"

// giveToken is the token endpoint of SMART Backend Services, for programs that a keeper
// registered. It is there where the server knows its own address, which an assertion names.
func giveToken(s *Server, r *request) (answer, error) {
	if s.Access.TokenURL == "" {
		return answer{}, errNotThere
	}
	given, err := s.Access.Token(r.Context(), r.from, r.PostForm)
	if err != nil {
		return answer{}, err
	}
	return inJSON(http.StatusOK, given), nil
}

// smartConfiguration says how programs get a token (SMART App Launch 2, Conformance).
func smartConfiguration(s *Server, _ *request) (answer, error) {
	if s.Access.TokenURL == "" {
		return answer{}, errNotThere
	}
	return inJSON(http.StatusOK, s.Access.Smart(slices.Concat([]string{"Patient"}, handover.SendTypes))), nil
}

func inJSON(status int, what any) answer {
	body, err := json.Marshal(what)
	if err != nil {
		panic("web: " + err.Error()) // they are structs of texts
	}
	return answer{status: status, body: body, kind: "application/json", header: map[string]string{"Pragma": "no-cache"}}
}

// tokenRefusal is a refusal as programs read it (RFC 6749, section 5.2).
func (s *Server) tokenRefusal(r *request, err error) answer {
	var told *access.TokenError
	var limited *access.Limited
	switch {
	case errors.As(err, &told):
	case errors.As(err, &limited):
		told = &access.TokenError{Code: "slow_down", Says: "too many requests", Status: http.StatusTooManyRequests}
	case errors.Is(err, errLarge):
		told = &access.TokenError{Code: "invalid_request", Says: "too large", Status: http.StatusRequestEntityTooLarge}
	case errors.Is(err, errNoForm):
		told = &access.TokenError{Code: "invalid_request", Says: formKind + " is wanted", Status: http.StatusBadRequest}
	case errors.Is(err, errNotThere):
		told = &access.TokenError{Code: "invalid_request", Says: "programs are given no tokens here", Status: http.StatusNotFound}
	default:
		s.Log.Error("a request failed", "request", r.id, "error", causeOf(err))
		told = &access.TokenError{Code: "temporarily_unavailable", Status: http.StatusServiceUnavailable}
	}
	a := inJSON(told.Status, told)
	if told.Status == http.StatusTooManyRequests {
		a.header["Retry-After"] = "1"
	}
	return a
}
