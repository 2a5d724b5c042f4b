package page

import (
	"fmt"
	"time"
	_ "time/tzdata" // the same zones on every machine

	"cotline/handover"
	"cotline/handover/entry"
)

func charted[T any](v T) handover.Maybe[T] { return handover.Maybe[T]{Applies: true, Value: &v} }
func gap[T any]() handover.Maybe[T]        { return handover.Maybe[T]{Applies: true} }

func dec(s string) entry.Decimal {
	d, err := entry.ParseDecimal(s)
	if err != nil {
		panic(err)
	}
	return d
}

func day(s string) entry.Date {
	d, err := entry.ParseDate(s)
	if err != nil {
		panic(err)
	}
	return d
}

func ptr[T any](v T) *T { return &v }

// clockOf the invented unit: the morning after the clock went back, so that
// times of the night stand in both offsets.
func clockOf(s string) time.Time {
	t, err := time.Parse(time.RFC3339, s)
	if err != nil {
		panic(err)
	}
	return t
}

func zoneOf(name string) *time.Location {
	z, err := time.LoadLocation(name)
	if err != nil {
		panic(err)
	}
	return z
}

// entryID is a readable id of a made-up entry.
func entryID(n int) string { return fmt.Sprintf("%08d-0000-4000-8000-000000000000", n) }

func from(n int, at string) handover.Source {
	return handover.Source{At: clockOf(at), By: "rn-alder", Entry: entryID(n)}
}

func late(n int, at, charted string) handover.Source {
	s := from(n, at)
	s.Charted = clockOf(charted)
	return s
}

func numberFact(v string, s handover.Source) *handover.NumberFact {
	return &handover.NumberFact{Value: dec(v), Source: s}
}

// twoInfants is a handover by hand in which every fact stands in some state:
// charted, not charted, not applicable, overdue, deferred, corrected, late.
func twoInfants() *handover.Handover {
	return &handover.Handover{
		Unit: "Thistledown <neonatal> unit", Zone: zoneOf("Europe/Dublin"),
		At: clockOf("2026-10-25T07:30:00Z"), Known: clockOf("2026-10-25T07:32:00Z"),
		Policy: "0f1e2d3c4b5a69788796a5b4c3d2e1f00f1e2d3c4b5a69788796a5b4c3d2e1f0", Position: 1234,
		Chain: "c0ffee0123456789abcdef0123456789abcdef0123456789abcdef0123456789",
		Late: []handover.Late{
			{Infant: "inf-1", Kind: "settings", How: "written", Text: "Settings: Set FiO2 45 %", Entry: entryID(99), By: "rn-birch",
				At: clockOf("2026-10-24T19:40:00+01:00"), Charted: clockOf("2026-10-24T19:55:00+01:00")},
			{Infant: "inf-9", Kind: "weight", How: "arrived", Text: "Weight: 1800 g", Entry: entryID(98), By: "rn-birch",
				At: clockOf("2026-10-24T19:45:00+01:00"), Charted: clockOf("2026-10-24T19:50:00+01:00")},
		},
		Left: []handover.Left{
			{Infant: "inf-8", Cot: "K3", MRN: "0090011", Family: "Żołądź", Given: "Mgła", To: "ward", Place: "Heron ward",
				Source: from(1, "2026-10-25T05:10:00Z")},
			{Infant: "inf-9", Cot: "K4", Temporary: "Label 9", Family: "Hiddenleft", Given: "Nobodyleft", Restricted: true, To: "home",
				Source: from(2, "2026-10-25T06:00:00Z")},
		},
		Notes: []handover.Note{{Text: "The store door sticks.", Source: from(3, "2026-10-25T04:00:00Z")}},
		Tasks: []handover.Task{{ID: entryID(4), Text: "count the limbs", DueAt: clockOf("2026-10-25T09:00:00Z"),
			Source: from(4, "2026-10-25T03:00:00Z")}},
		Infants: []*handover.Summary{full(), bare2()},
	}
}

