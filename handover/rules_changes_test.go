package handover_test

import (
	"testing"

	"cotline/handover"
	"cotline/internal/wardtest"
)

// since is 24 08:00 in these rows: what was told then is compared with what is
// known now.
const sinceEight = "24 12:00 since 24 08:00"

func TestChangeWhy(t *testing.T) {
	const set = "#5 24 07:00 settings fio2Percent=30\n"
	rules(t, "", onCPAP+set, []rule{
		{"happened", "#6 24 09:00 settings fio2Percent=40", sinceEight,
			"changes.settings.fio2Percent = 30 to 40, happened #6\nonly changes"},
		{"happened a minute after since", "#6 24 08:01 settings fio2Percent=40", sinceEight,
			"changes.settings.fio2Percent = 30 to 40, happened #6"},
		{"at since it was told already", "#6 24 08:00 settings fio2Percent=40", sinceEight, "only changes"},
		{"late: happened by since, charted after it", "#6 24 07:30 settings fio2Percent=40 charted=\"24 08:01\"", sinceEight,
			"changes.settings.fio2Percent = 30 to 40, late #6\nonly changes"},
		{"late, at since itself", "#6 24 08:00 settings fio2Percent=40 charted=\"24 08:01\"", sinceEight,
			"changes.settings.fio2Percent = 30 to 40, late #6"},
		{"charted at since: told", "#6 24 07:30 settings fio2Percent=40 charted=\"24 08:00\"", sinceEight, "only changes"},
		{"corrected", "24 09:00 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=40", sinceEight,
			"changes.settings.fio2Percent = 30 to 40, corrected #5\nonly changes"},
		{"corrected before since: told", "24 08:00 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=40", sinceEight,
			"only changes"},
		{"withdrawn, the one before stands", "#6 24 07:30 settings fio2Percent=40\n24 09:00 retraction of=#6 reason=slip", sinceEight,
			"changes.settings.fio2Percent = 40 to 30, corrected #5\nonly changes"},
		{"withdrawn, nothing stands", "#6 24 07:30 settings flowLMin=8\n24 09:00 retraction of=#6 reason=slip", sinceEight,
			"changes.settings.flowLMin = 8 to null, corrected #6\nonly changes"},
		{"charted for the first time", "#6 24 09:00 settings flowLMin=8", sinceEight,
			"changes.settings.flowLMin = null to 8, happened #6\nonly changes"},
		{"charted at since, corrected after it", "#6 24 07:30 settings fio2Percent=50 charted=\"24 08:00\"\n24 09:00 correction of=#6 " +
			"reason=slip -> 24 07:30 settings fio2Percent=40", sinceEight, "changes.settings.fio2Percent = 50 to 40, corrected #6"},
		{"happened at since, corrected after it", "#6 24 08:00 settings fio2Percent=50\n24 09:00 correction of=#6 reason=slip -> " +
			"24 08:00 settings fio2Percent=40", sinceEight, "changes.settings.fio2Percent = 50 to 40, corrected #6"},
		{"late before corrected", "#6 24 07:30 settings fio2Percent=50 charted=\"24 08:30\"\n24 09:00 correction of=#6 reason=slip -> " +
			"24 07:30 settings fio2Percent=40", sinceEight, "changes.settings.fio2Percent = 30 to 40, late #6"},
		{"happened before corrected", "#6 24 09:00 settings fio2Percent=50\n24 09:10 correction of=#6 reason=slip -> 24 09:00 settings " +
			"fio2Percent=40", sinceEight, "changes.settings.fio2Percent = 30 to 40, happened #6"},
		{"corrected, and another happened", "24 09:00 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=50\n" +
			"#6 24 10:00 settings fio2Percent=40", sinceEight, "changes.settings.fio2Percent = 30 to 40, revised, happened #6"},
		{"late, and another happened", "24 07:30 settings fio2Percent=50 charted=\"24 08:01\"\n#6 24 10:00 settings fio2Percent=40",
			sinceEight, "changes.settings.fio2Percent = 30 to 40, revised, happened #6"},
		{"a bound corrected, and another happened", "#6 24 07:00 settings spo2LowPercent=80\n24 09:00 correction of=#6 reason=slip -> " +
			"24 07:00 settings spo2LowPercent=88\n#7 24 10:00 settings spo2LowPercent=90", sinceEight,
			"changes.settings.spo2LowPercent = 80 to 90, revised, happened #7"},
		{"a bound of long before", "24 04:00 settings spo2LowPercent=80\n#7 24 10:00 settings spo2LowPercent=90", sinceEight,
			"changes.settings.spo2LowPercent = 80 to 90, happened #7"},
		{"set away and back", "24 09:00 settings fio2Percent=40\n24 10:00 settings fio2Percent=30", sinceEight, "only changes"},
		{"the same value with other digits", "24 09:00 settings fio2Percent=30.0", sinceEight, "only changes"},
		{"a note corrected: no change", "#6 24 07:30 note text=x\n24 09:00 correction of=#6 reason=slip -> 24 07:30 note text=y",
			sinceEight, "only changes"},
		{"not yet known", "#6 24 07:30 settings fio2Percent=40 charted=\"24 13:00\"", sinceEight, "only changes"},
		{"known later than at", "#6 24 07:30 settings fio2Percent=40 charted=\"24 13:00\"", "24 12:00 known 24 13:00 since 24 08:00",
			"changes.settings.fio2Percent = 30 to 40, late #6"},
	})
}

