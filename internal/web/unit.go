package web

import "net/url"

func wardPath(unit string) string { return "/units/" + url.PathEscape(unit) + "/ward" }

func infantPath(unit, infant string) string {
	return "/units/" + url.PathEscape(unit) + "/infants/" + url.PathEscape(infant)
}

// look is the unit of a request as it stands. A unit that has no record here is not there.
func (s *Server) look(r *request) (*Snapshot, error) {
	l := s.units[r.unit]
	if l == nil {
		return nil, errNotThere
	}
	snap, err := l.Look(r.Context())
	r.snap = snap
	return snap, err
}
