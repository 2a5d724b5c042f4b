package web

import (
	"errors"
	"net/http"

	"cotline/internal/access"
	"cotline/internal/web/words"
)

// signInPage asks who somebody is.
type signInPage struct {
	Name, Next, Problem string
	Open                string          // the way that was tried: password, pin or code
	OnDevice            []access.Person // who can change over by PIN here
	Elsewhere           bool            // the hospital's sign-in can be gone to
}

func showSignIn(s *Server, r *request) (answer, error) {
	return s.signInPage(r, signInPage{Next: back(r.URL.Query().Get("next")), Open: "password"}, 0)
}

func (s *Server) signInPage(r *request, p signInPage, status int) (answer, error) {
	var err error
	p.Elsewhere = s.Access.OpenID != nil
	p.OnDevice, err = s.Access.OnDevice(r.Context(), r.from)
	return answer{status: status, page: "sign-in", title: words.Say("Sign in"), data: p}, err
}

// signIn, changeOver and signInByCode are the three ways in: by password, on a shared
// device by PIN, and by a colleague's code for one shift.
func signIn(s *Server, r *request) (answer, error) {
	in, err := s.Access.SignIn(r.Context(), r.from, r.PostForm.Get("name"), r.PostForm.Get("password"))
	return s.in(r, "password", in, err)
}

func changeOver(s *Server, r *request) (answer, error) {
	in, err := s.Access.ChangeOver(r.Context(), r.from, r.PostForm.Get("name"), r.PostForm.Get("pin"))
	return s.in(r, "pin", in, err)
}

func signInByCode(s *Server, r *request) (answer, error) {
	in, err := s.Access.ByCode(r.Context(), r.from, r.PostForm.Get("name"), r.PostForm.Get("code"))
	return s.in(r, "code", in, err)
}

// in lets in whoever was proven, or asks again. Why somebody was refused is not told.
func (s *Server) in(r *request, way string, in access.SignedIn, err error) (answer, error) {
	next := back(r.PostForm.Get("next"))
	if errors.Is(err, access.ErrRefused) {
		return s.signInPage(r, signInPage{Name: r.PostForm.Get("name"), Next: next, Open: way,
			Problem: words.Say(
				"That does not let you in. Check the name and try again, or ask a colleague to let you in for this shift.")},
			http.StatusForbidden)
	}
	if err != nil {
		return answer{}, err
	}
	return s.letIn(in, next), nil
}

// letIn gives a browser its session, and its device where that is new.
func (s *Server) letIn(in access.SignedIn, next string) answer {
	a := answer{to: next, cookies: []*http.Cookie{s.cookies.Session(in.Token)}}
	if in.Device != "" {
		a.cookies = append(a.cookies, s.cookies.Device(in.Device, s.Access.Limits.Device))
	}
	return a
}

// signOut ends the session, here and on the server. A browser forgets all that it stores,
// but for what waits to be sent: only its script knows whether anything does, and wipes
// what is to be read in any case.
func signOut(s *Server, r *request) (answer, error) {
	if err := s.Access.SignOut(r.Context(), r.from); err != nil {
		return answer{}, err
	}
	clear := `"cache"`
	if r.PostForm.Get("nothing-waits") != "" {
		clear += `, "storage"`
	}
	return answer{to: "/sign-in", cookies: []*http.Cookie{s.cookies.Gone(s.cookies.Session(""))},
		header: map[string]string{"Clear-Site-Data": clear}}, nil
}
