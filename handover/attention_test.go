package handover_test

import (
	"strings"
	"testing"

	"cotline/handover"
)

// attentionRule is one row of the table of what to look at first: what of it is
// told of the infant a, a line each, "level text | path | entry moment".
type attentionRule struct {
	name, record, when, want string
}

func attentionRules(t *testing.T, what, policy, common string, rows []attentionRule) {
	t.Helper()
	p := readPolicy(t, cmpOr(policy, "{}"))
	for _, x := range rows {
		t.Run(what+", "+x.name, func(t *testing.T) {
			t.Helper()
			h := compiled(t, p, common+"\n"+x.record, x.when)
			w := walker{zone: h.Zone}
			var got []string
			for _, s := range h.Infants {
				for _, a := range s.Attention {
					if s.Infant == "a" && a.What == what {
						got = append(got, strings.TrimSpace(a.Level+" "+a.Text+" | "+a.Path+" | "+spaced(number(a.Entry), w.moment(a.At))))
					}
				}
			}
			if told := strings.Join(got, "\n"); told != x.want {
				t.Errorf("\n  got  %s\n  want %s", told, x.want)
			}
		})
	}
}

const conflicting = admitted + "@b 1 06:00 admission born=2026-09-30 cot=8 mrn=9900\n" +
	"#2 24 06:00 support state=started mode=cpap driver=ax-1\n"

func TestAttentionConflict(t *testing.T) {
	attentionRules(t, "conflict", "", conflicting, []attentionRule{
		{"one driver on two", "@b 24 06:30 support state=started mode=cpap driver=ax-1", "24 08:00",
			"now SAME DRIVER ax-1 as 8 | conflicts |"},
		{"another driver", "@b 24 06:30 support state=started mode=cpap driver=ax-2", "24 08:00", ""},
		{"one cot", "@b 24 06:30 move cot=7", "24 08:00", "now SAME COT 7 as another infant | conflicts |"},
		{"one cot, siblings", "@b 24 06:30 move cot=7\n24 06:00 identity mother=m\n@b 24 06:00 identity mother=m", "24 08:00", ""},
		{"one number", "@b 24 06:30 identity mrn=4711", "24 08:00", "now SAME NUMBER 4711 as 8 | conflicts |"},
	})
}

func TestAttentionAlarm(t *testing.T) {
	attentionRules(t, "alarm", "", onCPAP, []attentionRule{
		{"rung in the window, not settled", "#5 24 07:40 alarm about=low-pressure", "24 09:00",
			"now ALARM low pressure not settled, 07:40 | alarms | #5 24 07:40"},
		{"settled after the moment", "#5 24 07:40 alarm about=power settledAt=\"24 09:01\"", "24 09:00",
			"now ALARM power not settled, 07:40 | alarms | #5 24 07:40"},
		{"settled", "#5 24 07:40 alarm about=power settledAt=\"24 09:00\"", "24 09:00",
			"know alarm power 07:40, settled 09:00 | alarms | #5 24 07:40"},
		{"of the spell, before the window, not settled", "#5 24 07:00 alarm about=power", "24 09:00",
			"know alarm power not settled, 07:00 | alarms | #5 24 07:00"},
		{"before the spell and the window", "24 05:00 alarm about=power", "24 09:00", ""},
		{"rung before, settled in the window", "#5 24 07:00 alarm about=power settledAt=\"24 07:31\"", "24 09:00",
			"know alarm power 07:00, settled 07:31 | alarms | #5 24 07:00"},
		{"both before", "24 07:00 alarm about=power settledAt=\"24 07:30\"", "24 09:00", ""},
		{"of each sort the latest", "24 07:40 alarm about=power\n#6 24 07:50 alarm about=power settledAt=\"24 07:51\"\n" +
			"#7 24 07:45 alarm about=oxygen", "24 09:00",
			"now ALARM oxygen not settled, 07:45 | alarms | #7 24 07:45\nknow alarm power 07:50, settled 07:51 | alarms | #6 24 07:50"},
	})
}

