package handover

// summary computes everything about one infant but what needs the whole ward.
func (r *reading) summary() *Summary {
	r.misnamed()
	s := r.comparedPart()
	s.Age = r.ageFact()
	s.FiO2, s.SpO2, s.Indices = r.fio2Fact(), r.spo2Fact(), r.indicesFact()
	s.Observations, s.Silverman, s.Episodes = r.observedFact(), r.silvermanFact(), r.episodesFact()
	s.Weight, s.BirthWeight = r.weightFact(), r.birthWeightFact()
	s.HoursUnder = r.hoursFact()
	s.Skin = r.skinFact()
	s.Tubes = r.tubesFact()
	s.Humidifier, s.Setup = r.humidifierFact(), r.setupFact()
	s.Cares, s.Alarms = r.caresFact(), r.alarmsFact()
	s.Notes, s.Tasks, s.Plans = r.notesFact(), r.tasksFact(), r.plansFact()
	all := r.dues(s)
	s.Due, s.Next = dueFact(all), r.next(all)
	s.Thresholds = r.thresholdsFact(s)
	s.AsCharted = r.asCharted()
	s.Old = r.old(s)
	s.Gaps, s.NotComputed = r.gaps(s), r.notComputed(s)
	s.Remarks = r.remarks
	return s
}

// comparedPart is the part of a summary that comparable reads: of what was told before, no
// more is needed.
func (r *reading) comparedPart() *Summary {
	s := r.who()
	s.Support = r.supportFact()
	s.Settings = r.settingsFact()
	s.Interface, s.Rotation = r.interfaceFact(), r.rotationFact()
	s.Head, s.Bonnet = r.headFact(), r.bonnetFact()
	s.Outlook = r.outlookFact()
	return s
}
