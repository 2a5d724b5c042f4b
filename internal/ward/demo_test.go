package ward

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

var update = flag.Bool("update", false, "write examples/ward anew")

// The example that people read and run is what the package makes.
func TestExampleIsTheDemo(t *testing.T) {
	policyYAML, entries := Demo()
	for name, want := range map[string][]byte{"policy.yaml": policyYAML, "ward.ndjson": entries} {
		path := filepath.Join("..", "..", "examples", "ward", name)
		if *update {
			if err := os.WriteFile(path, want, 0o644); err != nil {
				t.Fatal(err)
			}
		}
		got, err := os.ReadFile(path)
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(got, want) {
			t.Errorf("%s differs from the demo: run go test ./internal/ward -update and look at the difference", path)
		}
	}
}

func TestDemoIsTheSameEachTime(t *testing.T) {
	_, a := Demo()
	_, b := Demo()
	if !bytes.Equal(a, b) {
		t.Error("two demos differ")
	}
}

func TestDemoLines(t *testing.T) {
	_, entries := Demo()
	lines := readLines(t, entries)
	if n := len(lines); n < 1500 || n > 2500 {
		t.Errorf("%d entries: the demo is meant to be some 2,000", n)
	}
	checkLines(t, lines)
	checkStays(t, lines)
	end := moment(t, DemoAt)
	for _, l := range lines {
		if l.charted.After(end) {
			t.Errorf("%s of %s was charted at %s, after the handover", l.Kind, l.Infant, l.Charted)
		}
	}
}

// Twelve are admitted at the handover; one left in the window.
func TestDemoHasTwelveInfants(t *testing.T) {
	_, entries := Demo()
	admitted := map[string]bool{}
	for _, l := range readLines(t, entries) {
		switch l.Kind {
		case "admission":
			admitted[l.Infant] = true
		case "discharge":
			delete(admitted, l.Infant)
		}
	}
	if len(admitted) != 12 {
		t.Errorf("%d infants at the handover, want 12", len(admitted))
	}
}

// Every kind of the record is in the demo, so that every face has something to show of each.
func TestDemoHasEveryKind(t *testing.T) {
	want := []string{"admission", "identity", "move", "discharge", "support", "settings", "observations", "episode", "interface",
		"gas", "limits", "safety", "told", "setup", "calibration", "seal", "humidifier", "circuit", "alarm", "skin", "tube", "head",
		"weight", "bonnet", "care",
		"note", "task", "task-done", "plan", "deferral", "outlook", "handover", "acceptance", "correction", "retraction"}
	_, entries := Demo()
	got := map[string]bool{}
	for _, l := range readLines(t, entries) {
		got[l.Kind] = true
	}
	for _, k := range want {
		if !got[k] {
			t.Errorf("no %s in the demo", k)
		}
	}
	if len(got) != len(want) {
		t.Errorf("%d kinds, want %d", len(got), len(want))
	}
}

