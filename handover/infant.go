package handover

// summary computes everything about one infant but what needs the whole ward.
func (r *reading) summary() *Summary {
	r.misnamed()
	s := r.who()
	s.Age = r.ageFact()
	s.Support = r.supportFact()
	s.Settings = r.settingsFact()
	s.FiO2, s.SpO2, s.Indices = r.fio2Fact(), r.spo2Fact(), r.indicesFact()
	s.Observations, s.Silverman, s.Episodes = r.observedFact(), r.silvermanFact(), r.episodesFact()
	s.Weight, s.BirthWeight = r.weightFact(), r.birthWeightFact()
	s.Interface, s.Rotation, s.HoursUnder = r.interfaceFact(), r.rotationFact(), r.hoursFact()
	s.Skin = r.skinFact()
	s.Tubes = r.tubesFact()
	s.Head, s.Bonnet = r.headFact(), r.bonnetFact()
	s.Humidifier, s.Setup = r.humidifierFact(), r.setupFact()
	s.Cares, s.Alarms, s.Outlook = r.caresFact(), r.alarmsFact(), r.outlookFact()
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
