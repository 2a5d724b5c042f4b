package fhir_test

import (
	"strings"
	"testing"
	"time"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/handover"
	"cotline/internal/wardtest"
)

// Wholes, and wholes with differences between them, each a moment before something was
// corrected, taken back, moved to another infant or charted late: a receiver holds nothing
// open that is not so.
func TestWholesEndWhatWasTakenBack(t *testing.T) {
	ended := map[string]int{}
	for seed := range fixture.Seeds(20, 4) {
		w, last := fixture.Random(t, seed, 4, 2)
		w.Policy = fixture.SendingAll(t)
		var moments []time.Time
		end := last.Add(26 * time.Hour) // all is written down
		w.Entries, moments = wardtest.Shaken(t, w.Entries, seed, end.Add(-w.Policy.FHIR.Left))
		held, mixed := receiver{}, receiver{}
		var whole *fhir.Export // of the moment
		for n, m := range append(moments, end) {
			whole = fixture.Export(t, w, fhir.Ask{At: m, Known: m})
			held.take(t, whole)
			if n%3 > 0 {
				mixed.take(t, fixture.Delta(t, w, moments[n-1], fhir.Ask{At: m, Known: m}))
			} else {
				mixed.take(t, whole)
			}
			holdNothingOpen(t, w, mixed, whole, m, "wholes and differences")
		}
		holdNothingOpen(t, w, held, whole, end, "whole after whole")
		for key, s := range held {
			if kind, _, _ := strings.Cut(key, "/"); strings.Contains(s, `entered-in-error"`) || strings.Contains(s, `"Withdrawn: `) {
				ended[kind]++
			}
		}
	}
	t.Log(ended)
	for _, kind := range []string{"DeviceUseStatement", "Device", "Encounter", "Task", "DeviceMetric"} {
		if ended[kind] == 0 {
			t.Errorf("no %s was taken back", kind)
		}
	}
}

// An infant who was admitted in error under another one's number: once that was taken back,
// all that had stood open ends, without a second Patient of the number.
func TestAnAdmissionTakenBackEndsAllOfIt(t *testing.T) {
	line := func(n, at, infant, rest string) string {
		return `{"id":"0a5e0009-0000-4000-8000-0000000000` + n + `","infant":"` + infant + `","at":"2026-03-01T` + at + `:00+01:00",` +
			`"by":"rn-dune",` + rest + "}\n"
	}
	admitted := `"kind":"admission","born":"2026-03-01","cot":"1","mrn":"77","visit":"V-1"`
	started := `"kind":"support","state":"started","mode":"cpap","driver":"ax-1"`
	w := handover.Ward{Policy: fixture.SendingAll(t), Entries: fixture.Entries(t, []byte(
		line("01", "08:00", "in-a", admitted)+line("02", "08:10", "in-a", started)+
			line("03", "08:10", "in-a", `"kind":"interface","type":"mask","size":"pea"`)+
			line("04", "08:20", "in-a", `"kind":"task","text":"Send the swab"`)+
			line("05", "08:30", "in-a", `"kind":"calibration","points":[{"gasPercent":21,"readPercent":21}]`)+
			line("06", "11:00", "in-a", `"kind":"retraction","of":"0a5e0009-0000-4000-8000-000000000001","reason":"another infant's"`)+
			line("07", "11:05", "in-b", admitted)+line("08", "11:06", "in-b", started)))}
	held := receiver{}
	for _, clock := range []string{"10:30", "12:00"} {
		at := fixture.Moment(t, "2026-03-01T"+clock+":00+01:00")
		x := fixture.Export(t, w, fhir.Ask{At: at, Known: at})
		held.take(t, x)
		holdNothingOpen(t, w, held, x, at, "whole after whole")
		b, err := x.Transaction(fhir.Conditional)
		if err != nil {
			t.Fatal(err)
		}
		holdProperties(t, b)
		if n := strings.Count(string(b), `"resourceType":"Patient"`); n != 1 {
			t.Errorf("at %s: %d Patients", clock, n)
		}
	}
	ended := map[string]int{}
	for key, s := range held {
		kind, _, _ := strings.Cut(key, "/")
		if strings.Contains(s, `entered-in-error"`) || kind == "Task" && strings.Contains(s, `"status":"cancelled"`) {
			ended[kind]++
		}
	}
	for kind, n := range map[string]int{"Encounter": 1, "Device": 1, "DeviceUseStatement": 2, "DeviceMetric": 1} {
		if ended[kind] != n {
			t.Errorf("%d %s ended, %d are wanted", ended[kind], kind, n)
		}
	}
	if ended["Task"] < 2 { // the charted one, and what was due
		t.Errorf("%d Tasks ended", ended["Task"])
	}
}
