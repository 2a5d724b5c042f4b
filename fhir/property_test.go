package fhir_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/uuid"
	"pgregory.net/rapid"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/handover"
	"cotline/handover/entry"
)

// Any record that keeps the table of kinds yields a sound bundle: the properties
// are checked on the bytes, apart from the checker that guards the way out.
func TestAnyRecord(t *testing.T) {
	policies := []*handover.Policy{fixture.WardPolicy(t), fixture.SendingAll(t)}
	rapid.Check(t, func(t *rapid.T) {
		policy := policies[rapid.IntRange(0, 1).Draw(t, "policy")]
		entries := anyEntries(t)
		at := start.Add(time.Duration(30*60-rapid.IntRange(0, 31*60).Draw(t, "at")) * time.Minute)
		known := start.Add(time.Duration(40*60-rapid.IntRange(0, 41*60).Draw(t, "known")) * time.Minute)
		w := handover.Ward{Entries: entries, Policy: policy}
		x, err := fhir.New(w, fhir.Ask{At: at, Known: known})
		if err != nil {
			t.Fatal(err)
		}
		out, err := x.Transaction(fhir.Put)
		if err != nil {
			t.Fatalf("%v\n%s", err, lines(entries))
		}
		shuffled := rapid.Permutation(entries).Draw(t, "order")
		again, err := fhir.New(handover.Ward{Entries: shuffled, Policy: policy}, fhir.Ask{At: at, Known: known})
		if err != nil {
			t.Fatal(err)
		}
		if b, err := again.Transaction(fhir.Put); err != nil || !bytes.Equal(b, out) {
			t.Fatalf("other bytes from the same entries (%v)", err)
		}
		holdProperties(t, out)
		holdCharted(t, out, x.Held, entry.Replay(entries, known), at)
	})
}

// The same of the invented wards, whose records read like a nurse's.
func TestRandomWards(t *testing.T) {
	for seed := range fixture.Seeds(0, 2) {
		w, last := fixture.Random(t, seed, 3, 2)
		for _, back := range []time.Duration{0, 7 * time.Hour, 31 * time.Hour} {
			at := last.Add(-back)
			x, err := fhir.New(w, fhir.Ask{At: at, Known: last})
			if err != nil {
				t.Fatal(err)
			}
			out, err := x.Transaction(fhir.Put)
			if err != nil {
				t.Fatal(err)
			}
			holdProperties(t, out)
			holdCharted(t, out, x.Held, entry.Replay(w.Entries, last), at)
		}
	}
}

type bundleForm struct {
	Entry []struct {
		FullURL  string          `json:"fullUrl"`
		Resource json.RawMessage `json:"resource"`
	}
}

var (
	referenceForm = regexp.MustCompile(`"reference":"([^"]*)"`)
	timeForm      = regexp.MustCompile(`^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?(Z|[+-]\d\d:\d\d)$`)
	timed         = regexp.MustCompile(`"(\d{4}-\d\d-\d\dT[^"]*)"`)
	carriedText   = regexp.MustCompile(`"valueString":"\{(?:[^"\\]|\\.)*"`) // an entry's own JSON, within a string
	numberForm    = regexp.MustCompile(`^-?(0|[1-9]\d*)(\.\d+)?$`)
	dangerous     = regexp.MustCompile(`"0001-01-01|":null|":""|":\{\}|":\[\]|<unknown>|\\u003c`)
)

func holdProperties(t fixture.Fataler, out []byte) {
	t.Helper()
	var b bundleForm
	if err := json.Unmarshal(out, &b); err != nil {
		t.Fatalf("%v", err)
	}
	out = carriedText.ReplaceAll(out, []byte(`"valueString":"x"`))
	urls := map[string]bool{}
	identities := map[string]bool{}
	for _, e := range b.Entry {
		urls[e.FullURL] = true
		var r struct {
			ResourceType, ID string
			Identifier       []struct{ System, Value string }
		}
		if err := json.Unmarshal(e.Resource, &r); err != nil {
			t.Fatalf("%v", err)
		}
		if !bytes.HasPrefix(e.Resource, []byte(`{"resourceType":"`)) {
			t.Fatalf("resourceType is not first: %.60s", e.Resource)
		}
		id := r.ResourceType + " " + r.ID
		if r.ResourceType != "Provenance" { // which has none
			id = fmt.Sprintf("%s %v", r.ResourceType, r.Identifier[0])
		}
		if identities[id] {
			t.Fatalf("identity twice: %s", id)
		}
		identities[id] = true
	}
	if len(urls) != len(b.Entry) {
		t.Fatalf("%d fullUrls of %d entries", len(urls), len(b.Entry))
	}
	for _, m := range referenceForm.FindAllSubmatch(out, -1) {
		if !urls[string(m[1])] {
			t.Fatalf("a reference to nothing: %s", m[1])
		}
	}
	for _, m := range timed.FindAllSubmatch(out, -1) {
		if !timeForm.Match(m[1]) {
			t.Fatalf("a time without seconds or offset: %s", m[1])
		}
	}
	if m := dangerous.Find(out); m != nil {
		t.Fatalf("%s in the bundle", m)
	}
	d := json.NewDecoder(bytes.NewReader(out))
	d.UseNumber()
	for tok, err := d.Token(); err == nil; tok, err = d.Token() {
		if n, ok := tok.(json.Number); ok && !numberForm.MatchString(n.String()) {
			t.Fatalf("number %s", n)
		}
	}
}

