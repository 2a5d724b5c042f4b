package web

import (
	"errors"
	"net/http"

	"cotline/internal/access"
	"cotline/internal/web/words"
)

// linkPage sets a password by a one-time link: of the first keeper, with her name, or of a
// person who has an account.
type linkPage struct {
	First                bool
	Name, Shown, Problem string
}

func showLink(s *Server, r *request) (answer, error) {
	p, first, err := s.Access.LinkFor(r.Context(), r.part("token"))
	switch {
	case errors.Is(err, access.ErrRefused):
		return answer{}, errNotThere
	case err != nil:
		return answer{}, err
	}
	return answer{page: "link", title: words.Say("Set your password"), data: linkPage{First: first, Name: p.Name, Shown: p.Shown}}, nil
}

// followLink sets the password. The link is used up then, and asks for signing in with it.
func followLink(s *Server, r *request) (answer, error) {
	token := r.part("token")
	p, first, err := s.Access.LinkFor(r.Context(), token)
	if errors.Is(err, access.ErrRefused) {
		return answer{}, errNotThere
	}
	if err != nil {
		return answer{}, err
	}
	form := linkPage{First: first, Name: p.Name, Shown: p.Shown}
	password := r.PostForm.Get("password")
	var unfit *access.Unfit
	switch {
	case password != r.PostForm.Get("again"):
		form.Problem = words.Say("The two passwords differ. Type it twice.")
	case first:
		form.Name, form.Shown = r.PostForm.Get("name"), r.PostForm.Get("shown")
		err = s.Access.BecomeKeeper(r.Context(), r.from, token, form.Name, form.Shown, password)
	default:
		err = s.Access.SetPassword(r.Context(), r.from, token, password)
	}
	switch {
	case errors.As(err, &unfit):
		form.Problem = unfit.Error()
	case errors.Is(err, access.ErrRefused):
		return answer{}, errNotThere
	case err != nil:
		return answer{}, err
	}
	if form.Problem != "" {
		return answer{status: http.StatusUnprocessableEntity, page: "link", title: words.Say("Set your password"), data: form}, nil
	}
	return answer{to: "/sign-in"}, nil
}