func TestChangePaths(t *testing.T) {
	rules(t, bonnets, onCPAP+`
24 06:00 interface type=mask size=S
24 07:00 skin sites=septum:intact
24 07:00 tube action=placed route=oral markCm=15.0
24 07:00 head circumferenceCm=25
24 07:00 bonnet action=fitted size=petal
24 07:00 outlook severity=stable
`, []rule{
		{"nothing", "", sinceEight, "only changes"},
		{"mode", "#9 24 09:00 support state=changed mode=bilevel", sinceEight,
			"changes.support.mode = cpap to bilevel, happened #9\nonly changes"},
		{"stopped: what ceases to apply is not listed", "#9 24 09:00 support state=stopped", sinceEight,
			"changes.support.state = on to off, happened #9\nonly changes"},
		{"interface and rotation", "#9 24 09:00 interface type=prongs size=M", sinceEight,
			"changes.interface = mask S to prongs M, happened #9\nchanges.rotation.last = null to mask to prongs, happened #9\n" +
				"only changes"},
		{"size alone", "#9 24 09:00 interface type=mask size=M", sinceEight,
			"changes.interface = mask S to mask M, happened #9\nonly changes"},
		{"off", "#9 24 09:00 interface type=off", sinceEight, "changes.interface = mask S to off, happened #9\nonly changes"},
		{"skin", "#9 24 09:00 skin sites=septum:stage-1,bridge:intact", sinceEight,
			"changes.skin.sites.septum = intact to stage-1, happened #9\nchanges.skin.sites.bridge = null to intact, happened #9\n" +
				"only changes"},
		{"tube slipped", "#9 24 09:00 tube action=checked markCm=16.0", sinceEight,
			"changes.tubes.feeding.markCm = 15.0 to 16.0, happened #9\nonly changes"},
		{"tube out: its parts cease to apply", "#9 24 09:00 tube action=removed", sinceEight,
			"changes.tubes.feeding.in = true to false, happened #9\nonly changes"},
		{"another tube in: its parts begin to apply", "#9 24 09:00 tube action=placed use=venting route=oral markCm=17", sinceEight,
			"changes.tubes.venting.in = null to true, happened #9\nonly changes"},
		{"another route", "#9 24 09:00 tube action=placed route=nasal markCm=16.0", sinceEight,
			"changes.tubes.feeding.route = oral to nasal, happened #9\nchanges.tubes.feeding.markCm = 15.0 to 16.0, happened #9\n" +
				"only changes"},
		{"head, the same value", "#9 24 09:00 head circumferenceCm=25.0", sinceEight, "only changes"}, // on the same day
		{"head", "#9 24 09:00 head circumferenceCm=25.6", sinceEight, "changes.head = 25 to 25.6, happened #9\nonly changes"},
		{"another size of bonnet", "#9 24 09:00 bonnet action=fitted size=bloom", sinceEight,
			"changes.bonnet.size = petal to bloom, happened #9\nchanges.bonnet.due = 2026-10-31 weekly to 2026-10-24 out-of-range, " +
				"happened #9\nonly changes"},
		{"bonnet removed", "#9 24 09:00 bonnet action=removed", sinceEight,
			"changes.bonnet.in = true to false, happened #9\nonly changes"},
		{"bonnet found tight", "#9 24 09:00 bonnet action=tight", sinceEight,
			"changes.bonnet.due = 2026-10-31 weekly to 2026-10-24 tight, happened #9\nonly changes"},
		{"cot", "#9 24 09:00 move cot=8", sinceEight, "changes.cot = 7 to 8, happened #9\nonly changes"},
		{"number and name", "#9 24 09:00 identity mrn=4712 given=Ember", sinceEight,
			"changes.mrn = 4711 to 4712, happened #9\nchanges.name = null to Ember, happened #9\nonly changes"},
		{"outlook", "#9 24 09:00 outlook severity=watcher callFor=x", sinceEight,
			"changes.outlook.severity = stable to watcher, happened #9\nonly changes"},
		{"outlook without a severity", "#9 24 09:00 outlook callFor=x", sinceEight,
			"changes.outlook.severity = stable to null, happened #9\nonly changes"},
		{"a name no longer shown is in no change", "24 09:00 identity restricted=true given=Ember", sinceEight, "only changes\ngiven = -"},
	})
}

