package web

import (
	"net/url"
	"strings"
)

const letInPath = "/let-in"

// What a unit's pages are under.

func wardPath(unit string) string      { return underUnit(unit, "ward") }
func handoversPath(unit string) string { return underUnit(unit, "handover") }
func peoplePath(unit string) string    { return underUnit(unit, "people") }
func tracePath(unit string) string     { return underUnit(unit, "trace") }

// tablesPath is where tables are looked at and downloaded.
func tablesPath(unit string) string { return underUnit(unit, "tables") }

// sheetPath is where a workbook that was filled in is sent.
func sheetPath(unit string) string { return underUnit(unit, "sheet") }

func infantPath(unit, infant string) string {
	return underUnit(unit, "infants") + "/" + url.PathEscape(infant)
}

func underUnit(unit, page string) string { return "/units/" + url.PathEscape(unit) + "/" + page }

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
