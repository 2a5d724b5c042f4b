package web

import "net/url"

// chartPath is where an infant, or with an empty key the unit, is charted.
func chartPath(unit, infant string) string {
	if infant == "" {
		return "/units/" + url.PathEscape(unit) + "/chart"
	}
	return infantPath(unit, infant) + "/chart"
}

// chartedPath shows what a form made, to undo it.
func chartedPath(unit, infant, token string) string {
	if infant == "" {
		return "/units/" + url.PathEscape(unit) + "/charted/" + url.PathEscape(token)
	}
	return infantPath(unit, infant) + "/charted/" + url.PathEscape(token)
}

// entryPath is where an entry is corrected or withdrawn.
func entryPath(unit, infant, id, what string) string {
	where := "/units/" + url.PathEscape(unit)
	if infant != "" {
		where = infantPath(unit, infant)
	}
	return where + "/entries/" + url.PathEscape(id) + "/" + what
}
