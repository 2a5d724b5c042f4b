package access

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
)

// Scope is a SMART system scope: what may be done with resources of a type.
type Scope struct {
	Type string // of resource, or *
	Do   string // letters of cruds, in that order
}

func (s Scope) String() string { return "system/" + s.Type + "." + s.Do }

// Scopes are the scopes of a program or of a token.
type Scopes []Scope

func (s Scopes) String() string {
	out := make([]string, len(s))
	for i, one := range s {
		out[i] = one.String()
	}
	return strings.Join(out, " ")
}

// scopeForm is the syntax of SMART App Launch 2, scopes for system access, without the
// narrowing by search parameters, which is optional there. The letters stand in the order
// c, r, u, d, s; this server gives r and s.
var scopeForm = regexp.MustCompile(`^system/(\*|[A-Z][A-Za-z]{1,63})\.(r|s|rs)$`)

// mostScopes are taken in one request, each of at most longestScope characters.
const (
	mostScopes   = 64
	longestScope = len("system/.rs") + 64
)

// ParseScopes reads scopes that are parted by blanks. One that is not known is an error
// that does not say it again.
func ParseScopes(text string) (Scopes, error) {
	fields := strings.Fields(text)
	if len(fields) == 0 || len(fields) > mostScopes {
		return nil, &Unfit{"scope", fmt.Sprintf("1 to %d scopes", mostScopes)}
	}
	var out Scopes
	for _, f := range fields {
		m := scopeForm.FindStringSubmatch(f)
		if m == nil {
			return nil, &Unfit{"scope", "system/TYPE.rs, with * or a type of resource"}
		}
		if s := (Scope{m[1], m[2]}); !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	return out, nil
}

// Allow says whether scopes let do one thing (r: read, s: search) with a type of resource.
func (s Scopes) Allow(resource string, do byte) bool {
	return slices.ContainsFunc(s, func(one Scope) bool {
		return (one.Type == "*" || one.Type == resource) && strings.IndexByte(one.Do, do) >= 0
	})
}

// within is what is both asked for and given: never more than either.
func (s Scopes) within(given Scopes) (out Scopes) {
	for _, asked := range s {
		for _, g := range given {
			resource, ok := meet(asked.Type, g.Type)
			do := strings.Map(func(r rune) rune {
				if strings.ContainsRune(g.Do, r) {
					return r
				}
				return -1
			}, asked.Do)
			if one := (Scope{resource, do}); ok && do != "" && !slices.Contains(out, one) {
				out = append(out, one)
			}
		}
	}
	return out
}

func meet(a, b string) (string, bool) {
	switch {
	case a == b, b == "*":
		return a, true
	case a == "*":
		return b, true
	}
	return "", false
}
