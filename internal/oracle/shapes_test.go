//go:build outside

package oracle

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"cotline/fhir"
)

// shapes is an export with one resource of each shape (type, elements, codes, units and
// statuses), and what that refers to.
func shapes(t testing.TB, x *fhir.Export) *fhir.Export {
	t.Helper()
	return courses(t, func(*fhir.Resource) bool { return false }, x)[0]
}

// fresh are the shapes that were not held to a validator yet.
type fresh map[string]bool

// shapes is an export with one resource of each shape that is fresh, one at least of each
// type, and what these refer to.
func (f fresh) shapes(t testing.TB, x *fhir.Export) *fhir.Export {
	t.Helper()
	some := *shapes(t, x)
	if *whole {
		return &some
	}
	keep, types := map[string]bool{}, map[string]bool{}
	for _, r := range some.Resources {
		if f.take(t, r.Type, r.JSON) || !types[r.Type] {
			keep[r.Key()], types[r.Type] = true, true
		}
	}
	return closed(t, func(r *fhir.Resource) bool { return keep[r.Key()] }, &some)[0]
}

// take says whether a resource is of a fresh shape, which is so no longer.
func (f fresh) take(t testing.TB, kind string, text []byte) bool {
	t.Helper()
	s := kind + shapeOf("", tree(t, text))
	is := !f[s]
	f[s] = true
	return is
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
	return closed(t, func(r *fhir.Resource) bool { return in[r.Key()] }, all...)
}

// closed are some resources of exports that one receiver takes, and what they refer to in
// any of them.
func closed(t testing.TB, keep func(*fhir.Resource) bool, all ...*fhir.Export) []*fhir.Export {
	t.Helper()
	in := map[string]bool{}
	some := make([]*fhir.Export, len(all))
	for n, x := range all {
		of := *x
		some[n] = &of
		for _, r := range x.Resources {
			in[r.Key()] = in[r.Key()] || keep(r)
		}
	}
	for more := true; more; {
		more = false
		for n, x := range all {
			some[n].Resources = slices.DeleteFunc(slices.Clone(x.Resources), func(r *fhir.Resource) bool { return !in[r.Key()] })
			b, err := some[n].Transaction(fhir.Put)
			if err != nil {
				t.Fatal(err)
			}
			urls := map[string]bool{}
			for _, u := range entryURLs(t, b) {
				urls[u] = true
			}
			for _, r := range x.Resources {
				if !in[r.Key()] && urls["urn:uuid:"+r.ID] {
					in[r.Key()], more = true, true
				}
			}
		}
	}
	for n := range all {
		t.Logf("%d of %d resources", len(some[n].Resources), len(all[n].Resources))
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
