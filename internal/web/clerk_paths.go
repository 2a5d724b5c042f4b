package web

import "net/url"

// tablesPath is where tables are looked at and downloaded.
func tablesPath(unit string) string { return "/units/" + url.PathEscape(unit) + "/tables" }
