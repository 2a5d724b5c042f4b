package web

import (
	"errors"
	"net/http"
	"time"

	"cotline/internal/access"
	"cotline/internal/web/words"
)

// accountPage is one's own account: where one is signed in, password and PIN.
type accountPage struct {
	Sessions      []sessionRow
	CanPIN        bool
	Elsewhere     bool // she has no password here
	Problem, Done string
	ProblemPIN    string
}

// sessionRow is one of one's own sessions.
type sessionRow struct {
	ID, How, Made, Seen, Until string
	Current                    bool
}

var methods = map[access.Method]string{
	access.ByPassword: words.Key("by password"), access.ByPIN: words.Key("by PIN"),
	access.ByLetIn: words.Key("let in by a colleague"), access.ByElsewhere: words.Key("at the hospital's sign-in"),
}

func showAccount(s *Server, r *request) (answer, error) { return s.accountPage(r, accountPage{}, 0) }

func (s *Server) accountPage(r *request, p accountPage, status int) (answer, error) {
	all, err := s.Access.Sessions(r.Context(), r.who, r.who.Name)
	if err != nil {
		return answer{}, err
	}
	zone := s.zone(r)
	told := func(t time.Time) string { return t.In(zone).Format("Mon 2 Jan 15:04") }
	for _, x := range all {
		how := words.Text(methods[x.Method])
		p.Sessions = append(p.Sessions, sessionRow{x.ID, how, told(x.Made), told(x.Seen), told(x.Until), x.Current})
	}
	p.Elsewhere = r.who.Method == access.ByElsewhere
	p.CanPIN = !r.who.Is(access.Keeper) && r.who.Device != ""
	return answer{status: status, page: "account", title: words.Say("Your account"), data: p}, nil
}

// zone is that of the own unit, or UTC where it has no record here.
func (s *Server) zone(r *request) *time.Location {
	l := s.units[r.who.Unit]
	if l == nil {
		return time.UTC
	}
	snap, err := l.Look(r.Context())
	if err != nil {
		return time.UTC
	}
	return snap.policy.Zone
}

// endSession ends one of one's own sessions, or all but this one.
func endSession(s *Server, r *request) (answer, error) {
	err := s.Access.End(r.Context(), r.who, r.from, r.who.Name, r.PostForm.Get("id"))
	return answer{to: "/account"}, err
}

func changePassword(s *Server, r *request) (answer, error) {
	if r.PostForm.Get("password") != r.PostForm.Get("again") {
		differ := words.Say("The two new passwords differ. Type it twice.")
		return s.accountPage(r, accountPage{Problem: differ}, http.StatusUnprocessableEntity)
	}
	err := s.Access.ChangePassword(r.Context(), r.who, r.from, r.PostForm.Get("before"), r.PostForm.Get("password"))
	if problem, ok := mendable(err); ok {
		return s.accountPage(r, accountPage{Problem: problem}, http.StatusUnprocessableEntity)
	}
	if err != nil {
		return answer{}, err
	}
	return s.accountPage(r, accountPage{Done: words.Say("Your password is changed. Every other session of yours has ended.")}, 0)
}

func setPIN(s *Server, r *request) (answer, error) {
	err := s.Access.SetPIN(r.Context(), r.who, r.from, r.PostForm.Get("password"), r.PostForm.Get("pin"))
	if problem, ok := mendable(err); ok {
		return s.accountPage(r, accountPage{ProblemPIN: problem}, http.StatusUnprocessableEntity)
	}
	if err != nil {
		return answer{}, err
	}
	return s.accountPage(r, accountPage{Done: words.Say("Your PIN is set, for this device and this shift.")}, 0)
}

// mendable is what somebody who is signed in can mend in what she typed.
func mendable(err error) (string, bool) {
	var unfit *access.Unfit
	switch {
	case errors.As(err, &unfit):
		return unfit.Error(), true
	case errors.Is(err, access.ErrRefused):
		return words.Say("Your present password is not that."), true
	}
	return "", false
}
