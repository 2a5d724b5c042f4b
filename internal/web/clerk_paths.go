package web

import (
	"errors"
	"net/http"
	"net/url"
	"strings"
)

// tablesPath is where tables are looked at and downloaded.
func tablesPath(unit string) string { return "/units/" + url.PathEscape(unit) + "/tables" }

// sheetRoute is where a workbook that was filled in is sent: the one form that brings a
// file.
const sheetRoute = "/units/{unit}/sheet"

func sheetPath(unit string) string { return "/units/" + url.PathEscape(unit) + "/sheet" }

// bringsFile says whether a request is for where a file is sent.
func bringsFile(r *http.Request) bool {
	before, after, _ := strings.Cut(sheetRoute, "{unit}")
	return r.Method == http.MethodPost && strings.HasPrefix(r.URL.Path, before) && strings.HasSuffix(r.URL.Path, after)
}

// fileKind is the form of a post that brings a file.
const fileKind = "multipart/form-data"

// fileForm reads a form with a file, all of it in memory, within the limit of files.
func fileForm(r *request) error {
	if r.Method != http.MethodPost {
		return nil
	}
	kind, _, _ := strings.Cut(r.Header.Get("Content-Type"), ";")
	if strings.TrimSpace(kind) != fileKind {
		return form(r) // without a file, which the page says
	}
	err := r.ParseMultipartForm(1 << 62) // the body is within its limit, and no file is written beside
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		return errLarge
	case err != nil:
		return errNoForm
	}
	return nil
}