func TestAttentionEpisode(t *testing.T) {
	const touched = "#5 24 07:40 episode signs=apnoea recovered=touched\n"
	attentionRules(t, "episode", "", onCPAP, []attentionRule{
		{"bagged, whatever came after it", "#6 24 07:35 episode signs=apnoea lowestSpo2Percent=62 lowestHeartRateBpm=70 " +
			"recovered=bagged\n" + touched, "24 09:00",
			"now BAGGED, SpO2 62, heart 70, 07:35 | episodes | #6 24 07:35\nknow episode touched, 07:40 | episodes | #5 24 07:40"},
		{"not over", "#6 24 07:50 episode signs=apnoea recovered=not-yet", "24 09:00",
			"now EPISODE not over, 07:50 | episodes | #6 24 07:50"},
		{"bagged twice: the latest, and the other",
			"#6 24 07:50 episode signs=apnoea recovered=bagged\n#7 24 07:55 episode signs=apnoea recovered=bagged", "24 09:00",
			"now BAGGED, 07:55 | episodes | #7 24 07:55\nknow episode bagged, 07:50 | episodes | #6 24 07:50"},
		{"help of another sort", touched, "24 09:00", "know episode touched, 07:40 | episodes | #5 24 07:40"},
		{"by itself", "24 07:40 episode signs=apnoea recovered=by-itself", "24 09:00", ""},
		{"before the window", "24 07:30 episode signs=apnoea recovered=bagged", "24 09:00", ""},
	})
}

func TestAttentionSpO2(t *testing.T) {
	const set = onCPAP + "24 06:00 settings pressureCmH2O=6 fio2Percent=30 spo2LowPercent=90 spo2HighPercent=95\n"
	const path = " | observations.spo2Percent | "
	attentionRules(t, "spo2", "", set, []attentionRule{
		{"two below", "24 08:00 observations spo2Percent=88\n#6 24 08:30 observations spo2Percent=89", "24 09:00",
			"now SpO2 88, then 89, below 90 to 95, 08:30" + path + "#6 24 08:30"},
		{"one below", "24 08:00 observations spo2Percent=90\n#6 24 08:30 observations spo2Percent=89", "24 09:00",
			"know SpO2 89, below 90 to 95, 08:30" + path + "#6 24 08:30"},
		{"one well below", "#6 24 08:30 observations spo2Percent=85", "24 09:00",
			"now SpO2 85, below 90 to 95, 08:30" + path + "#6 24 08:30"},
		{"one just not well below", "#6 24 08:30 observations spo2Percent=85.1", "24 09:00",
			"know SpO2 85.1, below 90 to 95, 08:30" + path + "#6 24 08:30"},
		{"back in target", "24 08:00 observations spo2Percent=80\n24 08:30 observations spo2Percent=90", "24 09:00", ""},
		{"0 is none", "#5 24 08:00 observations spo2Percent=89\n24 08:30 observations spo2Percent=0", "24 09:00",
			"know SpO2 89, below 90 to 95, 08:00" + path + "#5 24 08:00"},
		{"two above", "24 08:00 observations spo2Percent=96\n#6 24 08:30 observations spo2Percent=97", "24 09:00",
			"know SpO2 96, then 97, above 90 to 95, 08:30" + path + "#6 24 08:30"},
		{"one above", "24 08:30 observations spo2Percent=97", "24 09:00", ""},
		{"two above in air", "24 07:00 settings fio2Percent=21\n24 08:00 observations spo2Percent=96\n" +
			"24 08:30 observations spo2Percent=97", "24 09:00", ""},
		{"below in air: the lower bound alone", "24 07:00 settings fio2Percent=21\n#6 24 08:30 observations spo2Percent=89", "24 09:00",
			"know SpO2 89, below 90, 08:30" + path + "#6 24 08:30"},
		{"two intervals old", "#6 24 07:00 observations spo2Percent=80", "24 09:00",
			"now SpO2 80, below 90 to 95, 07:00" + path + "#6 24 07:00"},
		{"older", "24 07:00 observations spo2Percent=80", "24 09:01", ""},
		{"the one before is older", "24 06:59 observations spo2Percent=88\n#6 24 08:30 observations spo2Percent=89", "24 09:00",
			"know SpO2 89, below 90 to 95, 08:30" + path + "#6 24 08:30"},
		{"by the target in force then, of the same moment too",
			"24 08:30 observations spo2Percent=89\n24 08:30 settings spo2LowPercent=88\n24 08:40 settings spo2LowPercent=91",
			"24 09:00", ""},
		{"after a stop, of the stay", "24 08:10 support state=stopped\n24 08:15 observations spo2Percent=88\n" +
			"#6 24 08:30 observations spo2Percent=89", "24 09:00", "now SpO2 88, then 89, below 90, 08:30" + path + "#6 24 08:30"},
		{"after a stop nothing is above", "24 08:10 support state=stopped\n24 08:15 observations spo2Percent=98\n" +
			"24 08:30 observations spo2Percent=99", "24 09:00", ""},
		{"a day after the stop", "24 08:10 support state=stopped\n#6 25 07:00 observations spo2Percent=80", "25 07:10",
			"now SpO2 80, below 90, 07:00" + path + "#6 25 07:00"},
		{"later", "24 08:10 support state=stopped\n25 07:05 observations spo2Percent=80", "25 07:11", ""},
	})
	attentionRules(t, "spo2", "", onCPAP, []attentionRule{
		{"no target", "24 08:30 observations spo2Percent=70", "24 09:00", ""},
		{"a lower bound alone is a target", "24 06:00 settings fio2Percent=30 spo2LowPercent=90\n#6 24 08:30 observations spo2Percent=89",
			"24 09:00", "know SpO2 89, below 90, 08:30" + path + "#6 24 08:30"},
		{"an upper bound alone is none", "24 06:00 settings fio2Percent=30 spo2HighPercent=95\n24 08:00 observations spo2Percent=99\n" +
			"24 08:30 observations spo2Percent=99", "24 09:00", ""},
	})
}

