package access

import (
	"net/http"
	"time"
)

// Cookies are the names under which a browser keeps tokens. Over TLS they carry the prefix
// __Host-, by which a browser takes them from this host alone and for all of it (RFC 6265bis);
// without, on loopback, they cannot.
type Cookies struct{ TLS bool }

const (
	sessionCookie = "cotline-session"
	deviceCookie  = "cotline-device"
	stateCookie   = "cotline-openid"
)

// Session is the cookie of a session; it ends with the browser, and at the server in any case.
func (c Cookies) Session(token string) *http.Cookie {
	return c.cookie(sessionCookie, token, 0, http.SameSiteStrictMode)
}

// Device is the cookie of a device.
func (c Cookies) Device(token string, keep time.Duration) *http.Cookie {
	return c.cookie(deviceCookie, token, keep, http.SameSiteStrictMode)
}

// State is the cookie that ties a sign-in elsewhere to this browser. It must come back with a
// navigation from there, so it is lax.
func (c Cookies) State(token string) *http.Cookie {
	return c.cookie(stateCookie, token, stateFor, http.SameSiteLaxMode)
}

// Gone takes a cookie that was set away.
func (c Cookies) Gone(set *http.Cookie) *http.Cookie {
	gone := *set // #nosec G124 -- Secure over TLS; on loopback without, a browser would keep none
	gone.Value, gone.MaxAge = "", -1
	return &gone
}

func (c Cookies) cookie(name, value string, keep time.Duration, site http.SameSite) *http.Cookie {
	return &http.Cookie{ // #nosec G124 -- Secure over TLS; on loopback without, a browser would keep none
		Name: c.name(name), Value: value, Path: "/", MaxAge: int(keep / time.Second), Secure: c.TLS, HttpOnly: true, SameSite: site,
	}
}

func (c Cookies) name(name string) string {
	if c.TLS {
		return "__Host-" + name
	}
	return name
}

// Origin is what a request carries: the tokens of its cookies, with the address and the id
// that the server gave it. A cookie that stands twice counts as none.
func (c Cookies) Origin(r *http.Request, address, request string) Origin {
	return Origin{Address: address, Request: request, Session: c.read(r, sessionCookie), Device: c.read(r, deviceCookie)}
}

// StateOf is the token of the state cookie, empty where there is none.
func (c Cookies) StateOf(r *http.Request) string { return c.read(r, stateCookie) }

func (c Cookies) read(r *http.Request, name string) string {
	all := r.CookiesNamed(c.name(name))
	if len(all) != 1 {
		return ""
	}
	if _, ok := keyOf(all[0].Value); !ok {
		return ""
	}
	return all[0].Value
}
