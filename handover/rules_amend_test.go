package handover_test

import "testing"

// A correction holds from its charted on, under the original's id.
func TestCorrections(t *testing.T) {
	const set = "#5 24 07:00 settings fio2Percent=30 flowLMin=8\n"
	rules(t, "", onCPAP+set, []rule{
		{"as it should have been", "24 09:00 correction of=#5 reason=slip by=m -> 24 07:00 settings fio2Percent=40", "24 10:00", "settings.fio2Percent = 40\nsettings.fio2Percent.source = #5 24 07:00 m corrected 24 09:00 m\nsettings.flowLMin = not charted"},
		{"not known yet", "24 09:00 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=40", "24 10:00 known 24 08:59", "settings.fio2Percent = 30\nsettings.fio2Percent.source = #5 24 07:00 n"},
		{"known at its very moment", "24 09:00 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=40", "24 10:00 known 24 09:00", "settings.fio2Percent = 40"},
		{"by its charted; its own moment is not used", "2 09:00 correction of=#5 reason=slip charted=\"24 09:00\" -> 24 07:00 settings fio2Percent=40", "24 10:00 known 24 08:59", "settings.fio2Percent = 30"},
		{"known after the moment read", "24 11:00 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=40", "24 10:00 known 24 11:00", "settings.fio2Percent = 40"},
		{"of the moment: out of the spell", "24 09:00 correction of=#5 reason=slip -> 24 05:00 settings fio2Percent=40", "24 10:00", "settings.fio2Percent = not charted"},
		{"of the moment: not yet happened", "24 10:01 correction of=#5 reason=slip -> 24 10:01 settings fio2Percent=40", "24 10:00 known 24 10:01", "settings.fio2Percent = not charted"},
		{"corrected twice: the later charted", "24 09:30 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=50\n24 09:00 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=40", "24 10:00", "settings.fio2Percent = 50"},
		{"at one moment: the greater id", "#9 24 09:00 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=50\n#8 24 09:00 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=40", "24 10:00", "settings.fio2Percent = 50"},
		{"at one moment, ids the other way", "#8 24 09:00 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=50\n#9 24 09:00 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=40", "24 10:00", "settings.fio2Percent = 40"},
		{"the second withdrawn: the first stands", "24 09:00 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=40\n#8 24 09:30 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=50\n24 09:40 retraction of=#8 reason=slip", "24 10:00", "settings.fio2Percent = 40"},
		{"the only one withdrawn: the original stands", "#8 24 09:30 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=50\n24 09:40 retraction of=#8 reason=slip", "24 10:00", "settings.fio2Percent = 30\nsettings.fio2Percent.source = #5 24 07:00 n"},
		{"withdrawn later than known", "#8 24 09:30 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=50\n24 09:40 retraction of=#8 reason=slip", "24 10:00 known 24 09:39", "settings.fio2Percent = 50"},
		{"order by the original's charted", "#6 24 07:00 settings fio2Percent=35 charted=\"24 07:05\"\n24 09:00 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=40", "24 10:00", "settings.fio2Percent = 35"},
	})
}

// A retracted original takes its corrections with it and stays retracted.
func TestRetractions(t *testing.T) {
	const set = "#4 24 06:30 settings fio2Percent=25\n#5 24 07:00 settings fio2Percent=30\n"
	rules(t, "", onCPAP+set, []rule{
		{"counts for nothing", "24 09:00 retraction of=#5 reason=slip", "24 10:00", "settings.fio2Percent = 25"},
		{"not known yet", "24 09:00 retraction of=#5 reason=slip", "24 10:00 known 24 08:59", "settings.fio2Percent = 30"},
		{"with its corrections", "24 08:00 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=40\n24 09:00 retraction of=#5 reason=slip", "24 10:00", "settings.fio2Percent = 25"},
		{"with corrections charted later", "24 09:00 retraction of=#5 reason=slip\n24 09:30 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=40", "24 10:00", "settings.fio2Percent = 25"},
		{"twice is once", "24 09:00 retraction of=#5 reason=slip\n24 09:10 retraction of=#5 reason=slip", "24 10:00", "settings.fio2Percent = 25"},
		{"of a correction of a retracted original changes nothing", "#8 24 08:00 correction of=#5 reason=slip -> 24 07:00 settings fio2Percent=40\n24 09:00 retraction of=#5 reason=slip\n24 09:10 retraction of=#8 reason=slip", "24 10:00", "settings.fio2Percent = 25"},
		{"charted anew on the right infant", "@b 1 06:00 admission born=2026-10-01 cot=8 mrn=5\n@b #9 24 07:00 weight weightG=1000 charted=\"24 09:00\"\n#6 24 07:00 weight weightG=1000\n24 09:00 retraction of=#6 reason=twin movedTo=#9", "24 10:00", "weight.weightG = -\ninfants.b.weight.weightG = 1000\ninfants.b.weight.source = #9 24 07:00 n charted 24 09:00"},
	})
}

// What is charted late is seen from its charted on, whatever it tells of.
func TestTwoClocks(t *testing.T) {
	const late = "#5 24 07:00 settings fio2Percent=30 charted=\"24 09:00\"\n"
	rules(t, "", onCPAP+late, []rule{
		{"not written down yet", "", "24 08:00", "settings.fio2Percent = not charted"},
		{"as it was, known now", "", "24 08:00 known 24 09:00", "settings.fio2Percent = 30"},
		{"a minute short", "", "24 08:00 known 24 08:59", "settings.fio2Percent = not charted"},
		{"written down before it happened, by a clock that is ahead", "24 08:01 settings flowLMin=8 charted=\"24 08:00\"", "24 08:00", "settings.flowLMin = not charted"},
		{"nobody known to be there", "", "24 08:00 known 1 05:59", "only infants.a"},
	})
}
