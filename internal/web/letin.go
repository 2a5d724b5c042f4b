package web

import (
	"errors"
	"net/http"
	"slices"
	"strings"
	"time"

	"cotline/internal/access"
	"cotline/internal/web/words"
)

// letInPage lets a colleague in for one shift who forgot her password.
type letInPage struct {
	Name, Problem, Code string
	Good                string // how long the code holds
}

func showLetIn(s *Server, r *request) (answer, error) {
	made, shown := s.once.take(r, letInPath, s.Now())
	p := letInPage{Name: made.whose, Code: made.secret, Good: waiting(s.Access.Limits.Code)}
	if shown {
		p.Problem = words.Say("The code is shown once, and not again. If it is lost, make another.")
	}
	return answer{page: "let-in", title: words.Say("Let a colleague in"), data: p}, nil
}

// letIn makes the code, and goes on to the page that shows it, once.
func letIn(s *Server, r *request) (answer, error) {
	p := letInPage{Name: r.PostForm.Get("name")}
	a := answer{page: "let-in", title: words.Say("Let a colleague in")}
	code, err := s.Access.LetIn(r.Context(), r.who, r.from, p.Name, time.Time{})
	switch {
	case errors.Is(err, access.ErrNotAllowed):
		a.status = http.StatusUnprocessableEntity
		p.Problem = words.Say(
			"There is nobody of that name whom you may let in. A keeper gets a new link, from another keeper or at the machine.")
	case err != nil:
		return answer{}, err
	default:
		return answer{to: s.once.keep(r.who.Session, letInPath, fours(code), p.Name, s.Now())}, nil
	}
	a.data = p
	return a, nil
}

// fours is a code as it is read out.
func fours(code string) string {
	var groups []string
	for group := range slices.Chunk([]byte(code), 4) {
		groups = append(groups, string(group))
	}
	return strings.Join(groups, " ")
}
