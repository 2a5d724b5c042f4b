package fhir_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/handover"
)

// R4: Flag.period ends when the flag became inactive, Task.lastModified is when the Task
// was changed. Neither is when a receiver asked: whoever asks, however often, is told the
// same.
func TestWhatEndedEndedWhenItDid(t *testing.T) {
	const ward = `{"id":"0a5e0008-0000-4000-8000-000000000001","infant":"in-a","kind":"admission","at":"2026-03-01T08:00:00+01:00",` +
		`"by":"rn-dune","born":"2026-03-01","cot":"1","mrn":"77"}
{"id":"0a5e0008-0000-4000-8000-000000000002","infant":"in-b","kind":"admission","at":"2026-03-01T08:00:00+01:00","by":"rn-dune","born":"2026-02-01","cot":"2","mrn":"8123"}
{"id":"0a5e0008-0000-4000-8000-000000000003","infant":"in-a","kind":"support","at":"2026-03-01T08:10:00+01:00","by":"rn-dune","state":"started","mode":"cpap","driver":"ax-1"}
{"id":"0a5e0008-0000-4000-8000-000000000004","infant":"in-b","kind":"support","at":"2026-03-01T08:20:00+01:00","by":"rn-dune","state":"started","mode":"cpap","driver":"ax-1"}
{"id":"0a5e0008-0000-4000-8000-000000000005","infant":"in-a","kind":"skin","at":"2026-03-01T08:20:00+01:00","by":"rn-dune","sites":[{"site":"bridge","finding":"intact"}]}
`
	entry := func(n int, at, charted, rest string) string {
		return fmt.Sprintf(`{"id":"0a5e0008-0000-4000-8000-0000000001%02d","infant":"in-b","at":"2026-03-01T%s:00+01:00",`+
			`"charted":"2026-03-01T%s:00+01:00","by":"rn-dune",%s}`+"\n", n, at, charted, rest)
	}
	changed := `"kind":"support","state":"changed","driver":"ax-2"`
	seen := entry(90, "11:10", "11:10", `"kind":"observations","spo2Percent":93`)
	taken := `"kind":"retraction","of":"0a5e0008-0000-4000-8000-000000000004","reason":"the other twin"`
	corrected := `"kind":"correction","of":"0a5e0008-0000-4000-8000-000000000004","reason":"read again","entry":{"kind":"support",` +
		`"at":"2026-03-01T08:20:00+01:00","state":"started","mode":"cpap","driver":"ax-2"}`
	again := entry(2, "11:05", "11:05", `"kind":"support","state":"changed","driver":"ax-1"`) + entry(3, "11:08", "11:08", changed)
	for _, c := range []struct{ name, more, end string }{
		{"another driver", entry(1, "11:00", "11:00", changed), "11:00"},
		{"charted late", entry(1, "11:00", "11:02", changed), "11:00"},
		{"discharged", entry(1, "11:00", "11:00", `"kind":"discharge","to":"ward"`), "11:00"},
		{"withdrawn", entry(1, "11:00", "11:03", taken), "11:03"},
		{"corrected", entry(1, "11:00", "11:03", corrected), "11:03"},
		{"so again, and over again", entry(1, "11:00", "11:00", changed) + again, "11:08"},
	} {
		w := handover.Ward{Entries: fixture.Entries(t, []byte(ward+c.more+seen)), Policy: fixture.SendingAll(t)}
		told := map[string]string{}
		for _, asked := range [][]string{{"11:30"}, {"12:45"}, {"11:09", "11:30"}, {"10:59", "11:04", "11:06", "11:15"},
			{"10:00", "11:01", "11:07", "12:00"}} {
			since, ended := fixture.Moment(t, "2026-03-01T09:00:00+01:00"), map[string]string{}
			for _, clock := range asked {
				at := fixture.Moment(t, "2026-03-01T"+clock+":00+01:00")
				for _, r := range fixture.Delta(t, w, since, fhir.Ask{At: at, Known: at}).Resources {
					if r.Type == "Flag" {
						ended[r.Infant] = string(r.JSON)
					}
				}
				since = at
			}
			if len(ended) != 2 {
				t.Errorf("%s, asked at %s: %d Flags", c.name, asked, len(ended))
			}
			for infant, flag := range ended {
				if !strings.Contains(flag, `"status":"inactive"`) || !strings.Contains(flag, `"end":"2026-03-01T`+c.end+`:00+01:00"`) {
					t.Errorf("%s, asked at %s: ended at %s, told %s", c.name, asked, c.end, flag)
				}
				if told[infant] == "" {
					told[infant] = flag
				}
				if flag != told[infant] {
					t.Errorf("%s, asked at %s: told otherwise: %s\n%s", c.name, asked, flag, told[infant])
				}
			}
		}
	}
}

