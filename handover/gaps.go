package handover

// gapsOf lists the JSON path of every figure that applies and was not charted,
// those that a nurse should mend first: settings, interface, tube, head, skin.
func gapsOf(s *Summary) []string {
	gaps := []string{}
	add := func(gap bool, path string) {
		if gap {
			gaps = append(gaps, path)
		}
	}
	for _, x := range s.Settings {
		add(x.Fact == nil, "settings."+x.Field)
	}
	add(s.Interface.gap(), "interface")
	if f := s.Interface.Value; f != nil {
		add(f.Size.gap(), "interface.size")
	}
	add(s.Tubes.gap(), "tubes")
	for _, t := range s.Tubes.orZero() {
		add(t.SizeFr.gap(), "tubes."+t.Use+".sizeFr")
	}
	add(s.Head.gap(), "head")
	if s.Skin.Checked == nil {
		for _, path := range []string{"checkedAt", "worst", "worstSite", "worstAt"} {
			add(true, "skin."+path)
		}
	}
	add(s.FiO2.gap(), "fio2")
	add(s.Indices.gap(), "indices")
	if f := s.Indices.Value; f != nil {
		add(f.SF.gap(), "indices.sf")
		add(f.Severity.gap(), "indices.severity")
		add(f.OSI.gap(), "indices.osi")
	}
	if f := s.Rotation.Value; f != nil {
		add(f.DueAt.gap(), "rotation.dueAt")
		add(f.OverdueAt.gap(), "rotation.overdueAt")
	}
	add(s.HoursUnder.gap(), "hoursUnder")
	if f := s.Bonnet.Value; f != nil {
		add(f.Size.gap(), "bonnet.size")
		add(f.Fits.gap(), "bonnet.fits")
	}
	if f := s.Humidifier.Value; f != nil {
		add(f.State.gap(), "humidifier.state")
		add(f.ReadyBeforeUse.gap(), "humidifier.readyBeforeUse")
		add(f.WaterEmptyAt.gap(), "humidifier.waterEmptyAt")
	}
	if f := s.Setup.Value; f != nil {
		add(f.Calibrated.gap(), "setup.calibrated")
		add(f.SealHeld.gap(), "setup.sealHeld")
		add(f.CircuitDueOn.gap(), "setup.circuitDueOn")
	}
	return gaps
}
