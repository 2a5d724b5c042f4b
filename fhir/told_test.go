package fhir_test

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/handover"
	"cotline/handover/entry"
)

// untold are the kinds and fields that no resource of an export tells but the text of
// the entry that it carries, each with why.
var untold = map[string]string{
	"admission.mother": "opaque: siblings have a Flag",
	"admission.from":   "where the infant came from is the hospital's to say",
	"identity.mother":  "opaque: siblings have a Flag",
	"deferral":         "of what is due: its Task says until when and why",
	"handover":         "of many infants: the document tells it, as author and attester",
	"acceptance":       "of many infants: the document tells it, as attester",
	"correction":       "what it amends says so",
	"retraction":       "what it amends is sent no more",
}

// TestEveryFieldIsTold walks the table of kinds. Of an entry that has every field, each
// makes a difference to what is sent: were it left out, or another, another export would
// leave. The text that an entry carries and the narrative do not count.
func TestEveryFieldIsTold(t *testing.T) {
	used := map[string]bool{}
	for _, kind := range entry.Kinds {
		if untold[kind.Name] != "" {
			used[kind.Name] = true
			continue
		}
		whole := wholeOf(kind)
		for _, path := range leavesOf(kind.Fields, "") {
			name := kind.Name + "." + path
			with, without := sentWith(t, kind.Name, whole, path, false), sentWith(t, kind.Name, whole, path, true)
			switch why := untold[name]; {
			case with == "" || without == "":
				t.Errorf("%s: no entry was made that has it", name)
			case why == "" && with == without:
				t.Errorf("%s is not told in FHIR: yield it, or say here why not", name)
			case why != "" && with != without:
				t.Errorf("%s is told in FHIR, and said not to be: %s", name, why)
			}
			used[name] = true
		}
	}
	for name := range untold {
		if !used[name] {
			t.Errorf("%s is no field", name)
		}
	}
}

// wholeOf is an entry's fields, each with a value.
func wholeOf(kind entry.Kind) map[string]any {
	out := map[string]any{}
	for _, s := range kind.Fields {
		out[s.Name] = sample(s, s.Type, 0)
	}
	return out
}

// sample is a value of a field; another for each n.
func sample(s entry.Spec, typ entry.Type, n int) any {
	switch typ {
	case entry.Text, entry.Key:
		return fmt.Sprint("said-", n)
	case entry.Word:
		return s.Words[n%len(s.Words)]
	case entry.Number, entry.Whole:
		low, high := 0, 0
		fmt.Sscan(s.Min, &low)
		fmt.Sscan(s.Max, &high)
		value := low + (high-low+1)/3 + n
		if strings.Contains(s.Name, "High") {
			value += (high - low) / 3
		}
		return json.Number(fmt.Sprint(value))
	case entry.Flag:
		return n == 0
	case entry.Instant:
		return fmt.Sprintf("2026-03-01T1%d:00:00+01:00", 2+n)
	case entry.Birth:
		return fmt.Sprintf("2026-03-01T0%d:00:00+01:00", 6+n)
	case entry.Reference:
		return fmt.Sprintf("0a5e0004-0000-4000-8000-00000000000%d", 1+n)
	case entry.Gestation:
		return fmt.Sprintf("2%d+2", 7+n)
	case entry.Interval:
		return fmt.Sprintf("%dh", 3+n)
	case entry.Object:
		return sampleOf(s)
	case entry.List:
		if s.Of != nil {
			return []any{sampleOf(s)}
		}
		return []any{sample(s, s.Item, n)}
	}
	panic(fmt.Sprintf("no sample of %s", s.Name))
}

func sampleOf(s entry.Spec) map[string]any {
	out := map[string]any{}
	for _, x := range s.Of {
		out[x.Name] = sample(x, x.Type, 0)
	}
	return out
}

// leavesOf are the fields that hold a value, by path.
func leavesOf(specs []entry.Spec, within string) (out []string) {
	for _, s := range specs {
		if s.Of != nil {
			out = append(out, leavesOf(s.Of, within+s.Name+".")...)
			continue
		}
		out = append(out, within+s.Name)
	}
	return out
}

