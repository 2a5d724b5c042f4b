package handover_test

import "testing"

func TestAlarms(t *testing.T) {
	rules(t, "", onCPAP, []rule{
		{"of the window, in order, with what was tried",
			"24 08:00 alarm about=power\n#5 24 08:01 alarm about=low-pressure tried=\"interface seal:false,mouth open:true\" " +
				"action=\"chin up\" settledAt=\"24 08:05\"\n24 12:00 alarm about=oxygen\n24 12:01 alarm about=other",
			"24 12:00 since 24 08:00", `
			alarms.0.about = low-pressure
			alarms.0.tried.0 = interface seal false
			alarms.0.tried.1 = mouth open true
			alarms.0.action = chin up
			alarms.0.settledAt = 24 08:05
			alarms.0.source = #5 24 08:01 n
			alarms.1.about = oxygen
			alarms.1.source = #1005 24 12:00 n
			only alarms`},
	})
}

// Charted, never computed: the latest entry whole, with nothing of the one before.
func TestOutlook(t *testing.T) {
	rules(t, "", admitted, []rule{
		{"none", "", "24 12:00", "outlook = not charted"},
		{"whole", "#5 23 08:00 outlook severity=watcher ifThen=\"more oxygen:call\" callFor=\"any bagging\"", "24 12:00", `
			outlook.severity = watcher
			outlook.ifThen.0.if = more oxygen
			outlook.ifThen.0.then = call
			outlook.callFor = any bagging
			outlook.source = #5 23 08:00 n
			only outlook`},
		{"the latest, alone", "23 08:00 outlook severity=watcher ifThen=\"more oxygen:call\"\n#6 24 08:00 outlook callFor=x", "24 12:00",
			"outlook.callFor = x\noutlook.source = #6 24 08:00 n\nonly outlook"},
	})
}

func TestNotes(t *testing.T) {
	rules(t, "", admitted, []rule{
		{"of the window", "24 08:00 note text=before\n#5 24 08:01 note text=\"warm, pink\" readOut=true\n24 12:01 note text=after",
			"24 12:00 since 24 08:00", "infants.a.notes.0.text = warm, pink\ninfants.a.notes.0.readOut = true\n" +
				"infants.a.notes.0.source = #5 24 08:01 n\nonly infants.a.notes\nonly notes"},
		{"of the unit, by shift", "@- 24 07:30 note text=before\n@- #5 24 07:31 note text=\"lift out\"", "24 12:00",
			"notes.0.text = lift out\nnotes.0.readOut = false\nnotes.0.source = #5 24 07:31 n\nonly notes"},
		{"of the unit, by a given start", "@- 24 07:30 note text=x\n@- #5 24 09:01 note text=\"lift out\"", "24 12:00 since 24 09:00",
			"notes.0.text = lift out\nonly notes.1"},
		{"a task of the unit is open until it is done",
			"@- #5 20 07:30 task text=\"order hoses\"\n@- #6 20 07:30 task text=\"count bonnets\"\n@- 21 08:00 task-done task=#6",
			"24 12:00", "tasks.0.id = #5\ntasks.0.text = order hoses\ntasks.0.source = #5 20 07:30 n\nonly tasks"},
	})
}

// The unit's own rules against set values, against what was observed in the spell
// and is no older than two intervals, and against indices of such an SpO2; not met
// is not the same as not known.
func TestThresholds(t *testing.T) {
	const two = `{"thresholds":[{"name":"much","all":[{"field":"fio2Percent","is":">","value":35},{"field":"pressureCmH2O","is":">=",` +
		`"value":6}],"source":"house rule 2"}]}`
	rules(t, two, onCPAP, []rule{
		{"met", "24 06:00 settings fio2Percent=36 pressureCmH2O=6", "24 08:00",
			"thresholds.0.name = much\nthresholds.0.text = fio2Percent > 35 and pressureCmH2O >= 6\nthresholds.0.source = house rule 2\n" +
				"thresholds.0.met = true"},
		{"one not met", "24 06:00 settings fio2Percent=35 pressureCmH2O=6", "24 08:00", "thresholds.0.met = false"},
		{"one not charted", "24 06:00 settings fio2Percent=36", "24 08:00", "thresholds.0.met = -"},
		{"what is read at the infant is not what is set", "24 06:00 settings fio2Percent=36\n24 07:59 observations pressureCmH2O=7",
			"24 08:00", "thresholds.0.met = -"},
	})
	for _, c := range []struct{ is, value, want string }{
		{">", "93", "false"}, {">=", "93.0", "true"}, {"<", "93", "false"}, {"<=", "93", "true"}, {"=", "93.00", "true"},
		{"=", "93.01", "false"},
	} {
		rules(t, `{"thresholds":[{"name":"x","all":[{"field":"spo2Percent","is":"`+c.is+`","value":`+c.value+`}],"source":"s"}]}`,
			onCPAP, []rule{
				{c.is + c.value, "24 07:01 observations spo2Percent=93", "24 08:00", "thresholds.0.met = " + c.want},
				{c.is + c.value + ", two intervals old", "24 07:00 observations spo2Percent=93", "24 09:00",
					"thresholds.0.met = " + c.want},
				{c.is + c.value + ", older", "24 07:00 observations spo2Percent=93", "24 09:01", "thresholds.0.met = -"},
			})
	}
	rules(t, `{"thresholds":[{"name":"x","all":[{"field":"sf","is":"<","value":200}],"source":"s"},{"name":"y",`+
		`"all":[{"field":"silverman","is":">=","value":5}],"source":"s"}]}`,
		onCPAP+"24 06:00 settings fio2Percent=50\n24 07:30 observations spo2Percent=93 silverman=1:1:1:1:1\n", []rule{
			{"indices and scores", "", "24 08:00", "thresholds.0.met = true\nthresholds.1.met = true"},
			{"too old", "", "24 09:31", "thresholds.0.met = -\nthresholds.1.met = -"},
		})
}
