package web

import "net/url"

// tablesPath is where tables are looked at and downloaded.
func tablesPath(unit string) string { return "/units/" + url.PathEscape(unit) + "/tables" }

// sheetPath is where a workbook that was filled in is sent.
func sheetPath(unit string) string { return "/units/" + url.PathEscape(unit) + "/sheet" }