func full() *handover.Summary {
	hours := []string{"11.33", "11.33", "11.33", "11.33", "12.08", "23.41", "12.08", "12.08", "23.41", "23.41", "23.41", "23.41"}
	var under []handover.SiteHours
	for i, site := range entry.Sites {
		under = append(under, handover.SiteHours{Site: site, Hours: dec(hours[i])})
	}
	seen := from(20, "2026-10-25T06:20:00Z")
	skin := []handover.SkinSite{
		{Site: "septum", Finding: "stage-1", Also: []string{"dry", "swelling"}, UnderBarrier: charted(true), Action: "barrier renewed",
			Note: "red & does not pale", Change: "worse", Source: from(30, "2026-10-25T06:05:00Z")},
		{Site: "columella", Finding: "blanching", UnderBarrier: charted(false), Change: "new", Source: from(30, "2026-10-25T06:05:00Z")},
		{Site: "bridge", Finding: "intact", Change: "better", Source: from(30, "2026-10-25T06:05:00Z")},
		{Site: "forehead", Finding: "intact", Change: "same", Source: from(31, "2026-10-24T16:30:00+01:00")},
		{Site: "ear-left", Finding: "mucosal", Change: "other", Source: from(31, "2026-10-24T16:30:00+01:00")},
	}
	set := handover.Source{At: clockOf("2026-10-25T00:10:00+01:00"), By: "rn-alder", Entry: entryID(11),
		Corrected: &handover.Amended{By: "rn-birch", Charted: clockOf("2026-10-25T00:45:00+01:00")}}
	return &handover.Summary{
		Infant: "inf-1", Cot: "K1", MRN: "0071234", Family: "Sương-Mùa", Given: "Łąka ندى <b>", Formerly: "Κύμα שלכת",
		Sex: "female", Mother: "m-7", Visit: "v-77", BirthOrder: "1", Multiples: "2",
		Since: clockOf("2026-10-24T20:05:00+01:00"),
		Age:   handover.Age{Gestation: "27+2", Postmenstrual: "30+1", DayOfLife: 20},
		Support: handover.Support{State: "on", Mode: "cpap", Since: clockOf("2026-10-05T03:20:00+01:00"),
			ModeSince: clockOf("2026-10-24T09:00:00+01:00"), Driver: "drv-2", Source: late(10, "2026-10-24T09:00:00+01:00",
				"2026-10-24T11:00:00+01:00")},
		Settings: []handover.Setting{
			{Field: "pressureCmH2O", Fact: numberFact("6.0", from(12, "2026-10-25T03:10:00Z"))},
			{Field: "fio2Percent", Fact: numberFact("31", from(13, "2026-10-25T01:30:00Z"))},
			{Field: "flowLMin", Fact: numberFact("8", set)},
			{Field: "spo2LowPercent", Fact: numberFact("90", from(12, "2026-10-25T03:10:00Z"))},
			{Field: "spo2HighPercent", Fact: numberFact("95", from(12, "2026-10-25T03:10:00Z"))},
		},
		FiO2: charted(handover.FiO2Window{MinPercent: dec("26"), MaxPercent: dec("31"), MeanPercent: charted(dec("28.80")), Rises: 2}),
		SpO2: charted(handover.SpO2Window{Count: 7, Below: 1, InTarget: 4, Above: 1, NoTarget: 1}),
		Indices: charted(handover.Indices{SF: charted(dec("293.55")), Severity: charted(dec("1.86")), OSI: charted(dec("2.04")),
			SpO2: dec("91"), Source: seen}),
		Observations: []handover.Observed{
			{Field: "spo2Percent", Value: "91", Source: seen}, {Field: "spo2Site", Value: "foot", Word: true, Source: seen},
			{Field: "heartRateBpm", Value: "157", Source: seen},
			{Field: "axillaryC", Value: "36.9", Source: from(21, "2026-10-25T05:00:00Z")},
		},
		Silverman: charted(handover.Silverman{Total: 3, Items: [5]int{0, 1, 1, 1, 0}, Source: seen}),
		Weight: charted(handover.Weight{WeightG: dec("1010"), Score: handover.Score{Z: ptr(dec("-0.27")), Centile: ptr(dec("39.4")),
			Standard: "A standard, 2015"}, Source: from(22, "2026-10-23T10:30:00+01:00")}),
		BirthWeight: charted(handover.Weight{WeightG: dec("940"), Score: handover.Score{NoZ: "gestation"},
			Source: from(5, "2026-10-05T02:00:00+01:00")}),
		Episodes: handover.Episodes{
			Window: handover.EpisodeCount{Count: 2, BySign: [3]int{1, 1, 2}, ByRecovered: [5]int{1, 0, 0, 1, 0}},
			Day:    handover.EpisodeCount{Count: 3, BySign: [3]int{2, 1, 2}, ByRecovered: [5]int{1, 1, 0, 1, 0}},
			Helped: ptr(late(23, "2026-10-25T01:45:00+01:00", "2026-10-25T04:10:00Z")),
		},
		Interface: charted(handover.Interface{Type: "mask", Size: charted("rill"), Since: clockOf("2026-10-25T06:10:00Z"),
			Source: from(24, "2026-10-25T06:10:00Z")}),
		Rotation: charted(handover.Rotation{Last: &handover.Rotated{From: "prongs", To: "mask", FromSince: clockOf("2026-10-24T18:05:00Z"),
			FromUntil: clockOf("2026-10-24T22:10:00Z"),
			Source:    from(25, "2026-10-24T22:10:00+01:00")},
			DueAt: charted(clockOf("2026-10-25T02:10:00Z")), OverdueAt: charted(clockOf("2026-10-25T06:10:00Z")), State: "overdue"}),
		HoursUnder: charted(under),
		Skin: handover.Skin{Worst: &skin[0], Checked: &skin[0].Source, Sites: skin,
			Unseen: charted([]string{"naris-left", "naris-right", "occiput"}),
			DueAt:  charted(clockOf("2026-10-25T06:45:00Z")), Overdue: charted(clockOf("2026-10-25T08:45:00Z")),
			DueSites: []string{"cheek-left", "cheek-right"}, State: "deferred", Until: clockOf("2026-10-25T09:00:00Z")},
		Tubes: charted([]handover.Tube{
			{Use: "feeding", Route: "nasal", SizeFr: charted(dec("6")), MarkCm: dec("18.6"), ReferenceMarkCm: dec("17.5"),
				ReferenceAt: clockOf("2026-10-20T10:00:00+01:00"), Moved: true, CheckedAt: clockOf("2026-10-25T06:00:00Z"),
				PH: numberFact("5.0", from(33, "2026-10-25T03:00:00Z")), Aspirate: &handover.WordFact{Value: "none",
					Source: from(34, "2026-10-25T06:00:00Z")},
				EstimateCm: charted(dec("16.0")), EstimateBy: "freeman-2012", EstimateWeightAt: clockOf("2026-10-23T10:30:00+01:00"),
				Source: from(34, "2026-10-25T06:00:00Z")},
			{Use: "venting", Route: "oral", SizeFr: gap[entry.Decimal](), MarkCm: dec("15.5"), ReferenceMarkCm: dec("15.5"),
				ReferenceAt: clockOf("2026-10-25T03:00:00Z"), CheckedAt: clockOf("2026-10-25T03:00:00Z"),
				EstimateCm: handover.Maybe[entry.Decimal]{Why: "the latest weight is older than the unit's limit"},
				Source:     from(35, "2026-10-25T03:00:00Z")},
		}),
		Head: charted(handover.Head{CircumferenceCm: dec("25.3"), Score: handover.Score{Z: ptr(dec("-0.79")), Centile: ptr(dec("21.5")),
			Standard: "A standard, 2015"},
			Growth: &handover.Growth{CmPerWeek: dec("0.70"), From: *numberFact("24.6", from(36, "2026-10-12T10:00:00+01:00")),
				WithinError: true}, Source: from(37, "2026-10-19T10:10:00+01:00")}),
		Bonnet: charted(handover.Bonnet{Size: charted("bud"), Since: clockOf("2026-10-19T10:20:00+01:00"), DueOn: day("2026-10-24"),
			Reason: "tight",
			Reasons: []handover.Reason{{Reason: "tight", On: day("2026-10-24"), Entry: entryID(38)},
				{Reason: "outgrowing", On: day("2027-01-02"), Entry: entryID(37)}},
			State: "overdue", CheckFrom: day("2026-10-22"), Latest: day("2026-11-10"), Fits: charted(false),
			Source: from(39, "2026-10-19T10:20:00+01:00")}),
		Humidifier: charted(handover.Humidifier{State: charted("out-of-tolerance"),
			ChamberC: numberFact("38.1", from(40, "2026-10-25T06:30:00Z")), InTolerance: charted(false), ReadyBeforeUse: charted(true),
			Water: "ok", WaterEmptyAt: charted(clockOf("2026-10-25T09:30:00Z")), Source: from(41, "2026-10-25T06:40:00Z")}),
		Setup: charted(handover.Setup{Calibrated: charted(false), Points: []handover.SensorPoint{
			{GasPercent: dec("21"), ReadPercent: dec("21.3"), OK: true, Source: from(42, "2026-10-19T10:00:00+01:00")},
			{GasPercent: dec("100"), ReadPercent: dec("93.0"), Source: from(42, "2026-10-19T10:00:00+01:00")}},
			SealHeld: charted(true), NotDone: []string{"thumb test"}, CircuitDueOn: charted(day("2026-10-26")),
			ProbeCaution: charted(true)}),
		Cares: []handover.Care{
			{What: "mouth-care", Window: 2, Source: from(43, "2026-10-25T05:10:00Z")},
			{What: "skin-to-skin", State: "off", Text: "two hours\nwith the mother", Source: from(44, "2026-10-24T14:05:00+01:00")}},
		Alarms: []handover.Alarm{{About: "low-pressure", Tried: []handover.Tried{{Cause: "mouth open"}, {Cause: "seal", Found: true}},
			Action: "mask set anew", SettledAt: clockOf("2026-10-25T01:19:00Z"), Source: from(45, "2026-10-25T01:15:00Z")},
			{About: "oxygen", Source: from(46, "2026-10-25T07:20:00Z")}},
		Outlook: charted(handover.Outlook{Severity: "unstable",
			IfThen: []handover.IfThen{{If: "oxygen above 40", Then: "tell the prescriber"}}, CallFor: "any bagging",
			Source: from(47, "2026-10-24T19:40:00+01:00")}),
		Notes: []handover.Note{{Text: "Quiet night.", Source: from(48, "2026-10-25T02:00:00Z")},
			{Text: "<script>alert('note')</script> look at the nose first", ReadOut: true, Source: from(49, "2026-10-25T06:30:00Z")}},
		Tasks: []handover.Task{{ID: entryID(50), Text: "bloods before the round", DueAt: clockOf("2026-10-25T07:00:00Z"),
			Source: from(50, "2026-10-24T20:10:00+01:00")}},
		Plans: []handover.Plan{{What: "care", Care: "nasal-suction", Every: "6h", Reason: "dry nose",
			Until: clockOf("2026-10-25T20:00:00Z"), Source: from(51, "2026-10-24T15:00:00+01:00")}, {What: "head", Every: "none",
			Reason: "swelling", Source: from(52, "2026-10-24T15:00:00+01:00")}},
		Due: []handover.Due{
			{What: "bonnet", On: day("2026-10-24"), OverdueAt: clockOf("2026-10-24T23:00:00Z"), State: "overdue", Why: "tight"},
			{What: "rotation", At: clockOf("2026-10-25T02:10:00Z"), OverdueAt: clockOf("2026-10-25T06:10:00Z"), State: "overdue",
				Why: "mask on"},
			{What: "observations", At: clockOf("2026-10-25T07:20:00Z"), OverdueAt: clockOf("2026-10-25T08:20:00Z"), State: "due",
				Every: "1h"},
			{What: "care", Care: "nasal-suction", At: clockOf("2026-10-25T07:25:00Z"), OverdueAt: clockOf("2026-10-25T13:25:00Z"),
				State: "due", Every: "6h", Planned: true},
			{What: "task", Task: entryID(50), Text: "bloods before the round", At: clockOf("2026-10-25T07:00:00Z"),
				OverdueAt: clockOf("2026-10-25T08:00:00Z"), State: "due"},
			{What: "skin", At: clockOf("2026-10-25T06:45:00Z"), OverdueAt: clockOf("2026-10-25T08:45:00Z"), State: "deferred",
				Until: clockOf("2026-10-25T09:00:00Z"), Why: "asleep on her father"},
		},
		Changes: []handover.Change{
			{Path: "settings.fio2Percent", From: &handover.ChangeValue{Text: "26", Bare: true},
				To: &handover.ChangeValue{Text: "31", Bare: true}, Why: "happened", Entry: entryID(13)},
			{Path: "skin.sites.septum", From: &handover.ChangeValue{Text: "intact"}, To: &handover.ChangeValue{Text: "stage-1"},
				Why: "late", Entry: entryID(30)},
			{Path: "tubes.feeding.markCm", From: &handover.ChangeValue{Text: "17.5", Bare: true},
				To: &handover.ChangeValue{Text: "18.6", Bare: true}, Why: "corrected", Entry: entryID(34)},
			{Path: "bonnet.in", To: &handover.ChangeValue{Text: "true", Bare: true}, Why: "happened", Entry: entryID(39)},
			{Path: "bonnet.due", From: &handover.ChangeValue{Text: "2026-10-26 weekly"},
				To: &handover.ChangeValue{Text: "2026-10-24 tight"}, Why: "happened", Entry: entryID(38)},
			{Path: "name", From: &handover.ChangeValue{Text: "Κύμα שלכת"}, To: &handover.ChangeValue{Text: "Łąka ندى <b> Sương-Mùa"},
				Why: "happened", Entry: entryID(6)},
			{Path: "outlook.severity", From: &handover.ChangeValue{Text: "stable"}, Why: "happened", Entry: entryID(47)},
		},
		Remarks: []handover.Remark{{Entry: entryID(24), Why: "called a rotation, but mask to mask"}},
		Thresholds: []handover.ThresholdFact{{Name: "much oxygen", Text: "fio2Percent > 30", Source: "house rule 2", Met: ptr(true)},
			{Name: "more still", Text: "fio2Percent > 50", Source: "house rule 3", Met: ptr(false)},
			{Name: "old value", Text: "silverman > 6", Source: "house rule 4"}},
		Gaps:       []string{"tubes.venting.sizeFr"},
		Conflicts:  []handover.Conflict{{What: "driver", Value: "drv-2", Infant: "inf-2"}},
		LookAlikes: []handover.LookAlike{{Infant: "inf-2", Why: "number"}},
		Attention: []handover.Attention{
			{What: "conflict", Level: handover.Now, Text: "SAME DRIVER drv-2 as K2", Path: "conflicts"},
			{What: "tube", Level: handover.Now, Text: "TUBE 17.5 → 18.6 cm, 06:00", Path: "tubes.feeding",
				At: clockOf("2026-10-25T06:00:00Z"), Entry: entryID(34)},
			{What: "skin", Level: handover.Know, Text: "columella blanching, 06:05", Path: "skin.sites.columella",
				At: clockOf("2026-10-25T06:05:00Z"), Entry: entryID(30)},
			{What: "look-alike", Level: handover.Know, Text: "LOOK-ALIKE K2 (number)", Path: "lookAlikes"},
		},
		Next: []handover.Next{{What: "tube", DueAt: clockOf("2026-10-25T12:00:00Z"), OverdueAt: clockOf("2026-10-25T18:00:00Z")},
			{What: "circuit", On: day("2026-10-26")}},
		Old: []handover.Old{{Path: "observations.axillaryC", At: clockOf("2026-10-25T05:00:00Z")}},
	}
}

