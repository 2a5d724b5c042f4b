package web

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
