package web

import (
	"net/url"
	"strings"
)

func signInPath(next string) string {
	if next == "/" || next == "" {
		return "/sign-in"
	}
	return "/sign-in?next=" + url.QueryEscape(next)
}

// back is an address of this server to go to: a path, whatever was asked for.
func back(text string) string {
	u, err := url.Parse(text)
	if err != nil || u.Scheme != "" || u.Host != "" || u.User != nil || !strings.HasPrefix(text, "/") || strings.HasPrefix(text, "//") ||
		strings.Contains(text, `\`) || strings.HasPrefix(u.Path, "//") {
		return "/"
	}
	if u.RawQuery == "" {
		return u.EscapedPath()
	}
	return u.EscapedPath() + "?" + u.RawQuery
}