// Where a fact differs by the passing of time alone, nothing was charted late or
// amended: it happened.
func TestChangeByTheClock(t *testing.T) {
	const ends = "17 08:00 head circumferenceCm=25\n#5 20 08:00 plan what=head every=3d until=\"24 09:00\" reason=x\n" +
		"#6 24 07:00 note text=x\n"
	rules(t, "", onCPAP+ends, []rule{
		{"a plan has ended", "", sinceEight, "changes.bonnet.due = 2026-10-20 weekly to 2026-10-24 weekly, happened #1003\nonly changes"},
		{"amended by since", "24 08:00 retraction of=#6 reason=x", sinceEight,
			"changes.bonnet.due = 2026-10-20 weekly to 2026-10-24 weekly, happened #1003"},
		{"the plan withdrawn", "24 08:30 retraction of=#5 reason=x", sinceEight,
			"changes.bonnet.due = 2026-10-20 weekly to 2026-10-24 weekly, corrected #1003"},
		{"the plan withdrawn, at the moment known", "24 12:00 retraction of=#5 reason=x", sinceEight,
			"changes.bonnet.due = 2026-10-20 weekly to 2026-10-24 weekly, corrected #1003"},
	})
}

func TestChangesFromNull(t *testing.T) {
	rules(t, `{"every":{"head":"none"}}`, onCPAP+"24 06:00 support state=changed mode=bilevel\n24 07:00 head circumferenceCm=25\n", []rule{
		{"rate, upper pressure and inspiratory time", "#9 24 09:00 settings rateMin=30 upperPressureCmH2O=9 inspiratoryS=0.5", sinceEight,
			"changes.settings.rateMin = null to 30, happened #9\nchanges.settings.upperPressureCmH2O = null to 9, happened #9\n" +
				"changes.settings.inspiratoryS = null to 0.5, happened #9\nonly changes"},
		{"a bonnet put on: its size begins to apply", "#9 24 09:00 bonnet action=fitted size=any", sinceEight,
			"changes.bonnet.in = null to true, happened #9\nonly changes"},
		{"a first reason for the bonnet", "#9 24 09:00 bonnet action=tight", sinceEight,
			"changes.bonnet.due = null to 2026-10-24 tight, happened #9\nonly changes"},
		{"no reason any more", "24 07:30 bonnet action=tight\n#9 24 09:00 bonnet action=none", sinceEight,
			"changes.bonnet.due = 2026-10-24 tight to null, happened #1005\nchanges.bonnet.in = null to false, happened #9\nonly changes"},
	})
	rules(t, "", admitted, []rule{
		{"a first head", "#9 24 09:00 head circumferenceCm=25", sinceEight, "changes.head = null to 25, happened #9\nonly changes"},
		{"the only head withdrawn", "#9 24 07:00 head circumferenceCm=25\n24 09:00 retraction of=#9 reason=slip", sinceEight,
			"changes.head = 25 to null, corrected #9\nonly changes"},
	})
}

func TestChangesWithoutABefore(t *testing.T) {
	rules(t, "", "", []rule{
		{"admitted since: new, and no changes", admitted + "1 07:00 support state=started mode=cpap", "1 08:00 since 1 05:00",
			"new = true\nonly changes"},
		{"admitted at since", admitted, "1 08:00 since 1 06:00", "new = false"},
		{"the admission charted late: not there then", "1 06:00 admission born=2026-10-01 cot=7 mrn=1 charted=\"1 07:00\"",
			"1 08:00 since 1 06:30", "new = true\nonly changes"},
	})
	rules(t, "", admitted, []rule{
		{"support begins: state alone", "#3 24 09:00 support state=started mode=cpap\n24 09:00 settings fio2Percent=30\n" +
			"24 09:00 interface type=mask", sinceEight, "changes.support.state = never to on, happened #3\nonly changes"},
		{"a break over since has ended", "24 06:00 support state=started mode=cpap\n24 07:30 support state=stopped\n" +
			"#5 24 08:20 support state=started mode=cpap", sinceEight, "changes.support.state = off to on, happened #5\nonly changes"},
	})
	rules(t, "", onCPAP+"24 06:00 interface type=mask\n24 07:00 interface type=prongs\n", []rule{
		{"turned twice: the same words, another moment", "24 09:00 interface type=mask\n#7 24 10:00 interface type=prongs", sinceEight,
			"changes.rotation.last = mask to prongs to mask to prongs, happened #7\nonly changes"},
	})
}

// Every path that is told as changed has a row in the table of facts, which gives it
// its words.
func TestChangedPathsAreFacts(t *testing.T) {
	wards := []*handover.Handover{wardtest.Demo(t).Handover}
	for seed := range uint64(3) {
		wards = append(wards, wardtest.Random(t, seed, 8, 2).Handover)
	}
	paths := map[string]bool{}
	for _, h := range wards {
		for _, s := range h.Infants {
			for _, c := range s.Changes {
				paths[c.Path] = true
			}
		}
	}
	for path := range paths {
		if handover.LabelOf(path) == "" {
			t.Errorf("%s has no words", path)
		}
	}
	if len(paths) < 20 {
		t.Errorf("only %d paths changed", len(paths))
	}
}
