//go:build outside

package oracle

import (
	"encoding/json"
	"flag"
	"slices"
	"strings"
	"testing"

	"cotline/fhir"
)

var whole = flag.Bool("whole", false, "hold every resource to the slow validators and servers, not one of each shape")

// shapes is an export with one resource of each shape (type, elements, codes, units and
// statuses), and what that refers to.
func shapes(t testing.TB, x *fhir.Export) *fhir.Export {
	t.Helper()
	if *whole {
		return x
	}
	some := *x
	some.Resources = nil
	seen := map[string]bool{}
	for _, r := range x.Resources {
		var v any
		if err := json.Unmarshal(r.JSON, &v); err != nil {
			t.Fatal(err)
		}
		if s := r.Type + shapeOf("", v); !seen[s] {
			seen[s] = true
			some.Resources = append(some.Resources, r)
		}
	}
	b, err := some.Transaction(fhir.Put)
	if err != nil {
		t.Fatal(err)
	}
	in := entryURLs(t, b)
	slices.Sort(in)
	some.Resources = slices.DeleteFunc(slices.Clone(x.Resources), func(r *fhir.Resource) bool {
		_, found := slices.BinarySearch(in, "urn:uuid:"+r.ID)
		return !found
	})
	t.Logf("%d of %d resources, one of each shape", len(some.Resources), len(x.Resources))
	return &some
}

// told are the elements whose value belongs to a shape.
var told = []string{"code", "status", "unit", "use", "resourceType"}

// shapeOf lists the elements of a value, each once.
func shapeOf(path string, v any) string {
	var all []string
	switch v := v.(type) {
	case map[string]any:
		for name, x := range v {
			all = append(all, shapeOf(path+"."+name, x))
		}
	case []any:
		for _, x := range v {
			all = append(all, shapeOf(path, x))
		}
	case string:
		if slices.Contains(told, path[strings.LastIndexByte(path, '.')+1:]) {
			return path + "=" + v
		}
		return path
	default:
		return path
	}
	slices.Sort(all)
	return strings.Join(slices.Compact(all), " ")
}
