package page

import (
	"strings"

	"cotline/handover"
)

// told is what a strip shows, in words: for a screen reader and for whoever
// cannot see a picture.
func (s *strip) told() []string {
	out := []string{"From " + s.windowSaid(s.Clocks) + "."}
	tell := func(what string, items []string) {
		if len(items) == 0 {
			items = []string{"none charted"}
		}
		out = append(out, what+": "+strings.Join(items, "; ")+".")
	}
	var items []string
	for _, b := range s.Support {
		items = append(items, modeSaid(b.What)+" "+s.span(b))
	}
	tell("Support", items)
	if len(s.FiO2) > 0 {
		tell("Set FiO2", s.stepsTold(s.FiO2, "%"))
	}
	if len(s.Pressure) > 0 {
		tell("Set pressure", s.stepsTold(s.Pressure, "cmH2O"))
	}
	tell("SpO2 target", s.targetsTold())
	tell("SpO2 seen", s.readingsTold())
	items = nil
	for _, b := range s.Interface {
		items = append(items, joined(" ", b.What, said(b.Size))+" "+s.span(b))
	}
	tell("Interface", items)
	items = nil
	for _, r := range s.Rotations {
		items = append(items, r.From+" to "+r.To+" "+s.when(r.At))
	}
	tell("Rotations", items)
	items = nil
	for _, c := range s.Skin {
		var sites []string
		for _, x := range c.Sites {
			sites = append(sites, plain(x.Site)+" "+plain(x.Finding))
		}
		items = append(items, s.when(c.At)+" "+strings.Join(sites, ", "))
	}
	tell("Skin checks", items)
	items = nil
	for _, e := range s.Episodes {
		items = append(items, s.when(e.At)+" "+strings.Join(e.Signs, ", ")+", "+plain(e.Recovered))
	}
	tell("Episodes", items)
	items = nil
	for _, a := range s.Alarms {
		settled := ""
		if !a.SettledAt.IsZero() {
			settled = ", settled " + s.when(a.SettledAt)
		}
		items = append(items, s.when(a.At)+" "+plain(a.About)+settled)
	}
	tell("Alarms", items)
	return out
}

// span is from when to when something lasted; what goes on has no end.
func (s *strip) span(b handover.Bar) string {
	if b.To.Equal(s.At) {
		return "from " + s.when(b.From)
	}
	return s.when(b.From) + " to " + s.when(b.To)
}

func (s *strip) stepsTold(steps []handover.Step, unit string) []string {
	var out []string
	for i, x := range steps {
		value := "NOT CHARTED"
		if x.Value != nil {
			value = withUnit(x.Value.String(), unit)
		}
		gone := ""
		if i+1 < len(steps) && !steps[i+1].From.Equal(x.To) || i+1 == len(steps) && !x.To.Equal(s.At) {
			gone = " to " + s.when(x.To)
		}
		out = append(out, value+" from "+s.when(x.From)+gone)
	}
	return out
}

func (s *strip) targetsTold() []string {
	var out []string
	for _, t := range s.Target {
		words := "NOT CHARTED"
		switch {
		case !t.Whole():
		case t.Air:
			words = "from " + t.Low.String() + " %, in air"
		default:
			words = t.Low.String() + " to " + t.High.String() + " %"
		}
		out = append(out, words+" from "+s.when(t.From))
	}
	return out
}

// readingsTold lists every reading while they are few, then those out of target.
func (s *strip) readingsTold() []string {
	const few = 40
	var out []string
	for _, x := range s.SpO2 {
		if len(s.SpO2) <= few || x.Against == "below" || x.Against == "above" {
			out = append(out, x.Value.String()+" % "+s.when(x.At)+" "+plain(x.Against))
		}
	}
	if len(s.SpO2) > few {
		out = append([]string{count(len(s.SpO2), "reading", "readings") + ", out of target:"}, out...)
	}
	return out
}
