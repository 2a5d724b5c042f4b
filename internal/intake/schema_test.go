package intake_test

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"github.com/santhosh-tekuri/jsonschema/v6"

	"cotline/handover/entry"
	"cotline/internal/intake"
	"cotline/internal/ward"
)

// compiled is the schema as an independent validator of draft 2020-12 reads it;
// the validator holds it to the meta-schema first.
func compiled(t testing.TB) *jsonschema.Schema {
	t.Helper()
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(intake.Schema()))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	c.DefaultDraft(jsonschema.Draft2020)
	c.AssertFormat()
	if err := c.AddResource("entry.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("entry.json")
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func validates(t testing.TB, s *jsonschema.Schema, line string) error {
	t.Helper()
	v, err := jsonschema.UnmarshalJSON(strings.NewReader(line))
	if err != nil {
		t.Fatal(err, line)
	}
	return s.Validate(v)
}

// Whatever is taken is valid by the schema.
func TestSchemaTakesWhatIsTaken(t *testing.T) {
	s := compiled(t)
	_, demo := ward.Demo()
	all := bytes.SplitAfter(demo, []byte("\n"))
	for seed := range uint64(3) {
		all = append(all, lines(seed, 9, 3)...)
	}
	kinds := map[string]bool{}
	for _, l := range all {
		if len(l) == 0 {
			continue
		}
		o := ndjson(t, bytes.NewReader(l))
		if len(o.Issues) > 0 {
			t.Fatal(o.Issues)
		}
		kinds[o.Entries[0].Kind] = true
		if err := validates(t, s, string(l)); err != nil {
			t.Fatalf("%s%v", l, err)
		}
	}
	if len(kinds) != len(entry.Kinds) {
		t.Errorf("%d of %d kinds looked at", len(kinds), len(entry.Kinds))
	}
}

const head = `{"id":"00000000-0000-4000-8000-000000000001","infant":"a","at":"2026-10-24T12:00:00+02:00","by":"rn-agate","kind":`

// Whatever the schema can say, both refuse.
func TestSchemaRefuses(t *testing.T) {
	s := compiled(t)
	for name, own := range map[string]string{
		"unknown kind":      `"feeding"}`,
		"unknown field":     `"weight","weightG":1000,"x":1}`,
		"missing":           `"weight"}`,
		"type":              `"weight","weightG":"1000"}`,
		"range":             `"weight","weightG":10001}`,
		"whole":             `"observations","silverman":{"chest":1.5}}`,
		"word":              `"interface","type":"hood"}`,
		"required by other": `"support","state":"started"}`,
		"one of":            `"admission","born":"2026-10-24","cot":"1"}`,
		"both of one":       `"admission","born":"2026-10-24","cot":"1","mrn":"1","temporary":"x"}`,
		"any of":            `"identity"}`,
		"list item":         `"skin","sites":[{"site":"septum"}]}`,
		"empty list":        `"skin","sites":[]}`,
		"word twice":        `"episode","recovered":"touched","signs":["apnoea","apnoea"]}`,
		"empty text":        `"note","text":""}`,
		"long text":         `"note","text":"` + strings.Repeat("x", 4001) + `"}`,
		"gestation":         `"identity","gestation":"26+7"}`,
		"interval":          `"plan","what":"skin","every":"","reason":"x"}`,
		"moment":            `"task","text":"x","dueAt":"2026-10-24 12:00"}`,
		"null":              `"weight","weightG":null}`,
		"corrected " +
			"kind": `"correction","of":"00000000-0000-4000-8000-000000000002","reason":"x","entry":{"kind":"retraction",` +
			`"at":"2026-10-24T12:00:00+02:00"}}`,
		"corrected " +
			"field": `"correction","of":"00000000-0000-4000-8000-000000000002","reason":"x","entry":{"kind":"weight",` +
			`"at":"2026-10-24T12:00:00+02:00","weightG":1}}`,
	} {
		t.Run(name, func(t *testing.T) {
			if err := validates(t, s, head+own); err == nil {
				t.Error("valid by the schema")
			}
			if o := ndjson(t, strings.NewReader(head+own)); len(o.Issues) == 0 {
				t.Error("taken")
			}
		})
	}
}

// A kind is data: one that is put in the table is decoded, kept and described
// without another line of code.
func TestInventedKind(t *testing.T) {
	before := entry.Kinds
	defer func() { entry.Kinds = before }()
	entry.Kinds = append(before[:len(before):len(before)], entry.Kind{Name: "lullaby", Label: "Lullaby", Fields: []entry.Spec{
		{Name: "verses", Label: "Verses", Type: entry.Whole, Min: "1", Max: "9", Required: true},
		{Name: "key", Label: "Key", Type: entry.Word, Words: []string{"major", "minor"}},
	}})
	s := compiled(t)
	for own, good := range map[string]bool{
		`"lullaby","verses":3,"key":"minor"}`: true, `"lullaby","key":"minor"}`: false,
		`"lullaby","verses":10}`: false, `"lullaby","verses":3,"key":"sharp"}`: false,
	} {
		o := ndjson(t, strings.NewReader(head+own))
		if got := len(o.Issues) == 0; got != good {
			t.Errorf("%s: %v", own, o.Issues)
		}
		if err := validates(t, s, head+own); (err == nil) != good {
			t.Errorf("%s: %v", own, err)
		}
		if good {
			want := `{"id":"00000000-0000-4000-8000-000000000001","infant":"a","kind":"lullaby","at":"2026-10-24T12:00:00+02:00",` +
				`"by":"rn-agate","verses":3,"key":"minor"}`
			if got := string(o.Entries[0].AppendCanonical(nil)); got != want {
				t.Errorf("got %s", got)
			}
		}
	}
}

// The same table makes the same bytes.
func TestSchemaIsStable(t *testing.T) {
	if !bytes.Equal(intake.Schema(), intake.Schema()) {
		t.Error("two schemas")
	}
	for _, k := range entry.Kinds {
		if !bytes.Contains(intake.Schema(), fmt.Appendf(nil, "%q", k.Name)) {
			t.Errorf("no %s", k.Name)
		}
	}
}
