package handover

import (
	"strings"
	"time"

	"cotline/handover/entry"
)

// notComputed lists every figure that is null because something lacks for it, and
// what that is. A figure that is left out is not null; the last rotation, null before
// the first, lacks nothing.
func (r *reading) notComputed(s *Summary) []NotComputed {
	out := []NotComputed{}
	add := func(null bool, path string, lacks ...string) {
		if null {
			out = append(out, NotComputed{path, strings.Join(lacks, "; ")})
		}
	}
	add(s.FiO2.gap(), "fio2", "settings.fio2Percent: none in force in the window")
	if s.Indices.gap() {
		add(true, "indices", r.lacksSpO2())
	}
	if f := s.Indices.Value; f != nil {
		oxygen := numberAt(r.setAt(r.spell, "fio2Percent", f.At), "fio2Percent") == nil
		pressure := numberAt(r.setAt(r.spell, "pressureCmH2O", f.At), "pressureCmH2O") == nil
		set := lacking(oxygen, "settings.fio2Percent: none in force at "+r.clock(f.At))
		add(f.SF.gap(), "indices.sf", set...)
		set = append(set, lacking(pressure, "settings.pressureCmH2O: none in force at "+r.clock(f.At))...)
		add(f.Severity.gap(), "indices.severity", set...)
		add(f.OSI.gap(), "indices.osi", set...)
	}
	if f := s.Rotation.Value; f != nil {
		const why = "interface: neither mask nor prongs charted in this spell"
		add(f.DueAt.gap(), "rotation.dueAt", why)
		add(f.OverdueAt.gap(), "rotation.overdueAt", why)
	}
	add(s.HoursUnder.gap(), "hoursUnder", "interface: none charted")
	if f := s.Bonnet.Value; f != nil {
		_, ranged := r.p.Bonnet(f.Size.orZero())
		lacks := lacking(f.Size.Value == nil, "bonnet: none charted")
		lacks = append(lacks, lacking(f.Size.Value != nil && !ranged, "bonnet.size: the unit gives no range of it")...)
		add(f.Fits.gap(), "bonnet.fits", append(lacks, lacking(s.Head.gap(), "head: never measured")...)...)
	}
	if f := s.Humidifier.Value; f != nil {
		add(f.State.gap(), "humidifier.state", "humidifier.chamberC: none charted")
		add(f.ReadyBeforeUse.gap(), "humidifier.readyBeforeUse", r.lacksReady())
		add(f.WaterEmptyAt.gap(), "humidifier.waterEmptyAt", r.lacksWater()...)
	}
	if f := s.Setup.Value; f != nil {
		var points []string
		for _, gas := range f.Unread {
			points = append(points, "setup.points."+gas.String()+": not read")
		}
		add(f.Calibrated.gap(), "setup.calibrated", points...)
		add(f.CircuitDueOn.gap(), "setup.circuitDueOn", "setup.circuit: none charted as fitted")
	}
	return out
}

func lacking(yes bool, what string) []string {
	if yes {
		return []string{what}
	}
	return nil
}

func (r *reading) lacksSpO2() string {
	const path = "observations.spo2Percent: none "
	e := r.latestSpO2()
	if e == nil {
		return path + "since support began"
	}
	return path + "since " + r.clock(e.At.Time)
}

func (r *reading) lacksReady() string {
	used, ok := r.firstOn()
	switch {
	case !ok:
		return "interface: none put on in this spell"
	case latest(r.own["circuit"], func(e *entry.Standing) bool { return e.Text("action") == "fitted" && !e.At.After(used) }) == nil:
		return "setup.circuit: none fitted by " + r.clock(used)
	}
	return "humidifier.chamberC: none between the circuit and " + r.clock(used)
}

func (r *reading) lacksWater() []string {
	session, _, _ := r.heated(r.own["humidifier"])
	hung := latest(session, being("water", "changed"))
	out := lacking(hung != nil && !hung.Has("waterMl"), "humidifier.waterMl: none charted at "+r.clock(atOr(hung, time.Time{})))
	out = append(out, lacking(len(r.settingsOf(r.spell, "flowLMin")) == 0, "settings.flowLMin: none charted")...)
	return append(out, lacking(latest(session, having("chamberC")) == nil, "humidifier.chamberC: none charted")...)
}
