package fhir_test

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"cotline/fhir"
	"cotline/fhir/internal/fixture"
	"cotline/handover"
	"cotline/handover/entry"
)

// told makes a record of one infant from lines as "08:30 interface type=mask
// size=pea"; a day goes before the time as "+1".
func told(t testing.TB, story string) []*entry.Entry {
	t.Helper()
	lines := []string{`{"id":"0a5e0003-0000-4000-8000-000000000000","infant":"in-a","kind":"admission","at":"2026-03-01T06:00:00+01:00",` +
		`"by":"rn-dune","born":"2026-03-01","cot":"1","mrn":"0042"}`}
	for n, line := range strings.Split(strings.TrimSpace(story), "\n") {
		words := strings.Fields(line)
		day, found := strings.CutPrefix(words[0], "+")
		if found {
			words = words[1:]
		} else {
			day = "0"
		}
		var d int
		fmt.Sscan(day, &d)
		fields := map[string]any{"id": fmt.Sprintf("0a5e0003-0000-4000-8000-%012d", n+1), "infant": "in-a", "kind": words[1],
			"by": "rn-dune",
			"at": fmt.Sprintf("2026-03-%02dT%s:00+01:00", 1+d, words[0])}
		for _, w := range words[2:] {
			k, v, _ := strings.Cut(w, "=")
			fields[k] = v
			if _, err := entry.ParseDecimal(v); err == nil {
				fields[k] = json.Number(v)
			}
		}
		b, err := json.Marshal(fields)
		if err != nil {
			t.Fatal(err)
		}
		lines = append(lines, string(b))
	}
	return fixture.Entries(t, []byte(strings.Join(lines, "\n")))
}

// periods are the periods of use as "mask pea 08:30-09:00"; an open one ends in
// nothing.
func periods(t testing.TB, entries []*entry.Entry, at string) []string {
	t.Helper()
	moment := fixture.Moment(t, at)
	w := handover.Ward{Entries: entries, Policy: fixture.WardPolicy(t)} // breakUpTo is 45 min
	x := fixture.Export(t, w, fhir.Ask{At: moment, Known: moment})
	if _, err := x.Transaction(fhir.Put); err != nil {
		t.Fatal(err)
	}
	devices := map[string]string{}
	var out []string
	for _, r := range x.Resources {
		var m struct {
			Type     struct{ Text string }
			Property []struct {
				Type      struct{ Text string }
				ValueCode []struct{ Text string }
			}
			Device       struct{ Reference string }
			TimingPeriod struct{ Start, End string }
			Status       string
		}
		if r.Type != "Device" && r.Type != "DeviceUseStatement" {
			continue
		}
		if err := json.Unmarshal(r.JSON, &m); err != nil {
			t.Fatal(err)
		}
		if r.Type == "Device" {
			name := m.Type.Text
			for _, p := range m.Property {
				if len(p.ValueCode) > 0 && p.Type.Text == "Size" {
					name += " " + p.ValueCode[0].Text
				}
			}
			devices["Device/"+r.ID] = name
			continue
		}
		if (m.Status == "active") != (m.TimingPeriod.End == "") {
			t.Errorf("%s: status %s, end %q", r.ID, m.Status, m.TimingPeriod.End)
		}
		clock := func(s string) string {
			if s == "" {
				return ""
			}
			return s[11:16]
		}
		out = append(out, devices[m.Device.Reference]+" "+clock(m.TimingPeriod.Start)+"-"+clock(m.TimingPeriod.End))
	}
	slices.Sort(out)
	return out
}

