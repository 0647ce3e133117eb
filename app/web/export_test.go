package web

import "pumpwright/app/web/frame"

// Routes are all that the server answers, for the tests.
func (s *Server) Routes() []frame.Route {
	list := s.common()
	for _, p := range places() {
		list = append(list, p.Routes...)
	}
	return list
}
