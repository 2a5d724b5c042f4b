package read_test

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/fhir/internal/r4"
	"cotline/fhir/read"
	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/intake"
)

// readable are files of each sort that is read: an export of one infant, what a
// hospital sends, and resources one a line.
func readable(t testing.TB) (own []byte, hospital string, lines string) {
	t.Helper()
	entries := fixture.Entries(t, []byte(`{"id":"0a5e0001-0000-4000-8000-000000000001","infant":"in-d","kind":"admission",`+
		`"at":"2026-03-01T08:00:00+01:00","by":"rn-dune","born":"2026-03-01","cot":"7","mrn":"0044"}
{"id":"0a5e0001-0000-4000-8000-000000000002","infant":"in-d","kind":"weight","at":"2026-03-01T09:00:00+01:00","by":"rn-dune","weightG":1180}`))
	x, err := fhir.New(handover.Ward{Entries: entries, Policy: fixture.WardPolicy(t)}, fhir.Ask{At: readAt, Known: readAt})
	if err != nil {
		t.Fatal(err)
	}
	if own, err = x.Collection(); err != nil {
		t.Fatal(err)
	}
	patient := `{"resourceType":"Patient","id":"5","identifier":[{"system":"https://moonwort.example/id/hospital-number",` +
		`"value":"0045"}],"name":[{"family":"Reed"}],"birthDate":"2026-02-19","gender":"female"}`
	encounter := `{"resourceType":"Encounter","id":"7","status":"in-progress","class":{"code":"IMP"},` +
		`"subject":{"reference":"Patient/5"},"period":{"start":"2026-03-01T08:00:00+01:00"}}`
	withdrawn := strings.Replace(foreignObservation, `"final"`, `"entered-in-error"`, 1)
	hospital = `{"resourceType":"Bundle","type":"collection","entry":[{"resource":` + patient + `},{"resource":` + encounter +
		`},{"resource":` + foreignObservation + `}]}`
	return own, hospital, strings.Join([]string{foreignObservation, withdrawn, strings.Replace(patient, "0045", "0042", 1)}, "\n")
}

// What a reading is asked for, in the bits of one byte.
const (
	asLines = 1 << iota
	admitting
	identifying
)

// readAs reads a file as it is asked.
func readAs(g read.Given, text []byte, asked byte) read.Read {
	if asked&admitting != 0 {
		g.Admit, g.Cot = "in-n", "9"
	}
	if asked&identifying != 0 {
		g.Identify = []string{"in-a"}
	}
	var r read.Resources
	if asked&asLines == 0 {
		r.JSON(1, text)
		return r.Read(g)
	}
	for n, line := range bytes.Split(text, []byte("\n")) {
		if len(bytes.TrimSpace(line)) > 0 {
			r.Line(n+1, line)
		}
	}
	return r.Read(g)
}

// rewritten is a text with other text in the place of so many of its words, and of
// what stands between them.
func rewritten(text []byte, from, over byte, put string) []byte {
	words := fixture.Word.FindAllIndex(text, -1)
	if len(words) == 0 {
		return text
	}
	first := int(from) % len(words)
	last := min(first+int(over), len(words)-1)
	return slices.Concat(text[:words[first][0]], []byte(put), text[words[last][1]:])
}

// Whatever is offered, reading ends in issues that fit a line each, and then nothing
// is taken; or in entries that keep every rule of the record, or are refused by
// it. What was taken is held when the same comes again, and comes back the same
// from an export of the record.
//
// What is mutated is short, for long texts are whittled down byte by byte and
// little else is done: two places of a file, and what is written there instead.
func FuzzRead(f *testing.F) {
	own, hospital, lines := readable(f)
	files := [][]byte{own, []byte(hospital), []byte(lines)}
	for file := range byte(3) {
		for _, asked := range []byte{0, asLines, admitting, identifying} {
			f.Add(file, asked, byte(0), byte(0), `"resourceType"`, byte(9), byte(0), `"id"`)
		}
	}
	f.Add(byte(1), byte(0), byte(30), byte(1), `"amended"`, byte(40), byte(2), `{"reference":"#p"}`)
	f.Add(byte(2), byte(asLines), byte(9), byte(200), `1e9`, byte(1), byte(1), ``)
	g := given(f)
	f.Fuzz(func(t *testing.T, file, asked, from, over byte, put string, from2, over2 byte, put2 string) {
		text := rewritten(rewritten(files[int(file)%len(files)], from, over, put), from2, over2, put2)
		holdRead(t, g, text, asked)
	})
}

func holdRead(t *testing.T, g read.Given, text []byte, asked byte) {
	t.Helper()
	read := readAs(g, text, asked)
	for _, i := range slices.Concat(read.Issues, read.Aside) {
		if s := i.String(); i.Code == "" || strings.ContainsAny(s, "\n\r\x1b\x00") || len(s) > 4000 {
			t.Errorf("not fit for a line: %q", s)
		}
	}
	offer := intake.Offer{Entries: read.Entries, Issues: read.Issues}
	fresh, issues := offer.Judge(g.Held, g.Policy, g.Policy.ClockTolerance, g.Now)
	if len(read.Issues) > 0 && len(fresh) > 0 {
		t.Errorf("refused, and yet taken: %v", fresh)
	}
	if len(issues) > 0 || len(fresh) == 0 {
		return
	}
	g.Held = append(slices.Clone(g.Held.(holding)), fresh...)
	again := readAs(g, text, asked)
	if twice, issues := (intake.Offer{Entries: again.Entries, Issues: again.Issues}).Judge(g.Held, g.Policy, g.Policy.ClockTolerance,
		g.Now); len(twice) > 0 || len(issues) > 0 {
		t.Errorf("the same again: %d new, %v", len(twice), issues)
	}
	holdExported(t, g, fresh)
}

// holdExported exports a record and reads it back.
func holdExported(t *testing.T, g read.Given, fresh []*entry.Entry) {
	t.Helper()
	x, err := fhir.New(handover.Ward{Entries: g.Held.(holding), Policy: g.Policy}, fhir.Ask{At: g.Now, Known: g.Now})
	if err != nil {
		t.Fatal(err)
	}
	out, err := x.Collection()
	if err != nil {
		t.Fatal(err)
	}
	back := map[string]string{}
	read := readJSON(out, read.Given{Policy: g.Policy})
	for _, e := range read.Entries {
		back[e.ID] = string(e.AppendStamped(nil))
	}
	if len(read.Issues) > 0 {
		t.Fatalf("%v", read.Issues)
	}
	sent := func(infant string) bool {
		return slices.ContainsFunc(x.Resources, func(r *r4.Resource) bool { return r.Type == "Patient" && r.Infant == infant })
	}
	for _, e := range fresh {
		if e.Infant == "" || !sent(e.Infant) || e.At.After(g.Now) || e.Charted.After(g.Now) {
			continue // what is not yet so is not exported
		}
		if got, want := back[e.ID], string(e.AppendStamped(nil)); got != want {
			t.Errorf("taken\n%s\nread back as\n%s", want, got)
		}
	}
}