// What was due is done by what ended it, though the same was done again before a
// receiver asked; cancelled when what called it off was written down.
func TestWhatWasDueIsOverOnce(t *testing.T) {
	done := `{"id":"0a5e0002-0000-4000-8000-000000000011","infant":"in-a","kind":"observations","at":"2026-03-01T10:00:00+01:00",` +
		`"by":"rn-dune","spo2Percent":93}
{"id":"0a5e0002-0000-4000-8000-000000000012","infant":"in-a","kind":"observations","at":"2026-03-01T11:10:00+01:00","by":"rn-dune","spo2Percent":92}
`
	gone := `{"id":"0a5e0002-0000-4000-8000-000000000013","infant":"in-a","kind":"discharge","at":"2026-03-01T10:00:00+01:00",` +
		`"charted":"2026-03-01T10:02:00+01:00","by":"rn-dune","to":"ward"}
`
	for _, c := range []struct {
		name, more string
		want       []string
	}{
		{"done", done, []string{`"status":"completed"`, `"executionPeriod":{"end":"2026-03-01T10:00:00+01:00"}`,
			`"lastModified":"2026-03-01T10:00:00+01:00"`}},
		{"discharged", gone, []string{`"status":"cancelled"`, `"lastModified":"2026-03-01T10:02:00+01:00"`}},
	} {
		for _, later := range []time.Duration{15 * time.Minute, 90 * time.Minute, 5 * time.Hour} {
			since := fixture.Moment(t, "2026-03-01T09:50:00+01:00")
			d := fixture.Delta(t, fixture.TwinWard(t, c.more), since, fhir.Ask{At: since.Add(later), Known: since.Add(later)})
			want := append([]string{`"code":"due-observations"`, `"intent":"plan"`, `"authoredOn":"2026-03-01T09:30:00+01:00"`}, c.want...)
			one(t, ofType(d, "Task", "in-a"), want...)
		}
	}
}

// A safety check that left out one of the unit's items does not do what was due; a look
// at chamber or water does, a state of the humidifier alone does not.
func TestWhatDoesWhatIsLookedAt(t *testing.T) {
	const at = "2026-03-02T09:00:00+01:00"
	entry := func(n int, clock, rest string) string {
		return fmt.Sprintf(`{"id":"0a5e0002-0000-4000-8000-0000000000%d","infant":"in-a","at":"2026-03-02T%s:00+01:00","by":"rn-dune",%s}`+
			"\n", n, clock, rest)
	}
	items := func(names []string) string {
		var out []string
		for _, name := range names {
			out = append(out, fmt.Sprintf(`{"item":%q,"ok":true}`, name))
		}
		return `"kind":"safety","items":[` + strings.Join(out, ",") + `]`
	}
	list := fixture.SendingAll(t).Checks
	if len(list) < 2 {
		t.Fatal("the policy has no list of items")
	}
	whole, some := items(list), items(list[1:])
	for _, c := range []struct{ name, what, more, done string }{
		{"a whole check", "safety", entry(41, "08:10", some) + entry(42, "08:20", whole) + entry(43, "08:30", some), "08:20"},
		{"the chamber", "humidifier", entry(41, "08:10", `"kind":"humidifier","state":"ready"`) + entry(42, "08:20",
			`"kind":"humidifier","chamberC":36.8`), "08:20"},
		{"the water", "humidifier", entry(41, "08:15", `"kind":"humidifier","water":"ok"`), "08:15"},
	} {
		w := fixture.TwinWard(t, c.more)
		ask := fhir.Ask{At: fixture.Moment(t, at), Known: fixture.Moment(t, at)}
		d := fixture.Delta(t, w, fixture.Moment(t, "2026-03-02T08:00:00+01:00"), ask)
		found := 0
		for _, r := range d.Resources {
			if s := string(r.JSON); r.Type == "Task" && r.Infant == "in-a" && strings.Contains(s, `"code":"due-`+c.what+`"`) {
				found++
				if !strings.Contains(s, `"status":"completed"`) ||
					!strings.Contains(s, `"executionPeriod":{"end":"2026-03-02T`+c.done+`:00+01:00"}`) {
					t.Errorf("%s: want done at %s, told %s", c.name, c.done, s)
				}
			}
		}
		if found != 1 {
			t.Errorf("%s: %d Tasks", c.name, found)
		}
	}
}

// Why an infant is on support stands beside the wear of its driver, too.
func TestWhyOnSupport(t *testing.T) {
	w := fixture.TwinWard(t, `{"id":"0a5e0002-0000-4000-8000-000000000044","infant":"in-a","kind":"support",`+
		`"at":"2026-03-01T10:00:00+01:00","by":"rn-dune","state":"changed","driver":"ax-9","why":"breath held at rest"}`)
	at := fixture.Moment(t, "2026-03-01T11:00:00+01:00")
	for _, r := range fixture.Export(t, w, fhir.Ask{At: at, Known: at}).Resources {
		if r.Type == "DeviceUseStatement" && strings.Contains(string(r.JSON), `"start":"2026-03-01T10:00:00+01:00"`) {
			if want := `"reasonCode":[{"text":"breath held at rest"}]`; !strings.Contains(string(r.JSON), want) {
				t.Errorf("%s is missing in %s", want, r.JSON)
			}
			return
		}
	}
	t.Error("the driver has no period of use")
}
