package examples

import (
	"encoding/json"
	"fmt"
	"net/url"
	"strings"
	"testing"
)

// receiver is a record system reduced to what R4 says of transactions: by Type/id,
// each resource and how many versions it has had. Taking the
// same content again adds no version.
type receiver map[string]*kept

type kept struct {
	versions int
	content  map[string]any
}

// take applies one transaction: conditional creation, update by id and conditional
// update, then references of urn:uuid resolved to what each entry became.
func (r receiver) take(t *testing.T, text []byte) {
	t.Helper()
	var b struct {
		ResourceType, Type string
		Entry              []struct {
			FullURL  string `json:"fullUrl"`
			Resource map[string]any
			Request  struct{ Method, URL, IfNoneExist string }
		}
	}
	numbered(t, text, &b) // 5.0 stays 5.0
	if b.ResourceType != "Bundle" || b.Type != "transaction" {
		t.Fatalf("a %s of type %s", b.ResourceType, b.Type)
	}
	became := map[string]any{}
	ignored := map[int]bool{}
	keys := make([]string, len(b.Entry))
	for n, e := range b.Entry {
		kind, query, conditional := strings.Cut(e.Request.URL, "?")
		switch {
		case e.Request.Method == "POST" && e.Request.IfNoneExist != "":
			keys[n] = r.find(t, kind, e.Request.IfNoneExist)
			ignored[n] = keys[n] != ""
		case e.Request.Method == "PUT" && conditional:
			keys[n] = r.find(t, kind, query)
		case e.Request.Method == "PUT":
			keys[n] = e.Request.URL
		default:
			t.Fatalf("%s %s", e.Request.Method, e.Request.URL)
		}
		if keys[n] == "" {
			keys[n] = fmt.Sprintf("%s/%d", kind, len(r)+1)
			r[keys[n]] = &kept{}
		}
		if became[e.FullURL] != nil {
			t.Fatalf("%s stands twice", e.FullURL)
		}
		became[e.FullURL] = keys[n]
	}
	for n, e := range b.Entry {
		if ignored[n] {
			continue
		}
		content := resolved(t, e.Resource, became).(map[string]any)
		_, content["id"], _ = strings.Cut(keys[n], "/")
		k := r[keys[n]]
		if k == nil {
			k = &kept{}
			r[keys[n]] = k
		}
		if asText(t, k.content) != asText(t, content) {
			k.versions++
			k.content = content
		}
	}
}

// find is the one resource of a type that has an identifier, empty for none.
func (r receiver) find(t *testing.T, kind, query string) string {
	t.Helper()
	q, err := url.ParseQuery(query)
	if err != nil || len(q) != 1 {
		t.Fatalf("query %q: %v", query, err)
	}
	found := ""
	for key, k := range r {
		for _, id := range list(k.content["identifier"]) {
			if strings.HasPrefix(key, kind+"/") && said(id, "system")+"|"+said(id, "value") == q.Get("identifier") {
				if found != "" {
					t.Fatalf("%s matches %s and %s", query, found, key)
				}
				found = key
			}
		}
	}
	return found
}

func resolved(t *testing.T, v any, became map[string]any) any {
	switch v := v.(type) {
	case map[string]any:
		out := map[string]any{}
		for name, x := range v {
			to, ok := x.(string)
			if name != "reference" || !ok {
				out[name] = resolved(t, x, became)
				continue
			}
			if out[name] = became[to]; out[name] == nil {
				t.Fatalf("%s is in no entry", to)
			}
		}
		return out
	case []any:
		out := make([]any, len(v))
		for n, x := range v {
			out[n] = resolved(t, x, became)
		}
		return out
	}
	return v
}

func asText(t *testing.T, v any) string {
	t.Helper()
	b, err := json.Marshal(v)
	if err != nil {
		t.Fatal(err)
	}
	return string(b)
}

