package guide_test

import (
	"encoding/json"
	"testing"

	"cotline/fhir/guide"
	"cotline/fhir/internal/fixture"
	"cotline/fhir/internal/r4"
)

// Every own coding that leaves is defined in the code system that is shipped, and what
// it shows is exactly its display there.
func TestOwnCodingsAreDefined(t *testing.T) {
	w, _ := fixture.Demo(t)
	shipped, err := guide.Terminology(w.Policy)
	if err != nil {
		t.Fatal(err)
	}
	var system struct {
		URL     string
		Concept []struct{ Code, Display string }
	}
	if err := json.Unmarshal(shipped[0].JSON, &system); err != nil {
		t.Fatal(err)
	}
	defined := map[string]string{}
	for _, c := range system.Concept {
		defined[c.Code] = c.Display
	}
	used := map[string]bool{}
	var walk func(any)
	walk = func(v any) {
		switch v := v.(type) {
		case []any:
			for _, x := range v {
				walk(x)
			}
		case map[string]any:
			if v["system"] == system.URL {
				code, _ := v["code"].(string)
				used[code] = true
				if shown, ok := v["display"]; defined[code] == "" || ok && defined[code] != shown {
					t.Errorf("%v: defined as %q", v, defined[code])
				}
			}
			for _, x := range v {
				walk(x)
			}
		}
	}
	for _, r := range fixture.DemoExport(t).Resources {
		var v any
		if err := json.Unmarshal(r.JSON, &v); err != nil {
			t.Fatal(err)
		}
		walk(v)
	}
	if len(used) < 60 {
		t.Errorf("only %d codes are used by the demo ward", len(used))
	}
}

func TestTerminologyIsSound(t *testing.T) {
	shipped, err := guide.Terminology(fixture.WardPolicy(t))
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range shipped {
		if faults := r4.Check(r.JSON); len(faults) > 0 {
			t.Errorf("%s/%s: %v", r.Type, r.ID, faults)
		}
	}
}
