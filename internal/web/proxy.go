package web

import (
	"net"
	"net/http"
	"net/netip"
	"slices"
	"strings"
)

// address is who asks: the other end of the connection or, where that is a proxy that was
// named, the last address in X-Forwarded-For that is none. What stands before it may be
// anybody's invention.
func (s *Server) address(r *http.Request) string {
	host, _, err := net.SplitHostPort(r.RemoteAddr)
	if err != nil {
		host = r.RemoteAddr
	}
	ip, err := netip.ParseAddr(host)
	if err != nil {
		return "unknown"
	}
	ip = ip.Unmap().WithZone("")
	if !s.trusted(ip) {
		return ip.String()
	}
	told := strings.Split(strings.Join(r.Header.Values("X-Forwarded-For"), ","), ",")
	for _, text := range slices.Backward(told) {
		next, err := netip.ParseAddr(strings.TrimSpace(text))
		if err != nil {
			return ip.String()
		}
		if ip = next.Unmap().WithZone(""); !s.trusted(ip) {
			break
		}
	}
	return ip.String()
}

func (s *Server) trusted(ip netip.Addr) bool {
	return slices.ContainsFunc(s.Proxies, func(p netip.Prefix) bool { return p.Contains(ip) })
}

// direct says whether a connection comes from a proxy that was named, or from this machine.
func (s *Server) direct(r *http.Request) bool {
	from, err := netip.ParseAddrPort(r.RemoteAddr)
	ip := from.Addr().Unmap().WithZone("")
	return err == nil && (ip.IsLoopback() || s.trusted(ip))
}
