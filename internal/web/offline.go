package web

import (
	"encoding/json"
	"fmt"
	"io/fs"
	"path"
	"strings"

	"cotline/internal/web/words"
)

// manifest makes the pages installable (W3C Web Application Manifest). It names nobody.
var manifest = func() []byte {
	text, err := json.MarshalIndent(map[string]any{
		"id": "/", "name": "cotline", "short_name": "cotline", "lang": "en", "start_url": "/", "scope": "/", "display": "standalone",
		"background_color": "#101316", "theme_color": "#101316",
		"icons": []map[string]string{{"src": staticPath("mark.svg"), "sizes": "any", "type": "image/svg+xml", "purpose": "any"}},
	}, "", "  ")
	if err != nil {
		panic(err) // of a constant
	}
	return text
}()

// showManifest is the same for everybody.
func showManifest(*Server, *request) (answer, error) {
	return answer{body: manifest, kind: "application/manifest+json", header: map[string]string{"Cache-Control": "no-cache"}}, nil
}

// worker is the script that answers on the device while the server does not: first what it
// is made for, which is this version of the files, so that another version is another worker.
var worker = func() []byte {
	names, err := fs.Glob(files, "static/*")
	if err != nil {
		panic(err) // of a constant
	}
	var all []string
	for _, name := range names {
		all = append(all, fmt.Sprintf("%q", staticPath(path.Base(name))))
	}
	text, err := files.ReadFile("static/worker.js")
	if err != nil {
		panic(err) // it is part of the program
	}
	head := fmt.Sprintf("const version = %q;\nconst files = [%s];\nimportScripts(%q);\n",
		version, strings.Join(all, ", "), staticPath("store.js"))
	return append([]byte(head), text...)
}()

// showWorker is asked again by each browser whenever a page is opened, so it is kept by none.
func showWorker(*Server, *request) (answer, error) {
	header := map[string]string{"Cache-Control": "no-cache", "Service-Worker-Allowed": "/"}
	return answer{body: worker, kind: kinds[".js"], header: header}, nil
}

// showWaiting shows what is on the device, which its script fills in: the server knows
// nothing of it, and the page is the same for everybody.
func showWaiting(*Server, *request) (answer, error) {
	return answer{page: "waiting", title: words.Say("On this device")}, nil
}
