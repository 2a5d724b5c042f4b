package handover_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestObservationsDue(t *testing.T) {
	rules(t, "", onCPAP, []rule{
		{"from the spell's start", "", "24 06:59", "due.observations = -"},
		{"from that moment on", "", "24 07:00", "due.observations = due 24 07:00\ndue.observations.overdueAt = 24 08:00\n" +
			"due.observations.every = 1h"},
		{"overdue at twice the interval", "", "24 08:00", "due.observations = overdue 24 07:00"},
		{"SpO2, heart or respiratory rate count", "24 06:10 observations spo2Percent=93\n24 06:20 observations heartRateBpm=150\n" +
			"24 06:30 observations respRateBpm=50", "24 07:30", "due.observations = due 24 07:30"},
		{"a temperature does not", "24 06:10 observations axillaryC=36.8", "24 07:05", "due.observations = due 24 07:00"},
		{"in a break too", "24 06:30 support state=stopped\n24 06:40 observations spo2Percent=93\n" +
			"24 06:50 support state=started mode=cpap", "24 07:40", "due.observations = due 24 07:40"},
		{"not from before the spell", "24 05:59 observations spo2Percent=93", "24 07:00", "due.observations = due 24 07:00"},
		{"off support: none", "24 06:30 support state=stopped", "24 09:00", "due.observations = -"},
		{"by plan", "24 06:00 plan what=observations every=3h reason=sleep", "24 09:00",
			"due.observations = due 24 09:00\ndue.observations.overdueAt = 24 12:00\ndue.observations.every = 3h by plan"},
	})
	rules(t, `{"every":{"observations":"none"}}`, onCPAP, []rule{{"none by policy", "", "25 06:00", "due.observations = -"}})
}

func TestCaresDue(t *testing.T) {
	const every6h = `{"every":{"care":{"mouth-care":"6h"},"oxygenSensor":"8h"}}`
	rules(t, every6h, onCPAP, []rule{
		{"from the spell's start", "", "24 12:00", "due.care.mouth-care = due 24 12:00\ndue.care.mouth-care.overdueAt = 24 18:00\n" +
			"due.oxygen-sensor = -"},
		{"from the latest of the stay", "24 05:00 care what=mouth-care", "24 11:00", "due.care.mouth-care = due 24 11:00"},
		{"of that care", "24 07:00 care what=position side=left", "24 12:00", "due.care.mouth-care = due 24 12:00\ndue.care.position = -"},
		{"by plan only", "24 07:00 care what=position side=left\n24 07:00 plan what=care care=position every=2h reason=sore", "24 09:00",
			"due.care.position = due 24 09:00\nplans.care.position.every = 2h"},
		{"oxygen sensor", "", "24 14:00", "due.oxygen-sensor = due 24 14:00"},
		{"oxygen sensor, from the latest of the stay", "23 08:00 calibration points=21:21", "24 07:00",
			"due.oxygen-sensor = overdue 23 16:00"},
		{"oxygen sensor, not off support", "24 08:00 support state=stopped", "25 08:00",
			"due.oxygen-sensor = -\ndue.care.mouth-care = overdue 1 12:00"},
	})
	rules(t, every6h, admitted, []rule{{"no support: from admission", "", "1 12:00", "due.care.mouth-care = due 1 12:00"}})
	rules(t, "", onCPAP, []rule{
		{"how many in the window, the latest of each", "24 08:00 care what=mouth-care\n24 09:00 care what=mouth-care\n" +
			"#5 24 10:00 care what=mouth-care text=pink\n24 07:00 care what=barrier state=renewed", "24 11:00 since 24 08:00", `
			cares.mouth-care.text = pink
			cares.mouth-care.window = 2
			cares.mouth-care.source = #5 24 10:00 n
			cares.barrier.state = renewed
			cares.barrier.window = 0`},
	})
}

func TestTasks(t *testing.T) {
	const asked = "#5 24 08:00 task text=\"eye test\" dueAt=\"24 10:00\"\n"
	rules(t, "", onCPAP, []rule{
		{"not yet", asked, "24 09:59", "due.task.#5 = -\ntasks.0.text = eye test\ntasks.0.dueAt = 24 10:00"},
		{"due", asked, "24 10:00", "due.task.#5 = due 24 10:00\ndue.task.#5.text = eye test\ndue.task.#5.overdueAt = 24 11:00"},
		{"overdue an hour later", asked, "24 11:00", "due.task.#5 = overdue 24 10:00"},
		{"done", asked + "24 10:30 task-done task=#5", "24 11:00", "due.task.#5 = -\nonly tasks"},
		{"done, and that withdrawn", asked + "#6 24 10:30 task-done task=#5\n24 10:40 retraction of=#6 reason=slip", "24 11:00",
			"due.task.#5 = overdue 24 10:00"},
		{"without a time it is listed, never due", "24 08:00 task text=\"eye test\"", "25 11:00",
			"tasks.0.text = eye test\nonly due.task"},
		{"of the whole unit", "@- #5 24 08:00 task text=\"count hoses\"\n@- 24 08:00 note text=\"lift out\" readOut=true",
			"24 09:00 since 24 07:00", "tasks.0.text = count hoses\nnotes.0.text = lift out\nnotes.0.readOut = true\n" +
				"only infants.a.tasks\nonly infants.a.notes"},
	})
}

// Overdue first, then due, then deferred, each by moment; a civil day counts from
// its start.
func TestOrderOfTheDueList(t *testing.T) {
	p := readPolicy(t, `{"every":{"care":{"mouth-care":"3h"}}}`)
	h := compiled(t, p, onCPAP+`
24 06:00 humidifier state=off
24 07:00 interface type=mask
24 06:30 skin sites=bridge:intact,philtrum:intact,cheek-left:intact,cheek-right:intact
17 08:00 head circumferenceCm=25
#7 24 06:00 task text=x dueAt="24 10:15"
#8 24 06:00 task text=y dueAt="24 10:45"
24 10:50 observations spo2Percent=93
24 06:00 tube action=placed route=oral markCm=15
24 07:50 care what=mouth-care
24 11:00 deferral what=care care=mouth-care until="24 12:00" reason=asleep
24 11:00 deferral what=skin until="24 12:00" reason=asleep`, "24 11:30")
	var got []string
	for _, d := range h.Infants[0].Due {
		got = append(got, d.State+" "+strings.TrimSpace(d.What+" "+d.Care+number(d.Task)))
	}
	want := []string{"overdue task #7", "due bonnet", "due task #8", "due rotation", "deferred care mouth-care", "deferred skin"}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
	holds(t, h, "due.care.mouth-care.why = asleep\ndue.care.mouth-care.until = 24 12:00\nskin.until = 24 12:00")
}
