package web

import (
	"errors"
	"maps"
	"net/http"
	"slices"

	"cotline/internal/access"
	"cotline/internal/web/words"
)

// beyondPage asks why somebody must look at another unit's infants.
type beyondPage struct {
	Units                 []string
	Unit, Reason, Problem string
	Good                  string // how long the look lasts
}

func showBeyond(s *Server, r *request) (answer, error) { return s.beyondPage(r, beyondPage{}, 0) }

func (s *Server) beyondPage(r *request, p beyondPage, status int) (answer, error) {
	for _, unit := range slices.Sorted(maps.Keys(s.units)) {
		if !r.who.May(unit, access.ReadInfants) {
			p.Units = append(p.Units, unit)
		}
	}
	p.Good = waiting(s.Access.Limits.Look)
	return answer{status: status, page: "beyond", title: words.Say("Look at another unit"), data: p}, nil
}

// lookBeyond opens the look, which the keepers of both units find listed.
func lookBeyond(s *Server, r *request) (answer, error) {
	p := beyondPage{Unit: r.PostForm.Get("unit"), Reason: r.PostForm.Get("reason")}
	_, err := s.Access.LookBeyond(r.Context(), r.who, r.from, p.Unit, p.Reason)
	var unfit *access.Unfit
	if errors.As(err, &unfit) {
		p.Problem = unfit.Error()
		return s.beyondPage(r, p, http.StatusUnprocessableEntity)
	}
	return answer{to: wardPath(p.Unit)}, err
}
