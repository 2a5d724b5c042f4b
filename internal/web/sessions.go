package web

import (
	"time"

	"cotline/internal/access"
)

// sessionRow is one of one's own sessions.
type sessionRow struct {
	ID, How, Made, Seen, Until string
	Current                    bool
}

var methods = map[access.Method]string{
	access.ByPassword: "by password", access.ByPIN: "by PIN", access.ByLetIn: "let in by a colleague",
	access.ByElsewhere: "at the hospital's sign-in",
}

func showSessions(s *Server, r *request) (answer, error) {
	all, err := s.Access.Sessions(r.Context(), r.who, r.who.Name)
	if err != nil {
		return answer{}, err
	}
	zone := s.zone(r)
	told := func(t time.Time) string { return t.In(zone).Format("Mon 2 Jan 15:04") }
	rows := make([]sessionRow, len(all))
	for i, x := range all {
		rows[i] = sessionRow{x.ID, methods[x.Method], told(x.Made), told(x.Seen), told(x.Until), x.Current}
	}
	return answer{page: "sessions", title: "Where you are signed in", data: rows}, nil
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
	return answer{to: "/sessions"}, err
}
