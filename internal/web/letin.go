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

func showLetIn(*Server, *request) (answer, error) {
	return answer{page: "let-in", title: words.Say("Let a colleague in"), data: letInPage{}}, nil
}

// letIn makes the code, which is shown once.
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
		p.Code, p.Good = fours(code), waiting(s.Access.Limits.Code)
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