func TestPeriodsOfUse(t *testing.T) {
	for _, c := range []struct {
		name, story, at string
		want            []string
	}{
		{"the same again goes on, another size or type or off ends it", `
07:00 support state=started mode=cpap
07:00 interface type=mask size=pea
08:00 interface type=mask size=pea
09:00 interface type=mask
10:00 interface type=mask size=bean
11:00 interface type=prongs size=reed
12:00 interface type=off
13:00 interface type=prongs`, "2026-03-01T14:00:00+01:00",
			[]string{"mask bean 10:00-11:00", "mask pea 07:00-10:00", "prongs reed 11:00-12:00", "prongs reed 13:00-"}},
		{"a break goes on", `
07:00 support state=started mode=cpap driver=ax-1
07:00 interface type=mask size=pea
08:00 support state=stopped reason=trial-off
08:45 support state=started mode=cpap`, "2026-03-01T14:00:00+01:00",
			[]string{"Driver 07:00-", "mask pea 07:00-"}},
		{"a break goes on with what was put on again in it", `
07:00 support state=started mode=cpap
07:00 interface type=mask size=pea
08:00 support state=stopped reason=procedure
08:20 interface type=mask size=pea
08:30 support state=started mode=cpap`, "2026-03-01T14:00:00+01:00",
			[]string{"mask pea 07:00-"}},
		{"within the break it has ended", `
07:00 support state=started mode=cpap driver=ax-1
07:00 interface type=mask size=pea
08:00 support state=stopped reason=trial-off
08:45 support state=started mode=cpap`, "2026-03-01T08:30:00+01:00",
			[]string{"Driver 07:00-08:00", "mask pea 07:00-08:00"}},
		{"a longer stop ends it; the next spell begins another of what is still on", `
07:00 support state=started mode=cpap driver=ax-1
07:00 interface type=mask size=pea
08:00 support state=stopped reason=trial-off
08:46 support state=started mode=cpap`, "2026-03-01T14:00:00+01:00",
			[]string{"Driver 07:00-08:00", "mask pea 07:00-08:00", "mask pea 08:46-"}},
		{"another driver", `
07:00 support state=started mode=cpap driver=ax-1
08:00 support state=changed driver=ax-2
09:00 support state=started mode=bilevel driver=ax-2`, "2026-03-01T14:00:00+01:00",
			[]string{"Driver 07:00-08:00", "Driver 08:00-"}},
		{"what lies outside a spell counts for nothing", `
07:00 support state=changed mode=cpap driver=ax-1
08:00 support state=stopped reason=other`, "2026-03-01T14:00:00+01:00", nil},
		{"on before support", `
06:50 interface type=mask size=pea
07:00 support state=started mode=cpap`, "2026-03-01T14:00:00+01:00", []string{"mask pea 06:50-"}},
		{"a circuit, a fitting", `
06:50 circuit action=fitted
07:00 support state=started mode=cpap
08:00 circuit action=soiled
08:10 circuit action=fitted
09:00 support state=stopped reason=weaned`, "2026-03-01T14:00:00+01:00",
			[]string{"Breathing circuit 06:50-08:10", "Breathing circuit 08:10-09:00"}},
		{"tubes, each of its use", `
07:00 tube action=placed route=oral markCm=15 sizeFr=6
08:00 tube action=found route=oral markCm=15 sizeFr=6.0
09:00 tube action=found route=nasal markCm=16
10:00 tube action=placed use=venting route=oral markCm=14
11:00 tube action=none
11:30 tube action=checked
12:00 tube action=found route=oral markCm=15 sizeFr=6
13:00 tube action=found route=oral markCm=15 sizeFr=8`, "2026-03-01T14:00:00+01:00",
			[]string{"Gastric tube 07:00-09:00", "Gastric tube 09:00-11:00", "Gastric tube 10:00-", "Gastric tube 12:00-13:00",
				"Gastric tube 13:00-"}},
		{"a bonnet stays on without support", `
07:00 support state=started mode=cpap
07:00 bonnet action=fitted size=bud
08:00 bonnet action=tight
08:10 bonnet action=fitted size=petal
09:00 support state=stopped reason=weaned
10:00 bonnet action=removed`, "2026-03-01T09:30:00+01:00",
			[]string{"Bonnet bud 07:00-08:10", "Bonnet petal 08:10-"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			if d := cmp.Diff(c.want, periods(t, told(t, c.story), c.at)); d != "" {
				t.Error(d)
			}
		})
	}
}