// holdCharted finds every plain number of the entries of present stays again, to
// the digit, with its moment and status.
func holdCharted(t fixture.Fataler, out []byte, held []fhir.Held, records *entry.Records, at time.Time) {
	t.Helper()
	var b bundleForm
	if err := json.Unmarshal(out, &b); err != nil {
		t.Fatalf("%v", err)
	}
	type observation struct {
		Status            string
		Identifier        []struct{ Value string }
		EffectiveDateTime string
		ValueQuantity     struct{ Value json.Number }
	}
	found := map[string]observation{}
	for _, e := range b.Entry {
		var o observation
		_ = json.Unmarshal(e.Resource, &o) // other types have other values
		if len(o.Identifier) > 0 {
			found[o.Identifier[0].Value] = o
		}
	}
	for _, r := range records.Infants {
		stay := r.Admitted(at)
		if stay == nil || slices.ContainsFunc(held, func(h fhir.Held) bool { return h.Infant == r.Infant }) {
			continue
		}
		for _, e := range r.Of(stay, at) {
			switch e.Kind {
			case "settings", "observations", "weight", "head":
			default:
				continue
			}
			for _, f := range e.Fields {
				if f.Value.Type != entry.NumberValue {
					continue
				}
				o, ok := found[e.ID+"."+f.Name]
				status := "final"
				if e.Correction != nil {
					status = "corrected"
				}
				if !ok || o.ValueQuantity.Value.String() != f.Value.Text || o.Status != status {
					t.Fatalf("%s of %s: charted %s, %s; sent %+v", f.Name, e.ID, f.Value.Text, status, o)
				}
				sent, err := time.Parse(time.RFC3339Nano, o.EffectiveDateTime)
				if err != nil || !sent.Equal(e.At.Time) {
					t.Fatalf("%s of %s: at %s, sent %s", f.Name, e.ID, e.At.Text, o.EffectiveDateTime)
				}
			}
		}
		for _, e := range r.Withdrawn {
			for id, r := range found {
				ended := r.Status == "entered-in-error" || r.Status == "cancelled"    // so a Task ends
				if strings.HasPrefix(id, e.ID+".") && id != e.ID+".entry" && !ended { // .entry carries the retraction too
					t.Fatalf("a withdrawn entry was sent: %s", id)
				}
			}
		}
	}
}

// --- generators: entries by the table of kinds ---

var start = time.Date(2026, 10, 24, 20, 0, 0, 0, time.UTC) // the night in which the clock goes back in Europe

func someMoment(t *rapid.T, label string) time.Time {
	return start.Add(time.Duration(rapid.IntRange(-30, 30*60).Draw(t, label)) * time.Minute)
}

func momentText(t *rapid.T, at time.Time) string {
	offset := rapid.SampledFrom([]int{0, 1, 2, -5}).Draw(t, "offset")
	form := rapid.SampledFrom([]string{"2006-01-02T15:04:05Z07:00", "2006-01-02T15:04:05-07:00", "2006-01-02T15:04:05.000Z07:00"}).
		Draw(t, "form")
	return at.In(time.FixedZone("", offset*3600)).Format(form)
}

func anyEntries(t *rapid.T) []*entry.Entry {
	var out []*entry.Entry
	n := 0
	add := func(infant, kind string, at time.Time, fields map[string]any) *entry.Entry {
		n++
		line := map[string]any{"id": uuid.NewSHA1(uuid.NameSpaceOID, fmt.Append(nil, n)).String(), "kind": kind, "at": momentText(t, at),
			"by": "rn-dune"}
		if infant != "" {
			line["infant"] = infant
		}
		if charted := rapid.IntRange(0, 300).Draw(t, "late"); charted > 200 {
			line["charted"] = momentText(t, at.Add(time.Duration(charted)*time.Minute))
		}
		for k, v := range fields {
			line[k] = v
		}
		e := entryOf(t, line)
		if !e.Offered {
			e.Charted = e.At
		}
		out = append(out, e)
		return e
	}
	for _, infant := range []string{"in-a", "in-b"}[:rapid.IntRange(1, 2).Draw(t, "infants")] {
		fields := anyFields(t, "admission")
		delete(fields, "temporary")
		fields["mrn"] = "0" + infant
		if rapid.Bool().Draw(t, "unnumbered") {
			delete(fields, "mrn")
			fields["temporary"] = "a & b"
		}
		admission := add(infant, "admission", start, fields)
		switch rapid.IntRange(0, 14).Draw(t, "admission amended") {
		case 0:
			again := maps.Clone(fields)
			again["kind"], again["at"] = "admission", momentText(t, someMoment(t, "corrected"))
			add(infant, "correction", someMoment(t, "seen"), map[string]any{"of": admission.ID, "reason": anyText(t), "entry": again})
		case 1:
			add(infant, "retraction", someMoment(t, "seen"), map[string]any{"of": admission.ID, "reason": anyText(t)})
		}
		for range rapid.IntRange(0, 24).Draw(t, "entries") {
			kind := rapid.SampledFrom(charted).Draw(t, "kind")
			e := add(infant, kind, someMoment(t, "when"), anyFields(t, kind))
			switch rapid.IntRange(0, 9).Draw(t, "amended") {
			case 0, 1:
				entry := anyFields(t, kind)
				entry["kind"], entry["at"] = kind, momentText(t, someMoment(t, "corrected"))
				add(infant, "correction", e.At.Time, map[string]any{"of": e.ID, "reason": anyText(t), "entry": entry})
			case 2:
				add(infant, "retraction", e.At.Time, map[string]any{"of": e.ID, "reason": anyText(t)})
			}
		}
	}
	return out
}

