package handover

import "slices"

// gaps lists the JSON path of what a person could chart and nobody did. What a nurse
// should mend first comes first: settings, interface, tubes, head, skin. A figure that is
// computed is never a gap.
func (r *reading) gaps(s *Summary) []string {
	gaps := []string{}
	add := func(gap bool, path string) {
		if gap {
			gaps = append(gaps, path)
		}
	}
	air := r.spell != nil && r.targetIn(r.spell, r.at).Air
	for _, x := range s.Settings {
		add(x.Fact == nil && !(air && x.Field == "spo2HighPercent"), "settings."+x.Field)
	}
	add(s.Interface.gap(), "interface")
	if f := s.Interface.Value; f != nil {
		add(f.Size.gap() && len(r.p.Sizes[f.Type]) > 0, "interface.size")
	}
	add(s.Tubes.gap(), "tubes")
	for _, t := range s.Tubes.orZero() {
		add(t.SizeFr.gap(), "tubes."+t.Use+".sizeFr")
	}
	add(s.Head.gap(), "head")
	add(s.Skin.Checked == nil, "skin")

	add(s.Sex == "", "sex")
	add(s.Age.Gestation == "", "age.gestation")
	for _, field := range watched {
		add(r.spell != nil && !slices.ContainsFunc(s.Observations, func(x Observed) bool {
			return x.Field == field && !x.At.Before(r.spell.start)
		}), "observations."+field)
	}
	_, _, weighed := r.stayWeight()
	add(!weighed, "weight")
	b := r.readBonnet()
	add(r.in(pressureModes) && !b.in && b.off == nil, "bonnet")
	add(s.Outlook.gap(), "outlook")
	if f := s.Humidifier.Value; f != nil {
		on := f.on()
		add(!f.Charted, "humidifier")
		add(on && f.ChamberC == nil, "humidifier.chamberC")
		add(on && f.Water == "", "humidifier.water")
	}
	if f := s.Setup.Value; f != nil {
		add(!f.Ticked && len(r.p.Setup) > 0, "setup.steps")
		for _, gas := range f.Unread {
			add(true, "setup.points."+gas.String())
		}
		add(f.SealHeld.gap(), "setup.sealHeld")
		add(latest(r.own["circuit"], being("action", "fitted")) == nil, "setup.circuit")
	}
	return gaps
}