// The situations that the demo promises. Each is looked for in the lines, as a reader of the file would.
func TestDemoSituations(t *testing.T) {
	_, entries := Demo()
	lines := readLines(t, entries)
	of := func(infant, kind string, has ...string) []line {
		return slices.DeleteFunc(slices.Clone(lines), func(l line) bool {
			return l.Infant != infant || l.Kind != kind ||
				slices.ContainsFunc(has, func(s string) bool { return !strings.Contains(l.text, s) })
		})
	}
	one := func(what string, found []line) line {
		t.Helper()
		if len(found) == 0 {
			t.Errorf("%s: not in the demo", what)
			return line{}
		}
		return found[len(found)-1]
	}
	byID := map[string]line{}
	for _, l := range lines {
		byID[l.ID] = l
	}

	one("a twin", of("in-01", "admission", `"7302614"`, `"mo-41"`, `"multiples":2`))
	one("her brother, two digits changed about", of("in-02", "admission", `"7306214"`, `"mo-41"`, `"multiples":2`))
	for _, kind := range []string{"weight", "episode"} {
		r := one(
			"the wrong twin",
			slices.DeleteFunc(of("in-01", "retraction", `"movedTo"`), func(l line) bool { return byID[l.Of].Kind != kind }),
		)
		if moved := byID[r.MovedTo]; moved.Infant != "in-02" || moved.Kind != kind || moved.At != byID[r.Of].At {
			t.Errorf("the %s of the wrong twin was moved to %+v", kind, moved)
		}
	}
	one("a correction", of("in-01", "correction", `"fio2Percent":28`))
	if twice := of("in-11", "correction"); len(twice) != 2 || twice[0].Of != twice[1].Of {
		t.Error("no entry of in-11 is corrected twice")
	}
	if late := of("in-01", "episode", "02:50:00+02:00"); len(late) != 1 || late[0].charted.Sub(late[0].at) < time.Hour {
		t.Error("no episode is charted late")
	}
	if r := one("a retraction that moves nothing", of("in-05", "retraction")); r.MovedTo != "" || byID[r.Of].Kind != "episode" {
		t.Errorf("in-05 retracts %+v", r)
	}
	if n := len(lines) - len(slices.DeleteFunc(slices.Clone(lines), func(l line) bool { return l.Infant == "in-09" })); n != 5 {
		t.Errorf("%d entries of the infant of whom hardly anything is charted", n)
	}
	one("not yet named", of("in-08", "admission", `"temporary"`, "02:40:00+01:00"))
	if strings.Contains(one("not yet named", of("in-08", "admission")).text, `"family"`) {
		t.Error("in-08 has a name")
	}
	one("weaned in the night", of("in-04", "support", "stopped", "weaned", "2026-10-25T01:20"))
	one("on high flow", of("in-05", "support", "high-flow"))
	one("on two pressures", of("in-02", "support", "bilevel"))
	if len(of("in-07", "admission")) != 2 || len(of("in-07", "discharge", `"hospital"`)) != 1 {
		t.Error("in-07 has no second stay")
	}
	one("left in the window", of("in-13", "discharge", "2026-10-24T20:30"))

	one("skin gets worse", of("in-01", "skin", `"septum","finding":"blanching"`, "2026-10-25"))
	one("skin gets worse", of("in-01", "skin", `"septum","finding":"stage-1"`))
	one("skin gets better", of("in-03", "skin", `"bridge","finding":"stage-1"`))
	one("skin gets better", of("in-03", "skin", `"bridge","finding":"intact"`, "2026-10-25"))
	one("a tube that slipped", of("in-02", "tube", `"checked"`, `"markCm":13.9`))
	one("its reference", of("in-02", "tube", `"placed"`, `"markCm":15.0`))
	one("a tube moved on purpose", of("in-10", "tube", `"repositioned"`))
	if r := one("an overdue change", of("in-06", "interface")); moment(t, DemoAt).Sub(r.at) < 7*time.Hour {
		t.Errorf("in-06 was changed at %s, which is not overdue", r.At)
	}
	one("a change put off", of("in-10", "deferral", `"rotation"`))
	one("a tight bonnet", of("in-03", "bonnet", `"tight"`))
	one("low water", of("in-06", "humidifier", `"low"`))
	one("an alarm and what was tried", of("in-02", "alarm", `"found":false`, `"found":true`))
	one("an alarm and what was tried", of("in-06", "alarm", `"water lying in a hose"`))
	one("an episode", of("in-02", "episode", `"oxygen-raised"`))
	one("an outlook", of("in-02", "outlook", `"unstable"`, `"ifThen"`))
	one("a note of the unit", of("", "note"))
	one("a task of the unit", of("", "task"))
	one("a task done", of("in-12", "task-done"))
	one("a plan", of("in-02", "plan", `"observations"`, `"1h"`))
	one("none by order", of("in-01", "plan", `"rotation"`, `"none"`))
	one("a sensor check", of("in-08", "calibration"))
	one("a seal check", of("in-08", "seal", `"held":true`))
	one("a step not done", of("in-08", "setup", `"done":false`))
	one("a driver that two share", of("in-09", "support", `"ax-2051"`))
	one("a driver that two share", of("in-06", "support", `"ax-2051"`))
	one("a head not to be relied on", of("in-12", "head", `"moulding"`))
	one("a name that is not shown", of("in-11", "identity", `"restricted":true`))
	one("a given name that became known", of("in-10", "identity", `"Monsoon"`))
	one("a move", of("in-12", "move"))

	// Signed and accepted by room at each change of shift, seven of them, once for a break, and once never accepted.
	signed := of("", "handover")
	accepted := of("", "acceptance")
	if len(signed) != 3*7+2 || len(accepted) != len(signed)-1 || len(of("", "handover", `"cover":true`)) != 1 {
		t.Errorf("%d handovers, %d acceptances", len(signed), len(accepted))
	}
	for _, a := range accepted {
		if s := byID[a.Handover]; s.Kind != "handover" || !a.at.After(s.at) || !slices.Equal(a.Infants, s.Infants) {
			t.Errorf("acceptance %s does not fit its handover", a.ID)
		}
	}
}