// summary is what expected.json tells of a resource.
type summary struct {
	Versions int      `json:"versions"`
	Status   string   `json:"status,omitempty"`
	Says     string   `json:"says,omitempty"`
	When     string   `json:"when,omitempty"`
	Infant   string   `json:"infant,omitempty"`
	Device   string   `json:"device,omitempty"`
	Numbers  []string `json:"identifiers,omitempty"`
	Notes    []string `json:"notes,omitempty"`
}

func (r receiver) state() map[string]summary {
	out := map[string]summary{}
	for key, k := range r {
		c := k.content
		s := summary{Versions: k.versions, Status: said(c, "status"), Infant: said(c["subject"], "reference")}
		switch kind, _, _ := strings.Cut(key, "/"); kind {
		case "Patient":
			for _, id := range list(c["identifier"]) {
				s.Numbers = append(s.Numbers, said(id, "use")+" "+said(id, "value"))
			}
			for _, n := range list(c["name"]) {
				s.Says = strings.TrimPrefix(s.Says+" "+said(n, "family"), " ")
				for _, g := range list(n.(map[string]any)["given"]) {
					s.Says += " " + g.(string)
				}
			}
			if n := said(c, "multipleBirthInteger"); n != "" {
				s.Says += ", " + n + " in order of birth"
			}
		case "Device":
			s.Says, s.Infant = said(c["type"], "text"), said(c["patient"], "reference")
			for _, p := range list(c["property"]) {
				for _, v := range list(p.(map[string]any)["valueCode"]) {
					s.Says += " " + said(v, "text")
				}
			}
		case "DeviceUseStatement":
			s.Device = said(c["device"], "reference")
			s.When = "since " + said(c["timingPeriod"], "start")
			if end := said(c["timingPeriod"], "end"); end != "" {
				s.When += " until " + end
			}
		case "Task":
			s.Says = said(c["code"], "text") + ": " + said(c, "description")
			s.Infant, s.Device = said(c["for"], "reference"), said(c["focus"], "reference")
			if r, _ := c["restriction"].(map[string]any); r != nil {
				s.When = "due " + said(r["period"], "start")
			}
		case "Encounter":
			s.When = "since " + said(c["period"], "start")
			for _, l := range list(c["location"]) {
				s.Says = said(l.(map[string]any)["location"], "reference") + " " + said(l, "status")
			}
			for _, id := range list(c["identifier"]) {
				s.Numbers = append(s.Numbers, said(id, "value"))
			}
		case "Location":
			s.Says = said(c, "name")
		case "Practitioner":
			s.Says = said(list(c["name"])[0], "text")
		case "DeviceMetric":
			s.Says, s.Device = said(c["type"], "text")+": "+said(list(c["calibration"])[0], "state"), said(c["source"], "reference")
		case "Provenance":
			s.Says = said(list(c["reason"])[0], "text") + ", of"
			for _, to := range list(c["target"]) {
				s.Says += " " + said(to, "reference")
			}
		default:
			s.Says, s.When, s.Device = said(c["code"], "text"), said(c, "effectiveDateTime"), said(c["device"], "reference")
			if q := c["valueQuantity"]; q != nil {
				s.Says += ": " + said(q, "value") + " " + said(q, "unit")
			} else if v := c["valueCodeableConcept"]; v != nil {
				s.Says += ": " + said(v, "text")
			} else if n := said(c, "valueInteger"); n != "" {
				s.Says += ": " + n
			}
			s.Says = strings.TrimSuffix(s.Says+", "+said(c["bodySite"], "text"), ", ")
		}
		for _, n := range list(c["note"]) {
			s.Notes = append(s.Notes, said(n, "text"))
		}
		out[key] = s
	}
	return out
}

func list(v any) []any { l, _ := v.([]any); return l }

// said is a member of an object as text, empty where there is none.
func said(v any, name string) string {
	m, _ := v.(map[string]any)
	if m[name] == nil {
		return ""
	}
	return fmt.Sprint(m[name])
}