// charted are the kinds that an infant's stay is made of.
var charted = func() []string {
	var out []string
	for _, k := range entry.Kinds {
		if k.Ward == entry.OfInfant && k.Name != "admission" {
			out = append(out, k.Name)
		}
	}
	// Support and interface often, for spells and wear periods.
	return append(out, "support", "support", "interface", "interface", "settings", "observations", "tube", "note", "discharge")
}()

func entryOf(t *rapid.T, line map[string]any) *entry.Entry {
	text, err := json.Marshal(line)
	if err != nil {
		t.Fatal(err)
	}
	v, issues := entry.ParseJSON(text)
	if len(issues) > 0 {
		t.Fatalf("%s: %v", text, issues)
	}
	e, issues := entry.Decode(v)
	if len(issues) > 0 {
		t.Skipf("%s: %v", text, issues) // fields that do not go together
	}
	return &e
}

func anyFields(t *rapid.T, kind string) map[string]any {
	k, _ := entry.KindOf(kind)
	return anyObject(t, k.Fields)
}

func anyObject(t *rapid.T, specs []entry.Spec) map[string]any {
	out := map[string]any{}
	for i := range specs {
		s := &specs[i]
		if s.Required || s.When.Field != "" && slices.Contains(s.When.Is, fmt.Sprint(out[s.When.Field])) || rapid.Bool().Draw(t, s.Name) {
			out[s.Name] = anyValue(t, s, s.Type)
		}
	}
	return out
}

func anyText(t *rapid.T) string {
	return rapid.SampledFrom([]string{"plain", "a < b & c > d", `"quoted" \ 'single'`, "]]> <script>x</script>", "é 👶 ₂", "=1+1",
		"e\u0301", " x "}).Draw(t, "text")
}

func anyNumber(t *rapid.T, s *entry.Spec) json.Number {
	low, high := 0, 100
	fmt.Sscan(s.Min, &low)
	fmt.Sscan(s.Max, &high)
	n := fmt.Sprint(rapid.IntRange(low+min(1, high-low), max(low+min(1, high-low), high-1)).Draw(t, s.Name))
	if s.Type == entry.Number && s.Item == 0 {
		n += rapid.SampledFrom([]string{"", ".0", ".50", ".125"}).Draw(t, "decimals")
	}
	return json.Number(n)
}

func anyValue(t *rapid.T, s *entry.Spec, typ entry.Type) any {
	switch typ {
	case entry.Text:
		return anyText(t)
	case entry.Word:
		return rapid.SampledFrom(s.Words).Draw(t, s.Name)
	case entry.Number, entry.Whole:
		return anyNumber(t, s)
	case entry.Flag:
		return rapid.Bool().Draw(t, s.Name)
	case entry.Instant:
		return momentText(t, someMoment(t, s.Name))
	case entry.Birth:
		return rapid.SampledFrom([]string{"2026-10-24", "2026-10-24T18:00:00+02:00", "2026-10-24T23:30:00Z"}).Draw(t, "born")
	case entry.Key:
		return "rn-dune"
	case entry.Reference:
		return uuid.NewSHA1(uuid.NameSpaceOID, []byte("nothing")).String()
	case entry.Gestation:
		return rapid.SampledFrom([]string{"26", "27+0", "31+6"}).Draw(t, "gestation")
	case entry.Interval:
		return "4h"
	case entry.Object:
		return anyObject(t, s.Of)
	case entry.List:
		var out []any
		used := map[string]bool{}
		for range rapid.IntRange(1, 4).Draw(t, s.Name) {
			var x any
			key := ""
			if s.Of != nil {
				o := anyObject(t, s.Of)
				key, x = fmt.Sprint(o[s.Unique]), o
			} else {
				item := *s
				item.Type, item.Item = s.Item, 0
				x = anyValue(t, &item, s.Item)
				key = fmt.Sprint(x)
			}
			if (s.Unique != "" || s.Item == entry.Word) && used[key] {
				continue
			}
			used[key] = true
			out = append(out, x)
		}
		return out
	}
	panic(fmt.Sprintf("no generator for %s", s.Name))
}

func lines(entries []*entry.Entry) string {
	var b []byte
	for _, e := range entries {
		b = append(e.AppendCanonical(b), '\n')
	}
	return string(b)
}
