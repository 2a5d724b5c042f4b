package page

import (
	"cotline/handover"
	"cotline/handover/entry"
)

func (s *sheet) support(f handover.Support) any {
	var o object
	o.text("state", f.State)
	o.text("mode", f.Mode)
	s.moment(&o, "since", f.Since)
	s.moment(&o, "modeSince", f.ModeSince)
	o.text("driver", f.Driver)
	s.moment(&o, "stoppedAt", f.StoppedAt)
	o.text("reason", f.Reason)
	s.tail(&o, f.Source)
	return o
}

func (s *sheet) numberFact(f handover.NumberFact) any {
	o := object{{"value", decimal(f.Value)}}
	s.source(&o, f.Source)
	return o
}

func (s *sheet) fio2(f handover.FiO2Window) any {
	var o object
	o.number("minPercent", f.MinPercent)
	o.number("maxPercent", f.MaxPercent)
	maybe(s, &o, "fio2.", "meanPercent", f.MeanPercent, decimal)
	maybe(s, &o, "fio2.", "meanBeforePercent", f.MeanBefore, decimal)
	o.put("rises", whole(f.Rises))
	return o
}

func spo2(f handover.SpO2Window) any {
	return object{{"count", whole(f.Count)}, {"below", whole(f.Below)}, {"inTarget", whole(f.InTarget)},
		{"above", whole(f.Above)}, {"noTarget", whole(f.NoTarget)}}
}

func (s *sheet) indices(f handover.Indices) any {
	var o object
	s.moment(&o, "at", f.At)
	maybe(s, &o, "indices.", "sf", f.SF, decimal)
	maybe(s, &o, "indices.", "severity", f.Severity, decimal)
	maybe(s, &o, "indices.", "osi", f.OSI, decimal)
	o.number("spo2Percent", f.SpO2)
	s.tail(&o, f.Source)
	return o
}

func (s *sheet) observed(f handover.Observed) any {
	var o object
	if f.Word {
		o.put("value", f.Value)
	} else {
		o.put("value", bare(f.Value))
	}
	s.source(&o, f.Source)
	return o
}

// silvermanItems are in the order of the charted items.
var silvermanItems = [5]string{"chest", "intercostal", "xiphoid", "nares", "grunt"}

func (s *sheet) silverman(f handover.Silverman) any {
	o := object{{"total", whole(f.Total)}}
	s.moment(&o, "at", f.At)
	var items object
	for i, name := range silvermanItems {
		items.put(name, whole(f.Items[i]))
	}
	o.put("items", items)
	s.tail(&o, f.Source)
	return o
}

func (s *sheet) episodes(f handover.Episodes) any {
	o := object{{"window", episodeCount(f.Window)}, {"day", episodeCount(f.Day)}}
	if f.Helped != nil {
		s.moment(&o, "helpedAt", f.Helped.At)
		s.traced(&o, *f.Helped)
	}
	return o
}

func episodeCount(c handover.EpisodeCount) any {
	o := object{{"count", whole(c.Count)}}
	for i, sign := range entry.Signs {
		o.put(sign, whole(c.BySign[i]))
	}
	for i, recovered := range entry.Recoveries {
		o.put(recovered, whole(c.ByRecovered[i]))
	}
	return o
}

func (s *sheet) nasalInterface(f handover.Interface) any {
	o := object{{"type", f.Type}}
	maybe(s, &o, "interface.", "size", f.Size, plainly)
	s.moment(&o, "since", f.Since)
	s.traced(&o, f.Source)
	return o
}

func (s *sheet) rotation(f handover.Rotation) any {
	var o object
	if f.Last == nil {
		o.put("last", nil)
	} else {
		var last object
		s.moment(&last, "at", f.Last.At)
		last.text("from", f.Last.From)
		last.text("to", f.Last.To)
		s.traced(&last, f.Last.Source)
		o.put("last", last)
	}
	if f.State == "" {
		return o
	}
	maybe(s, &o, "rotation.", "dueAt", f.DueAt, s.stamp)
	maybe(s, &o, "rotation.", "overdueAt", f.OverdueAt, s.stamp)
	o.put("state", f.State)
	s.moment(&o, "until", f.Until)
	return o
}

func hoursUnder(sites []handover.SiteHours) any {
	var o object
	for _, h := range sites {
		o.number(h.Site, h.Hours)
	}
	return o
}

func (s *sheet) humidifier(f handover.Humidifier) any {
	var o object
	maybe(s, &o, "humidifier.", "state", f.State, plainly)
	if f.ChamberC != nil {
		o.number("chamberC", f.ChamberC.Value)
	}
	maybe(s, &o, "humidifier.", "inTolerance", f.InTolerance, plainly)
	s.moment(&o, "at", f.At)
	if f.ChamberC != nil && f.ChamberC.Entry != f.Entry {
		o.put("chamberFrom", s.origin(f.ChamberC.Source))
	}
	maybe(s, &o, "humidifier.", "readyBeforeUse", f.ReadyBeforeUse, plainly)
	o.text("water", f.Water)
	maybe(s, &o, "humidifier.", "waterEmptyAt", f.WaterEmptyAt, s.stamp)
	s.traced(&o, f.Source)
	return o
}

func (s *sheet) setup(f handover.Setup) any {
	var o object
	maybe(s, &o, "setup.", "calibrated", f.Calibrated, plainly)
	o.put("points", each(f.Points, func(p handover.SensorPoint) any {
		var point object
		point.number("gasPercent", p.GasPercent)
		point.number("readPercent", p.ReadPercent)
		point.put("ok", p.OK)
		if p.HumidPercent != nil {
			point.number("humidPercent", *p.HumidPercent)
		}
		s.source(&point, p.Source)
		return point
	}))
	maybe(s, &o, "setup.", "sealHeld", f.SealHeld, plainly)
	o.put("notDone", texts(f.NotDone))
	maybe(s, &o, "setup.", "circuitDueOn", f.CircuitDueOn, func(d entry.Date) any { return d.String() })
	maybe(s, &o, "setup.", "probeCaution", f.ProbeCaution, plainly)
	return o
}