// A rotation is a change between mask and prongs within a spell (off and cannula are looked
// through), whichever spell of the stay that is; of the current one the engine tells the last.
func TestRotations(t *testing.T) {
	const cpap = "07:00 support state=started mode=cpap\n"
	const masked = cpap + "07:00 interface type=mask size=pea\n"
	const again = "09:00 support state=stopped\n10:30 support state=started mode=cpap\n"
	for _, c := range []struct{ name, story, want string }{
		{"mask to prongs", masked + "11:00 interface type=prongs", "11:00"},
		{"mask to mask", masked + "11:00 interface type=mask size=bean reason=rotation", ""},
		{"there and back", masked + "10:00 interface type=prongs\n11:00 interface type=mask", "10:00 11:00"},
		{"through off and cannula",
			masked + "10:00 interface type=off\n10:10 interface type=cannula\n11:00 interface type=prongs", "11:00"},
		{"on before the spell", "06:30 interface type=mask\n" + cpap + "11:00 interface type=prongs", "11:00"},
		{"off before the spell",
			"06:10 interface type=mask\n06:30 interface type=off\n" + cpap + "11:00 interface type=prongs", ""},
		{"off at the very start",
			"06:10 interface type=mask\n" + cpap + "07:00 interface type=off\n11:00 interface type=prongs", ""},
		{"at the very start", "06:30 interface type=mask\n" + cpap + "07:00 interface type=prongs", ""},
		{"in a break",
			masked + "09:00 support state=stopped\n09:10 interface type=prongs\n09:30 support state=started mode=cpap", "09:10"},
		{"between spells",
			masked + "09:00 support state=stopped\n09:10 interface type=prongs\n10:30 support state=started mode=cpap", ""},
		{"in the spell before", masked + "08:00 interface type=prongs\n" + again + "11:00 interface type=prongs", "08:00"},
		{"in two spells", masked + "08:00 interface type=prongs\n" + again + "11:00 interface type=mask", "08:00 11:00"},
		{"after the spell", masked + "09:00 support state=stopped\n11:00 interface type=prongs", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			at := fixture.Moment(t, "2026-03-01T14:00:00+01:00")
			w := handover.Ward{Entries: told(t, c.story), Policy: fixture.WardPolicy(t)}
			var got []string
			for _, r := range fixture.Export(t, w, fhir.Ask{At: at, Known: at}).Resources {
				if id, is := strings.CutSuffix(r.Identifier.Value, ".rotation"); is {
					n := slices.IndexFunc(w.Entries, func(e *entry.Entry) bool { return e.ID == id })
					got = append(got, w.Entries[n].At.Format("15:04"))
				}
			}
			if strings.Join(got, " ") != c.want {
				t.Errorf("got %v, want %q", got, c.want)
			}
		})
	}
}

