//go:build outside

package oracle

import (
	"encoding/json"
	"flag"
	"fmt"
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
	return courses(t, func(*fhir.Resource) bool { return false }, x)[0]
}

// courses are exports that one receiver takes, with one resource of each course of shapes
// over them, all that are to be kept, and what these refer to.
func courses(t testing.TB, keep func(*fhir.Resource) bool, all ...*fhir.Export) []*fhir.Export {
	t.Helper()
	if *whole {
		return all
	}
	course := map[string]string{} // by Type/id
	in := map[string]bool{}
	for n, x := range all {
		for _, r := range x.Resources {
			var v any
			if err := json.Unmarshal(r.JSON, &v); err != nil {
				t.Fatal(err)
			}
			course[r.Key()] += fmt.Sprintf("%d %s %s\n", n, r.Type, shapeOf("", v))
			in[r.Key()] = in[r.Key()] || keep(r)
		}
	}
	seen := map[string]bool{}
	for _, x := range all {
		for _, r := range x.Resources {
			if c := course[r.Key()]; !seen[c] {
				seen[c], in[r.Key()] = true, true
			}
		}
	}
	some := make([]*fhir.Export, len(all))
	for n := range all {
		of := *all[n]
		some[n] = &of
	}
	for more := true; more; { // what one refers to is in all of them
		more = false
		for n, x := range all {
			some[n].Resources = slices.DeleteFunc(slices.Clone(x.Resources), func(r *fhir.Resource) bool { return !in[r.Key()] })
			b, err := some[n].Transaction(fhir.Put)
			if err != nil {
				t.Fatal(err)
			}
			urls := entryURLs(t, b)
			for _, r := range x.Resources {
				if !in[r.Key()] && slices.Contains(urls, "urn:uuid:"+r.ID) {
					in[r.Key()], more = true, true
				}
			}
		}
	}
	for n := range all {
		t.Logf("%d of %d resources, one of each course", len(some[n].Resources), len(all[n].Resources))
	}
	return some
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
