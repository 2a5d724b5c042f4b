package handover_test

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"cotline/handover/entry"
)

// A correction holds from its charted on, under the original's id.
func TestCorrections(t *testing.T) {
	const set = "#5 24 07:00 settings fio2Percent=30 flowLMin=8\n"
	rules(t, "", onCPAP+set, []rule{
		{"as it should have been", "24 09:00 correction of=#5 reason=slip by=m -> 24 07:00 settings fio2Percent=40", "24 10:00",
			"settings.fio2Percent = 40\nsettings.fio2Percent.source = #5 24 07:00 m corrected 24 09:00 m\n" +
				"settings.flowLMin = not charted"},
		{"not known yet", "24 09:00 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=40", "24 10:00 known 24 08:59",
			"settings.fio2Percent = 30\nsettings.fio2Percent.source = #5 24 07:00 n"},
		{"known at its very moment", "24 09:00 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=40",
			"24 10:00 known 24 09:00", "settings.fio2Percent = 40"},
		{"by its charted; its own moment is not used", "2 09:00 correction of=#5 reason=slip charted=\"24 09:00\" -> 24 07:00 settings " +
			"fio2Percent=40", "24 10:00 known 24 08:59", "settings.fio2Percent = 30"},
		{"known after the moment read", "24 11:00 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=40",
			"24 10:00 known 24 11:00", "settings.fio2Percent = 40"},
		{"of the moment: out of the spell", "24 09:00 correction of=#5 reason=slip -> 24 05:00 settings fio2Percent=40", "24 10:00",
			"settings.fio2Percent = not charted"},
		{"of the moment: not yet happened", "24 10:01 correction of=#5 reason=slip -> 24 10:01 settings fio2Percent=40",
			"24 10:00 known 24 10:01", "settings.fio2Percent = not charted"},
		{"corrected twice: the later charted", "24 09:30 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=50\n" +
			"24 09:00 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=40", "24 10:00", "settings.fio2Percent = 50"},
		{"at one moment: the greater id", "#9 24 09:00 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=50\n" +
			"#8 24 09:00 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=40", "24 10:00", "settings.fio2Percent = 50"},
		{"at one moment, ids the other way", "#8 24 09:00 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=50\n" +
			"#9 24 09:00 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=40", "24 10:00", "settings.fio2Percent = 40"},
		{"the second withdrawn: the first stands", "24 09:00 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=40\n" +
			"#8 24 09:30 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=50\n24 09:40 retraction of=#8 reason=slip",
			"24 10:00", "settings.fio2Percent = 40"},
		{"the only one withdrawn: the original stands", "#8 24 09:30 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=50\n" +
			"24 09:40 retraction of=#8 reason=slip", "24 10:00", "settings.fio2Percent = 30\nsettings.fio2Percent.source = #5 24 07:00 n"},
		{"withdrawn later than known", "#8 24 09:30 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=50\n" +
			"24 09:40 retraction of=#8 reason=slip", "24 10:00 known 24 09:39", "settings.fio2Percent = 50"},
		{"order by the original's charted", "#6 24 07:00 settings fio2Percent=35 charted=\"24 07:05\"\n" +
			"24 09:00 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=40", "24 10:00", "settings.fio2Percent = 35"},
	})
}

// A retracted original takes its corrections with it and stays retracted.
func TestRetractions(t *testing.T) {
	const set = "#4 24 06:30 settings fio2Percent=25\n#5 24 07:00 settings fio2Percent=30\n"
	rules(t, "", onCPAP+set, []rule{
		{"counts for nothing", "24 09:00 retraction of=#5 reason=slip", "24 10:00", "settings.fio2Percent = 25"},
		{"not known yet", "24 09:00 retraction of=#5 reason=slip", "24 10:00 known 24 08:59", "settings.fio2Percent = 30"},
		{"with its corrections", "24 08:00 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=40\n" +
			"24 09:00 retraction of=#5 reason=slip", "24 10:00", "settings.fio2Percent = 25"},
		{"with corrections charted later", "24 09:00 retraction of=#5 reason=slip\n24 09:30 correction of=#5 reason=slip -> 24 07:00 " +
			"settings fio2Percent=40", "24 10:00", "settings.fio2Percent = 25"},
		{"twice is once", "24 09:00 retraction of=#5 reason=slip\n24 09:10 retraction of=#5 reason=slip", "24 10:00",
			"settings.fio2Percent = 25"},
		{"of a correction of a retracted original changes nothing",
			"#8 24 08:00 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=40\n24 09:00 retraction of=#5 reason=slip\n" +
				"24 09:10 retraction of=#8 reason=slip", "24 10:00", "settings.fio2Percent = 25"},
		{"charted anew on the right infant", "@b 1 06:00 admission born=2026-10-01 cot=8 mrn=5\n@b #9 24 07:00 weight weightG=1000 " +
			"charted=\"24 09:00\"\n#6 24 07:00 weight weightG=1000\n24 09:00 retraction of=#6 reason=twin movedTo=#9", "24 10:00",
			"weight.weightG = -\ninfants.b.weight.weightG = 1000\ninfants.b.weight.source = #9 24 07:00 n charted 24 09:00"},
	})
}