// R4, device-status: inactive is no longer available for use; of an implanted device, that
// it has been removed from the patient. A tube that is out and a circuit that is off are so for good; a mask or
// bonnet of one type and size is one Device, which may be put on again.
func TestStatusOfDevices(t *testing.T) {
	entries := told(t, `
07:00 support state=started mode=cpap driver=ax-1
07:00 interface type=mask size=pea
07:00 circuit action=fitted
07:00 bonnet action=fitted size=bud
07:00 tube action=placed route=oral sizeFr=6 markCm=15
07:00 tube action=placed route=nasal sizeFr=8 use=venting markCm=15
08:00 interface type=prongs size=reed
09:00 tube action=removed
10:00 circuit action=fitted
11:00 tube action=found route=oral sizeFr=8 use=venting markCm=15
12:00 bonnet action=removed
13:00 support state=stopped
13:30 support state=started mode=cpap
15:00 support state=stopped
16:00 support state=started mode=cpap
17:00 discharge to=ward
+1 10:00 admission born=2026-03-01 cot=Fern mrn=0042
+1 11:00 support state=started mode=cpap
+1 11:00 interface type=mask size=pea`)
	w := handover.Ward{Entries: entries, Policy: fixture.WardPolicy(t)}
	states := func(x *fhir.Export, of map[string]string) map[string]string {
		for _, r := range x.Resources {
			if r.Type == "Device" && r.Infant != "" {
				if !strings.Contains(string(r.JSON), `"patient":{`) {
					t.Errorf("no patient: %s", r.JSON)
				}
				of[r.ID] = fixture.Between(string(r.JSON), `"}],"status":"`, `"`) + " " + fixture.Between(string(r.JSON), `<p>`, `</p>`)
			}
		}
		return of
	}
	held, since := map[string]string{}, fixture.Moment(t, "2026-03-01T07:30:00+01:00")
	states(fixture.Export(t, w, fhir.Ask{At: since, Known: since, Infant: "in-a"}), held)
	for _, c := range []struct {
		at   string
		want []string
	}{
		{"01T07:30", []string{"active bonnet bud", "active breathing circuit", "active feeding 6", "active mask pea",
			"active venting nasal"}},
		{"01T09:30", []string{"active bonnet bud", "active breathing circuit", "active mask pea", "active prongs reed",
			"active venting nasal", "inactive feeding 6"}},
		{"01T12:30", []string{"active bonnet bud", "active breathing circuit", "active mask pea", "active prongs reed",
			"active venting oral", "inactive breathing circuit", "inactive feeding 6", "inactive venting nasal"}},
		{"01T13:15", []string{"active bonnet bud", "active mask pea", "active prongs reed", "active venting oral",
			"inactive breathing circuit", "inactive breathing circuit", "inactive feeding 6", "inactive venting nasal"}},
		{"01T14:00", []string{"active bonnet bud", "active breathing circuit", "active mask pea", "active prongs reed",
			"active venting oral", "inactive breathing circuit", "inactive feeding 6", "inactive venting nasal"}},
		{"01T15:30", []string{"active bonnet bud", "active mask pea", "active prongs reed", "active venting oral",
			"inactive breathing circuit", "inactive breathing circuit", "inactive feeding 6", "inactive venting nasal"}},
		{"01T16:30", []string{"active bonnet bud", "active breathing circuit", "active mask pea", "active prongs reed",
			"active venting oral", "inactive breathing circuit", "inactive feeding 6", "inactive venting nasal"}},
		{"01T18:00", []string{"inactive bonnet bud", "inactive breathing circuit", "inactive breathing circuit", "inactive feeding 6",
			"inactive mask pea", "inactive prongs reed", "inactive venting nasal", "inactive venting oral"}},
		{"02T12:00", []string{"active mask pea", "inactive bonnet bud", "inactive breathing circuit", "inactive breathing circuit",
			"inactive feeding 6", "inactive prongs reed", "inactive venting nasal", "inactive venting oral"}},
	} {
		at := fixture.Moment(t, "2026-03-"+c.at+":00+01:00")
		ask := fhir.Ask{At: at, Known: at, Infant: "in-a"}
		states(fixture.Delta(t, w, since, ask), held)
		for id, s := range states(fixture.Export(t, w, ask), map[string]string{}) {
			if held[id] != s {
				t.Errorf("%s: the whole says %s, the differences %s", c.at, s, held[id])
			}
		}
		var got []string
		for _, s := range held {
			status, about, _ := strings.Cut(s, " ")
			if said := strings.HasSuffix(about, ", inactive"); said != (status == "inactive") {
				t.Errorf("%s: the words of %s", c.at, s)
			}
			var name []string
			for _, word := range []string{"bonnet bud", "breathing circuit", "mask pea", "prongs reed"} {
				if kind, size, _ := strings.Cut(word, " "); strings.HasPrefix(strings.ToLower(about), kind) &&
					(kind == "breathing" || strings.Contains(about, size)) {
					name = append(name, word)
				}
			}
			if strings.Contains(about, "feeding") {
				name = append(name, "feeding 6")
			}
			if strings.Contains(about, "venting") {
				name = append(name, "venting")
				for _, route := range []string{"oral", "nasal"} {
					if strings.Contains(about, route) {
						name = append(name, route)
					}
				}
			}
			got = append(got, status+" "+strings.Join(name, " "))
		}
		slices.Sort(got)
		if d := cmp.Diff(c.want, got); d != "" {
			t.Errorf("%s: %s\n%v", c.at, d, held)
		}
		since = at
	}
}
