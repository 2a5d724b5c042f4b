package journal

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"reflect"
	"slices"
)

// firstDifference names the first place where two JSON texts differ, without
// what stands there, which may be a name.
func firstDifference(signed, now []byte) string {
	a, errA := plain(signed)
	b, errB := plain(now)
	if errA != nil || errB != nil {
		return "one of the two is no JSON"
	}
	if path, differ := differs("", a, b); differ {
		return "it differs at " + path
	}
	return "it holds the same, written otherwise"
}

func plain(text []byte) (v any, err error) {
	d := json.NewDecoder(bytes.NewReader(text))
	d.UseNumber()
	err = d.Decode(&v)
	return v, err
}

func differs(path string, a, b any) (string, bool) {
	switch x := a.(type) {
	case map[string]any:
		y, ok := b.(map[string]any)
		if !ok {
			return path, true
		}
		names := maps.Clone(x)
		maps.Copy(names, y)
		for _, name := range slices.Sorted(maps.Keys(names)) {
			here := name
			if path != "" {
				here = path + "." + name
			}
			if p, d := differs(here, x[name], y[name]); d {
				return p, true
			}
		}
		return "", false
	case []any:
		y, ok := b.([]any)
		if !ok {
			return path, true
		}
		for i := range min(len(x), len(y)) {
			if p, d := differs(fmt.Sprintf("%s[%d]", path, i), x[i], y[i]); d {
				return p, true
			}
		}
		return fmt.Sprintf("%s[%d]", path, min(len(x), len(y))), len(x) != len(y)
	}
	return path, !reflect.DeepEqual(a, b)
}
