//go:build outside

package oracle

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"net/http"
	"os/exec"
	"strings"
	"sync"
	"testing"
	"time"

	"cotline/fhir"
)

// server is the store of the FHIR server (server/Server.java), on loopback.
type server struct {
	base string
}

// startServer has the server's one store emptied for a test, which has it to itself until it
// ends: to make another store takes most of what it takes to start the server.
func startServer(t *testing.T) *server {
	t.Helper()
	storeTaken.Lock()
	t.Cleanup(storeTaken.Unlock)
	answer := servers.ask(t, [][]byte{nil}, func() *exec.Cmd {
		return java(t, "server", "Server", "-Xmx2g")
	})
	return &server{string(answer[0])}
}

var (
	servers    talking
	storeTaken sync.Mutex
)

// reply is what a server answers to one entry of a transaction.
type reply struct {
	Status   string // 201 Created
	Location string // Observation/1/_history/1
	Etag     string // W/"1"
}

func (r reply) version() string { return strings.Trim(strings.TrimPrefix(r.Etag, "W/"), `"`) }

// take sends a transaction, and has one reply for each of its entries.
func (s *server) take(t *testing.T, bundle []byte) []reply {
	t.Helper()
	began := time.Now()
	res, err := http.Post(s.base, "application/fhir+json", bytes.NewReader(bundle))
	if err != nil {
		t.Fatal(err)
	}
	defer res.Body.Close()
	body, err := io.ReadAll(res.Body)
	if err != nil {
		t.Fatal(err)
	}
	if res.StatusCode != http.StatusOK {
		t.Fatalf("a transaction was refused: %s\n%.2000s", res.Status, body)
	}
	var answer struct{ Entry []struct{ Response reply } }
	var asked struct{ Entry []struct{} }
	if err := json.Unmarshal(body, &answer); err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(bundle, &asked); err != nil {
		t.Fatal(err)
	}
	if len(answer.Entry) != len(asked.Entry) {
		t.Fatalf("%d answers to %d entries", len(answer.Entry), len(asked.Entry))
	}
	var all []reply
	for _, e := range answer.Entry {
		all = append(all, e.Response)
	}
	t.Logf("%d entries in %v", len(all), time.Since(began).Round(time.Second/10))
	return all
}

// entryURLs are the fullUrls of a bundle.
func entryURLs(t testing.TB, bundle []byte) []string {
	t.Helper()
	var b struct{ Entry []struct{ FullURL string } }
	if err := json.Unmarshal(bundle, &b); err != nil {
		t.Fatal(err)
	}
	var all []string
	for _, e := range b.Entry {
		all = append(all, e.FullURL)
	}
	return all
}

// held is a resource as a server gives it back.
type held struct {
	Type, ID, Version string
	JSON              []byte
}

// search follows all pages of a search.
func (s *server) search(t *testing.T, query string) []held {
	t.Helper()
	var all []held
	for next := s.base + "/" + query; next != ""; {
		res, err := http.Get(next)
		if err != nil {
			t.Fatal(err)
		}
		body, err := io.ReadAll(res.Body)
		res.Body.Close()
		if err != nil || res.StatusCode != http.StatusOK {
			t.Fatalf("%s: %s %v\n%.500s", query, res.Status, err, body)
		}
		var page struct {
			Link  []struct{ Relation, URL string }
			Entry []struct{ Resource json.RawMessage }
		}
		if err := json.Unmarshal(body, &page); err != nil {
			t.Fatal(err)
		}
		for _, e := range page.Entry {
			var r struct {
				ResourceType, ID string
				Meta             struct{ VersionID string }
			}
			if err := json.Unmarshal(e.Resource, &r); err != nil {
				t.Fatal(err)
			}
			all = append(all, held{r.ResourceType, r.ID, r.Meta.VersionID, e.Resource})
		}
		next = ""
		for _, l := range page.Link {
			if l.Relation == "next" {
				next = l.URL
			}
		}
	}
	return all
}

// everything is what a server holds of the types of an export, by the identifiers
// of ours: with ids and references as ours, and without what a server adds.
func (s *server) everything(t *testing.T, x *fhir.Export) map[string]held {
	t.Helper()
	ours := map[string]*fhir.Resource{}
	types := map[string]bool{}
	for _, r := range x.Resources {
		ours[r.Type+" "+r.Identifier.System+" "+r.Identifier.Value] = r
		types[r.Type] = true
	}
	var all []held
	for kind := range types {
		all = append(all, s.search(t, kind+"?_count=500")...)
	}
	var names []string // theirs, ours, theirs, ours
	keys := make([]string, len(all))
	for n, h := range all {
		keys[n] = h.Type + "/" + h.ID
		var r struct {
			Identifier []struct{ System, Value string }
		}
		if err := json.Unmarshal(h.JSON, &r); err != nil {
			t.Fatal(err)
		}
		for _, id := range r.Identifier {
			if of := ours[h.Type+" "+id.System+" "+id.Value]; of != nil {
				keys[n] = of.Type + "/" + of.ID
				names = append(names, fmt.Sprintf(`"%s/%s"`, h.Type, h.ID), fmt.Sprintf(`"%s/%s"`, of.Type, of.ID))
			}
		}
	}
	rename := strings.NewReplacer(names...)
	out := map[string]held{}
	for n, h := range all {
		if _, twice := out[keys[n]]; twice {
			t.Errorf("%s is there twice", keys[n])
		}
		h.JSON = []byte(rename.Replace(string(h.JSON)))
		out[keys[n]] = h
	}
	return out
}

// same holds what a server gives back to what was sent, numbers to the digit.
func same(t *testing.T, sent, back []byte) (a, b any) {
	t.Helper()
	a, b = tree(t, sent), tree(t, back)
	served := b.(map[string]any)
	served["id"] = a.(map[string]any)["id"]
	if meta, ok := served["meta"].(map[string]any); ok {
		for _, added := range []string{"versionId", "lastUpdated", "source"} {
			delete(meta, added)
		}
	}
	return a, b
}