// sentWith is what is sent of an infant with such an entry, as it is or with one field left
// out, or another where the entry cannot do without; empty where there is no such entry.
func sentWith(t *testing.T, kind string, whole map[string]any, path string, changed bool) string {
	t.Helper()
	fields := copied(whole).(map[string]any)
	top, below, nested := strings.Cut(path, ".")
	k, _ := entry.KindOf(kind)
	for _, pair := range [][]string{k.NotBoth[:], k.OneOf} { // the first, unless the other is asked for
		if len(pair) == 2 && top == pair[1] {
			delete(fields, pair[0])
		} else if len(pair) == 2 {
			delete(fields, pair[1])
		}
	}
	for _, drop := range besides[kind+"."+path] {
		delete(fields, drop)
	}
	maps.Copy(fields, given[kind+"."+path])
	if changed {
		spec, _ := k.Spec(top)
		in, name := fields, top
		if nested {
			list, ok := fields[top].([]any)
			if ok {
				in = list[0].(map[string]any)
			} else {
				in = fields[top].(map[string]any)
			}
			name = below
			for i := range spec.Of {
				if spec.Of[i].Name == below {
					spec = &spec.Of[i]
					break
				}
			}
		}
		if in[name] = sample(*spec, spec.Type, 1); !spec.Required {
			less := copied(fields).(map[string]any)
			delete(in, name)
			if exported(t, kind, fields) == "" {
				fields = less // it cannot do without
			}
		}
	}
	return exported(t, kind, fields)
}

// besides are fields that stand in the way of another, and given what it needs.
var (
	besides = map[string][]string{"identity.temporary": {"mrn"}, "identity.family": {"restricted"}, "identity.given": {"restricted"}}
	given   = map[string]map[string]any{"tube.use": {"use": "venting"}, "support.reason": {"state": "stopped"},
		"plan.care": {"what": "care"}}
)

func copied(v any) any {
	switch v := v.(type) {
	case map[string]any:
		out := map[string]any{}
		for name, x := range v {
			out[name] = copied(x)
		}
		return out
	case []any:
		var out []any
		for _, x := range v {
			out = append(out, copied(x))
		}
		return out
	}
	return v
}

// sentBefore is what exported gave, by kind and fields: most fields are held to the same
// whole entry.
var sentBefore = map[string]string{}

// exported is what is sent of an infant who has an entry of such fields, without
// narrative and without the text of entries.
func exported(t *testing.T, kind string, fields map[string]any) (text string) {
	t.Helper()
	same, err := json.Marshal(fields)
	if err != nil {
		t.Fatal(err)
	}
	key := kind + string(same)
	if text, ok := sentBefore[key]; ok {
		return text
	}
	defer func() { sentBefore[key] = text }()
	lines := []map[string]any{
		{"id": "0a5e0004-0000-4000-8000-000000000009", "infant": "in-a", "kind": "admission", "at": "2026-03-01T08:00:00+01:00",
			"by":   "rn-dune",
			"born": "2026-03-01T07:00:00+01:00", "cot": "1", "mrn": "0042"},
		{"id": "0a5e0004-0000-4000-8000-000000000008", "infant": "in-a", "kind": "support", "at": "2026-03-01T08:30:00+01:00",
			"by":    "rn-dune",
			"state": "started", "mode": "cpap"},
		{"id": "0a5e0004-0000-4000-8000-000000000001", "infant": "in-a", "kind": "task", "at": "2026-03-01T09:00:00+01:00",
			"by": "rn-dune", "text": "one"},
		{"id": "0a5e0004-0000-4000-8000-000000000002", "infant": "in-a", "kind": "task", "at": "2026-03-01T09:00:00+01:00",
			"by": "rn-dune", "text": "two"},
	}
	e := copied(fields).(map[string]any)
	maps.Copy(e, map[string]any{"id": "0a5e0004-0000-4000-8000-000000000007", "infant": "in-a", "kind": kind,
		"at": "2026-03-01T11:00:00+01:00", "by": "rn-dune"})
	if kind == "identity" && fields["mrn"] == nil {
		delete(lines[0], "mrn")
		lines[0]["temporary"] = "label"
	}
	if kind == "admission" {
		e["at"], lines = "2026-03-01T08:00:00+01:00", lines[1:]
	}
	var entries []*entry.Entry
	for _, line := range append(lines, e) {
		text, err := json.Marshal(line)
		if err != nil {
			t.Fatal(err)
		}
		v, issues := entry.ParseJSON(text)
		if len(issues) > 0 {
			t.Fatal(issues)
		}
		one, issues := entry.Decode(v)
		if len(issues) > 0 {
			return ""
		}
		one.Charted = one.At
		entries = append(entries, &one)
	}
	at := fixture.Moment(t, "2026-03-01T14:30:00+01:00")
	ask := fhir.Ask{At: at, Known: at}
	if kind == "discharge" {
		ask.Infant = "in-a"
	}
	x := fixture.Export(t, handover.Ward{Entries: entries, Policy: fixture.SendingAll(t)}, ask)
	var out []string
	for _, r := range x.Resources {
		var v map[string]any
		if err := json.Unmarshal(r.JSON, &v); err != nil {
			t.Fatal(err)
		}
		if r.Type == "Basic" {
			continue
		}
		delete(v, "text")
		delete(v, "extension")
		text, err := json.Marshal(v)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, string(text))
	}
	slices.Sort(out)
	return strings.Join(out, "\n")
}