// What is charted late is seen from its charted on, whatever it tells of.
func TestTwoClocks(t *testing.T) {
	const late = "#5 24 07:00 settings fio2Percent=30 charted=\"24 09:00\"\n"
	rules(t, "", onCPAP+late, []rule{
		{"not written down yet", "", "24 08:00", "settings.fio2Percent = not charted"},
		{"as it was, known now", "", "24 08:00 known 24 09:00", "settings.fio2Percent = 30"},
		{"a minute short", "", "24 08:00 known 24 08:59", "settings.fio2Percent = not charted"},
		{"written down before it happened, by a clock that is ahead", "24 08:01 settings flowLMin=8 charted=\"24 08:00\"", "24 08:00",
			"settings.flowLMin = not charted"},
		{"nobody known to be there", "", "24 08:00 known 1 05:59", "only infants.a"},
	})
}

// What was written down by then but has not happened is not seen, of any kind.
func TestNotYetHappened(t *testing.T) {
	p := readPolicy(t, `{}`)
	const now = onCPAP + `
@b 1 06:00 admission born=2026-10-01 cot=9 mrn=5200000
#20 24 07:30 task text=x dueAt="24 07:40"
#21 24 07:50 handover to=m asOf="24 07:45" infants=a
24 06:00 settings fio2Percent=30
24 06:00 interface type=mask
24 06:00 tube action=placed route=oral markCm=15
24 06:00 bonnet action=fitted size=any
24 06:00 circuit action=fitted
24 06:00 humidifier state=on
`
	const later = `
24 08:01 settings fio2Percent=40 spo2LowPercent=90 spo2HighPercent=95
24 08:01 observations spo2Percent=93 silverman=1:1:1:1:1
24 08:01 episode signs=apnoea recovered=bagged
24 08:01 interface type=prongs
24 08:01 setup steps=gases:true around=incubator
24 08:01 calibration points=21:21
24 08:01 seal held=true
24 08:01 humidifier chamberC=37 water=low
24 08:01 circuit action=soiled
24 08:01 alarm about=power
24 08:01 skin sites=septum:stage-1
24 08:01 tube action=removed
24 08:01 head circumferenceCm=25
24 08:01 weight weightG=1000
24 08:01 bonnet action=tight
24 08:01 care what=mouth-care
24 08:01 note text=x
24 08:01 task text=y
24 08:01 task-done task=#20
24 08:01 plan what=observations every=none reason=x
24 08:01 deferral what=observations until="30 08:00" reason=x
24 08:01 outlook severity=unstable
24 08:01 identity family=Larch mrn=4712
24 08:01 move cot=9
24 08:01 support state=stopped
@- 24 08:01 note text=x
24 08:01 acceptance handover=#21 infants=a
@b 24 08:01 discharge to=home
`
	const when = "24 08:00 known 24 09:00"
	if diff := cmp.Diff(text(compiled(t, p, now, when)), text(compiled(t, p, now+later, when))); diff != "" {
		t.Errorf("(-without +with what comes later)\n%s", diff)
	}
	if text(compiled(t, p, now, "24 08:01")) == text(compiled(t, p, now+later, "24 08:01")) {
		t.Error("a minute later it is seen")
	}
}

// The fold itself: what stands, what was withdrawn, each in order.
func TestReplay(t *testing.T) {
	p := readPolicy(t, `{}`)
	entries := story(t, p, `
@b #1 1 06:00 admission born=2026-10-01 cot=9 mrn=1
@a #2 1 06:00 admission born=2026-10-01 cot=8 mrn=2
@a #5 24 08:00 weight weightG=1000
@a #4 24 07:00 weight weightG=900
@a #3 24 06:00 weight weightG=800
@a #6 24 09:00 retraction of=#5 reason=x
@a #7 24 09:00 retraction of=#3 reason=x
@a #8 24 09:00 correction of=#4 reason=x -> 24 07:00 weight weightG=950
@- #9 24 09:00 note text=x`)
	told := func(records *entry.Records) string {
		var out []string
		for _, r := range append(records.Infants, records.Unit) {
			line := r.Infant + ":"
			for _, e := range r.Entries {
				line += " " + number(e.ID)
			}
			for _, e := range r.Withdrawn {
				line += " -" + number(e.ID)
			}
			out = append(out, line)
		}
		return strings.Join(out, "; ")
	}
	at := instant(t, p, "24 09:00")
	if got, want := told(entry.Replay(entries, at)), "a: #2 #4 -#3 -#5; b: #1; : #9"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	records := entry.Replay(entries, at)
	a := records.Infants[0]
	if len(a.Of(a.Admitted(at), at)) != 2 || len(a.Of(a.Admitted(at), instant(t, p, "24 06:59"))) != 1 {
		t.Error("entries of the stay up to a moment")
	}
	if got, want := told(entry.Replay(entries, at.Add(-time.Minute))), "a: #2 #3 #4 #5; b: #1; : "; strings.TrimSpace(
		got) != strings.TrimSpace(want) {
		t.Errorf("a minute before: %s, want %s", got, want)
	}
}
