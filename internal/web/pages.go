package web

import (
	"crypto/sha256"
	"embed"
	"encoding/hex"
	"fmt"
	"html/template"
	"io"
	"io/fs"
	"maps"
	"net/http"
	"net/url"
	"path"
	"slices"
	"strings"

	"cotline/internal/access"
	"cotline/internal/page"
	"cotline/internal/web/words"
)

//go:embed templates
var templates embed.FS

//go:embed static
var files embed.FS

// pages are the templates by name, each with what all share: the layout round it, and its parts.
type pages map[string]*template.Template

func readPages() (pages, error) {
	funcs := template.FuncMap{"static": staticPath, "say": words.Say, "phrase": phrase, "in": in, "slot": slot, "moment": moment,
		"spans": spans}
	layout, err := template.New("layout.tmpl").Funcs(funcs).ParseFS(templates, "templates/shared/*.tmpl")
	if err != nil {
		return nil, err
	}
	for _, t := range layout.Templates() {
		words.Template(t.Tree, words.Text)
	}
	names, err := fs.Glob(templates, "templates/*.tmpl")
	if err != nil {
		return nil, err
	}
	out := pages{}
	for _, name := range names {
		own := strings.TrimSuffix(path.Base(name), ".tmpl")
		t, err := layout.Clone()
		if err == nil {
			_, err = t.ParseFS(templates, name)
		}
		if err == nil && t.Lookup("main") == nil {
			err = fmt.Errorf("page %s has no main part", own)
		}
		if err != nil {
			return nil, err
		}
		for _, x := range t.Templates() {
			if layout.Lookup(x.Name()) == nil {
				words.Template(x.Tree, words.Text)
			}
		}
		out[own] = t
	}
	return out, nil
}

// laid is what the layout shows round a page.
type laid struct {
	Title, Theme, Caution, Path string
	Who                         *access.Who
	Ways                        []way
	Data                        any
	Request                     string
	Clock                       string     // what is odd about the clock that takes entries
	Keep                        string     // path of what a device keeps of the own infants; empty: nothing
	Kept                        *keptRound // of a page that is kept
}

// render writes a page. A page that updates itself asks for its main part alone.
func (s *Server) render(w io.Writer, r *request, a answer) error {
	t := s.pages[a.page]
	l := laid{Title: a.title, Theme: themeOf(r), Caution: page.Caution, Path: r.URL.RequestURI(), Who: r.who, Data: a.data, Request: r.id}
	if r.who != nil {
		at := r.URL.Path
		if a.page == "refused" { // beneath nothing: what is not there is one answer everywhere
			at = ""
		}
		l.Ways = waysOf(r.who, slices.Collect(maps.Keys(s.units)), at)
		if s.units[r.who.Unit] != nil && r.who.May(r.who.Unit, access.ReadInfants) {
			l.Keep = "/units/" + url.PathEscape(r.who.Unit) + "/kept"
		}
	}
	if r.snap != nil {
		l.Clock = r.snap.clockOdd(s.Now())
	}
	if r.refresh() {
		return t.ExecuteTemplate(w, "within", l)
	}
	return t.Execute(w, l)
}

// version of the files: they are kept by browsers for as long as they are the same.
var version = func() string {
	h := sha256.New()
	err := fs.WalkDir(files, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		b, err := files.ReadFile(name)
		fmt.Fprintf(h, "%s %d ", name, len(b)) // a hash takes all
		h.Write(b)
		return err
	})
	if err != nil {
		panic(err) // they are part of the program
	}
	return hex.EncodeToString(h.Sum(nil)[:6])
}()

func staticPath(name string) string { return "/static/" + version + "/" + name }

var kinds = map[string]string{".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".svg": "image/svg+xml"}

// showStatic sends a file of the program.
func showStatic(_ *Server, r *request) (answer, error) {
	name := r.part("name")
	kind, known := kinds[path.Ext(name)]
	body, err := files.ReadFile("static/" + path.Base(name))
	if err != nil || !known || r.part("version") != version {
		return answer{}, errNotThere
	}
	return answer{body: body, kind: kind, header: map[string]string{"Cache-Control": "public, max-age=31536000, immutable"}}, nil
}

// healthy says that the program answers and the record can be read.
func healthy(s *Server, r *request) (answer, error) {
	if _, err := s.Access.Anyone(r.Context()); err != nil {
		return answer{}, err
	}
	return answer{body: []byte("ok\n"), kind: "text/plain; charset=utf-8"}, nil
}

// themes that can be chosen; the first is the device's own.
var themes = []string{"auto", "light", "dark"}

const themeCookie = "cotline-theme"

func themeOf(r *request) string {
	if c, err := r.Cookie(themeCookie); err == nil && (c.Value == "light" || c.Value == "dark") {
		return c.Value
	}
	return themes[0]
}

// setTheme keeps on this device how pages look.
func setTheme(s *Server, r *request) (answer, error) {
	theme := r.PostForm.Get("theme")
	if theme != "light" && theme != "dark" {
		theme = themes[0]
	}
	return answer{to: back(r.PostForm.Get("back")), cookies: []*http.Cookie{{ // #nosec G124 -- as the others: Secure over TLS
		Name: themeCookie, Value: theme, Path: "/", MaxAge: 365 * 24 * 3600, Secure: s.TLS, HttpOnly: true,
		SameSite: http.SameSiteStrictMode,
	}}}, nil
}