// bare2 is an infant whose name is not shown and of whom little was charted.
func bare2() *handover.Summary {
	return &handover.Summary{
		Infant: "inf-2", Cot: "K2", MRN: "0071243", Family: "Hiddenname", Given: "Nobody", Formerly: "Hiddenformer", Restricted: true,
		Since: clockOf("2026-10-24T20:05:00+01:00"), New: true, Age: handover.Age{Gestation: "28", Postmenstrual: "28", About: true,
			DayOfLife: 0},
		Support: handover.Support{State: "on", Mode: "high-flow", Since: clockOf("2026-10-25T05:00:00Z"),
			ModeSince: clockOf("2026-10-25T05:00:00Z"), Driver: "drv-2", Source: from(60, "2026-10-25T05:00:00Z")},
		Settings: []handover.Setting{{Field: "fio2Percent"}, {Field: "flowLMin", Fact: numberFact("6", from(61, "2026-10-25T05:00:00Z"))},
			{Field: "spo2LowPercent", Fact: numberFact("90", from(62, "2026-10-25T05:05:00Z"))}, {Field: "spo2HighPercent"}},
		FiO2: gap[handover.FiO2Window](), SpO2: charted(handover.SpO2Window{}), Indices: gap[handover.Indices](),
		Silverman: handover.Maybe[handover.Silverman]{Why: "not all five items were charted"},
		Interface: charted(handover.Interface{Type: "cannula", Size: gap[string](), Since: clockOf("2026-10-25T05:00:00Z"),
			Source: from(63, "2026-10-25T05:00:00Z")}),
		Tubes: gap[[]handover.Tube](), Head: gap[handover.Head](), HoursUnder: gap[[]handover.SiteHours](),
		Skin: handover.Skin{Unseen: charted([]string{"occiput"}), DueAt: charted(clockOf("2026-10-25T09:00:00Z")),
			Overdue:  charted(clockOf("2026-10-25T11:00:00Z")),
			DueSites: []string{"naris-left", "naris-right"}, State: "not-due"},
		Humidifier: charted(handover.Humidifier{State: gap[string](), ReadyBeforeUse: gap[bool](),
			WaterEmptyAt: handover.Maybe[time.Time]{Why: "no bag charted as hung"}}),
		Setup: charted(handover.Setup{Calibrated: gap[bool](), SealHeld: gap[bool](), CircuitDueOn: gap[entry.Date]()}),
		Due: []handover.Due{{What: "head", On: day("2026-10-25"), OverdueAt: clockOf("2026-10-26T00:00:00Z"), State: "due",
			Why: "never measured"}},
		Changes: []handover.Change{{Path: "name", To: &handover.ChangeValue{Text: "Nobody Hiddenname"}, Why: "happened",
			Entry: entryID(64)}},
		Gaps: []string{"settings.fio2Percent", "settings.spo2HighPercent", "interface.size", "tubes", "head", "skin", "sex",
			"humidifier.chamberC", "setup.points.21", "setup.sealHeld", "setup.circuit"},
		NotComputed: []handover.NotComputed{{Path: "fio2", Why: "settings.fio2Percent: none in force in the window"},
			{Path: "indices", Why: "observations.spo2Percent: none since 02:10"},
			{Path: "hoursUnder", Why: "interface: none charted"}, {Path: "humidifier.state", Why: "humidifier.chamberC: none charted"},
			{Path: "humidifier.readyBeforeUse", Why: "setup.circuit: none fitted by 22:00"},
			{Path: "setup.calibrated", Why: "setup.points.21: not read"},
			{Path: "setup.circuitDueOn", Why: "setup.circuit: none charted as fitted"}},
		Conflicts:  []handover.Conflict{{What: "driver", Value: "drv-2", Infant: "inf-1"}},
		LookAlikes: []handover.LookAlike{{Infant: "inf-1", Why: "number"}},
	}
}
