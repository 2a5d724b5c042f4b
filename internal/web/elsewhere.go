package web

import (
	"errors"
	"net/http"
	"net/url"

	"cotline/internal/access"
	"cotline/internal/web/words"
)

// BackPath is where the hospital's sign-in sends a browser back to.
const BackPath = "/sign-in/back"

// onwardPage goes on by itself, to the hospital's sign-in or back from it, with no script.
type onwardPage struct{ Heading, To string }

func onward(heading, to string) answer {
	return answer{page: "onward", title: heading, data: onwardPage{heading, to}, header: map[string]string{"Refresh": "0; url=" + to}}
}

// sendElsewhere begins a sign-in at the hospital's. It answers a page that goes on there: the
// form that asked for it may lead to this server alone (CSP, form-action), by another address
// as its answer too.
func sendElsewhere(s *Server, r *request) (answer, error) {
	if s.Access.OpenID == nil {
		return answer{}, errNotThere
	}
	next := back(r.PostForm.Get("next"))
	address, browser, err := s.Access.SendElsewhere(r.Context(), next)
	if err != nil {
		return s.notElsewhere(r, next, err)
	}
	a := onward(words.Say("On to the hospital's sign-in"), address)
	a.cookies = []*http.Cookie{s.cookies.State(browser)}
	return a, nil
}

// backFromElsewhere is where a browser comes back to, from another site: it brings neither
// session nor device along, whose cookies are strict. So it is sent on within this site.
func backFromElsewhere(s *Server, r *request) (answer, error) {
	if s.Access.OpenID == nil {
		return answer{}, errNotThere
	}
	said, q := r.URL.Query(), url.Values{}
	for _, name := range []string{"state", "code"} {
		q.Set(name, said.Get(name))
	}
	return onward(words.Say("Back from the hospital's sign-in"), BackPath+"/in?"+q.Encode()), nil
}

// inFromElsewhere lets in whom the hospital's sign-in proved. What went wrong there comes
// without a code.
func inFromElsewhere(s *Server, r *request) (answer, error) {
	if s.Access.OpenID == nil {
		return answer{}, errNotThere
	}
	said := r.URL.Query()
	in, next, err := s.Access.BackFromElsewhere(r.Context(), r.from, s.cookies.StateOf(r.Request), said.Get("state"), said.Get("code"))
	var a answer
	if err == nil {
		a = s.letIn(in, back(next))
	} else if a, err = s.notElsewhere(r, "/", err); err != nil {
		return a, err
	}
	a.cookies = append(a.cookies, s.cookies.Gone(s.cookies.State("")))
	return a, nil
}

var noName = words.Key(
	"The hospital knows you, but under no name by which you could chart here: that has 2 to 64 letters, digits, and . _ - between them.")

// whyNot is what somebody is told whom the hospital's sign-in proved, and who may not come in.
func whyNot(why access.Why) string {
	switch why {
	case access.IsLocked:
		return words.Say("The hospital knows you, but your account here is locked. Ask the keeper.")
	case access.HasNoRole:
		return words.Say("The hospital knows you, but has given you no role here. Ask whoever gives roles there.")
	case access.HasNoName:
		return words.Text(noName) + " " + words.Say("Ask the keeper.")
	case access.NameIsTaken:
		return words.Say("The hospital knows you, but somebody else has an account here under your name. Ask the keeper.")
	case access.NotAsked:
		return words.Say(
			"The hospital's sign-in did not ask who you are, and somebody else may have used this device before you.",
		) + " " + words.Say("Sign out there, or ask the keeper.")
	}
	return ""
}

// notElsewhere asks how else somebody wants to sign in, and says why not so.
func (s *Server) notElsewhere(r *request, next string, err error) (answer, error) {
	p := signInPage{Next: next, Open: "password"}
	var proven *access.Proven
	switch {
	case errors.As(err, &proven):
		p.Problem = whyNot(proven.Why)
	case errors.Is(err, access.ErrRefused):
		p.Problem = words.Say("The hospital's sign-in did not let you in, or it took too long. Begin again.")
	case errors.Is(err, access.ErrProvider):
		p.Problem = words.Say("The hospital's sign-in does not answer. Come in another way, and tell the keeper.")
		return s.signInPage(r, p, http.StatusBadGateway)
	default:
		return answer{}, err
	}
	return s.signInPage(r, p, http.StatusForbidden)
}