func TestAttentionSupport(t *testing.T) {
	attentionRules(t, "support", "", onCPAP, []attentionRule{
		{"nothing in the window", "", "24 09:00", ""},
		{"escalated, and on again", "#5 24 07:40 support state=stopped reason=escalated\n24 08:50 support state=started mode=cpap",
			"24 09:00", "now SUPPORT ESCALATED, 07:40 | support | #5 24 07:40"},
		{"escalated before the window", "24 07:20 support state=stopped reason=escalated", "24 09:00", ""},
		{"stopped", "#5 24 07:40 support state=stopped reason=trial-off", "24 09:00",
			"know support stopped, trial off, 07:40 | support | #5 24 07:40"},
		{"on again after a break", "24 07:40 support state=stopped\n#6 24 07:50 support state=started mode=cpap", "24 09:00",
			"know support started, CPAP, 07:50 | support | #6 24 07:50"},
		{"another mode", "#5 24 07:40 support state=changed mode=bilevel", "24 09:00",
			"know support now bilevel, 07:40 | support | #5 24 07:40"},
		{"another driver", "24 07:40 support state=changed driver=ax-9", "24 09:00", ""},
		{"the same mode", "24 07:40 support state=changed mode=cpap", "24 09:00", ""},
	})
}

func TestAttentionTube(t *testing.T) {
	const in = "#5 24 06:00 tube action=placed route=oral sizeFr=6 markCm=15.0\n"
	attentionRules(t, "tube", "", onCPAP, []attentionRule{
		{"moved", in + "#6 24 08:00 tube action=checked markCm=13.9", "24 09:00",
			"now TUBE 15.0 → 13.9 cm, 08:00 | tubes.feeding | #6 24 08:00"},
		{"just not moved", in + "24 08:00 tube action=checked markCm=14.1", "24 09:00", ""},
		{"a check of none that is in", "#6 24 08:00 tube action=checked markCm=14", "24 09:00",
			"now TUBE checked, none charted in, 08:00 | tubes.feeding | #6 24 08:00"},
		{"and then one is placed", "24 08:00 tube action=checked markCm=14\n24 08:10 tube action=placed route=oral markCm=14",
			"24 09:00", ""},
		{"removed", in + "24 08:00 tube action=removed", "24 09:00", ""},
		{"both uses, the feeding tube first", "#7 24 08:00 tube action=repositioned use=venting markCm=14\n" + in +
			"#6 24 08:00 tube action=checked markCm=16", "24 09:00",
			"now TUBE 15.0 → 16 cm, 08:00 | tubes.feeding | #6 24 08:00\nnow VENTING TUBE repositioned, none charted in, 08:00 | " +
				"tubes.venting | #7 24 08:00"},
	})
}

func TestAttentionInterface(t *testing.T) {
	attentionRules(t, "interface", "", onCPAP, []attentionRule{
		{"off longer than a rest", "24 06:30 interface type=mask\n#5 24 07:00 interface type=off", "24 08:01",
			"now INTERFACE OFF since 07:00 | interface | #5 24 07:00"},
		{"as long as a rest", "24 06:30 interface type=mask\n24 07:00 interface type=off", "24 08:00", ""},
		{"off from before the spell: counted from its start", "24 05:00 interface type=off", "24 07:00", ""},
		{"and a minute more", "#5 24 05:00 interface type=off", "24 07:01", "now INTERFACE OFF since 05:00 | interface | #5 24 05:00"},
		{"off support", "24 07:00 interface type=off\n24 07:10 support state=stopped", "24 09:00", ""},
	})
}

func TestAttentionSkin(t *testing.T) {
	attentionRules(t, "skin", "", onCPAP, []attentionRule{
		{"new", "#5 24 08:00 skin sites=septum:stage-2", "24 09:00",
			"now SKIN septum stage 2, new, 08:00 | skin.sites.septum | #5 24 08:00"},
		{"new, blanching", "#5 24 08:00 skin sites=septum:blanching", "24 09:00",
			"know septum blanching, 08:00 | skin.sites.septum | #5 24 08:00"},
		{"worse", "24 07:00 skin sites=septum:blanching\n#5 24 08:00 skin sites=septum:stage-1", "24 09:00",
			"now SKIN septum stage 1, worse, 08:00 | skin.sites.septum | #5 24 08:00"},
		{"not to be compared", "24 07:00 skin sites=septum:mucosal\n#5 24 08:00 skin sites=septum:deep", "24 09:00",
			"now SKIN septum deep, 08:00 | skin.sites.septum | #5 24 08:00"},
		{"the same", "24 07:00 skin sites=septum:stage-1\n#5 24 08:00 skin sites=septum:stage-1", "24 09:00",
			"know septum stage 1, 08:00 | skin.sites.septum | #5 24 08:00"},
		{"better, intact", "24 07:00 skin sites=septum:stage-1\n24 08:00 skin sites=septum:intact", "24 09:00", ""},
	})
	p := readPolicy(t, "{}")
	for also, want := range map[string]bool{"bleeding": true, "blister": true, "dry": false} {
		entries := story(t, p, onCPAP)
		e := mustEntry(t, `{"id":"`+entryID(9)+`","infant":"a","kind":"skin","at":"2026-10-24T08:00:00+01:00",`+
			`"charted":"2026-10-24T08:00:00+01:00","by":"n","sites":[{"site":"bridge","finding":"intact","also":["`+also+`"]}]}`)
		h := compile(t, p, append(entries, e), "24 09:00")
		got := ""
		for _, a := range h.Infants[0].Attention {
			if a.What == "skin" {
				got = a.Level + " " + a.Text
			}
		}
		if (got == "know bridge intact, "+also+", 08:00") != want {
			t.Errorf("%s: %q", also, got)
		}
	}
}

func TestAttentionOutlook(t *testing.T) {
	attentionRules(t, "outlook", "", onCPAP, []attentionRule{
		{"unstable", "#5 24 07:00 outlook severity=unstable", "24 09:00", "now UNSTABLE | outlook | #5 24 07:00"},
		{"watcher", "#5 24 07:00 outlook severity=watcher", "24 09:00", "know WATCHER | outlook | #5 24 07:00"},
		{"stable", "24 07:00 outlook severity=stable", "24 09:00", ""},
		{"none", "", "24 09:00", ""},
	})
}

// Every row of attention has its place in this order.
var attentionOrder = []string{"conflict", "alarm", "episode", "spo2", "support", "tube", "interface", "skin", "outlook",
	"overdue", "warmth", "sensor",
	"bonnet", "rule", "read-out", "missing", "late", "old", "handing-over", "new", "look-alike"}

var _ = handover.Now
