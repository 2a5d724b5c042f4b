package sheets

import (
	"slices"
	"strings"
	"time"

	"cotline/handover"
)

// handoverSheet is a row an infant, on paper a page of the ward: who, what to look at first, what is set, what lies on the
// face, what comes next. All else stands on the sheet after it.
func handoverSheet(h *handover.Handover) sheet {
	type S = *handover.Summary
	c := clock{h.Zone}
	s := table(handoverName, "No infant was admitted.", slices.Values(h.Infants), infantRow,
		column[S]{"Cot", 7, func(s S) cell { return text(s.Cot, notCharted).at(&place{anyHistory, s.Infant}) }},
		column[S]{"Name", 13, func(s S) cell { return name(s).at(&place{moreName, s.Infant}) }},
		column[S]{numberHead, 9, func(s S) cell {
			return text(numberOrLabel(s.MRN, s.Temporary), notCharted).at(&place{factsName, s.Infant})
		}},
		column[S]{"Look first", 50, func(s S) cell { return text(lookWords(s), none) }},
		column[S]{"Outlook", 9, outlook},
		column[S]{"Mode", 8, mode},
		setColumn("pressureCmH2O"),
		setColumn("fio2Percent"),
		column[S]{"Interface, size", 9, func(s S) cell {
			return maybe(s.Interface, func(f handover.Interface) cell { return interfaceWords(f).linked(f.Entry) })
		}},
		column[S]{"Skin, worst", 11, func(s S) cell { return skinWords(s.Skin) }},
		column[S]{"Tube mark (cm)", 7, tubeColumn(func(t handover.Tube) cell { return number(t.MarkCm).linked(t.Entry) })},
		column[S]{"Reference mark (cm)", 7, tubeColumn(func(t handover.Tube) cell { return number(t.ReferenceMarkCm) })},
		column[S]{"Tube moved", 7, tubeColumn(func(t handover.Tube) cell {
			if t.Moved {
				return word(movedWord)
			}
			return word("no")
		})},
		column[S]{"Next due", 12, func(s S) cell { return text(nextWords(c, h.At, s), "nothing ahead") }},
	)
	s.full, s.printed = true, len(s.heads)
	return s
}

func infantRow(s *handover.Summary) string { return "infant " + s.Infant }

// at is a cell that leads to a place.
func (c cell) at(to *place) cell {
	c.to = to
	return c
}

func outlook(s *handover.Summary) cell {
	return maybe(s.Outlook, func(o handover.Outlook) cell { return text(o.Severity, notCharted) })
}

// tubeColumn tells something of the feeding tube, or of each tube by its use.
func tubeColumn(of func(handover.Tube) cell) func(*handover.Summary) cell {
	return func(s *handover.Summary) cell {
		return maybe(s.Tubes, func(tubes []handover.Tube) cell {
			if len(tubes) == 1 && tubes[0].Use == "feeding" {
				return of(tubes[0])
			}
			var out []string
			for _, t := range tubes {
				out = append(out, t.Use+" "+of(t).words())
			}
			return list(out, "none in")
		})
	}
}

// words are a number's digits or a text.
func (c cell) words() string {
	if c.show == showNumber {
		return c.number.String()
	}
	return c.text
}

// nextWords is what falls due next, with its moment; what is overdue stands under Look first.
func nextWords(c clock, at time.Time, s *handover.Summary) string {
	var out string
	var first time.Time
	for _, n := range s.Next {
		when := n.DueAt
		if when.IsZero() {
			when = n.On.Start(c.zone)
		}
		if out == "" || when.Before(first) {
			first, out = when, dueName(handover.Due{What: n.What, Care: n.Care, Text: n.Text})+" "+c.short(n, at)
		}
	}
	return out
}

// short is the clock's time of a day that has it once; else the whole moment.
func (c clock) short(n handover.Next, at time.Time) string {
	if n.DueAt.IsZero() {
		return n.On.String()
	}
	form := "15:04"
	when, now := n.DueAt.In(c.zone), at.In(c.zone)
	if when.Format(time.DateOnly) != now.Format(time.DateOnly) {
		form = "2006-01-02 15:04"
	}
	for _, other := range []time.Duration{-time.Hour, time.Hour} {
		if when.Add(other).Format("02 15:04") == when.Format("02 15:04") {
			form += " -07:00"
			break
		}
	}
	return when.Format(form)
}

// moreSheet is the rest of an infant's row.
func moreSheet(h *handover.Handover) sheet {
	type S = *handover.Summary
	c := clock{h.Zone}
	columns := []column[S]{
		{"Cot", 10, func(s S) cell { return text(s.Cot, notCharted).back(s) }},
		{"Hospital number", 10, func(s S) cell { return text(s.MRN, notCharted) }},
		{"Temporary label", 8, temporary},
		{"Name", 20, name},
	}
	for _, f := range []string{"upperPressureCmH2O", "rateMin", "inspiratoryS", "flowLMin", "spo2LowPercent", "spo2HighPercent"} {
		columns = append(columns, setColumn(f))
	}
	columns = append(columns, momentColumns(c, "Rotation due", func(s S) cell {
		return maybe(s.Rotation, func(r handover.Rotation) cell {
			if r.State == "" {
				return word("no interval")
			}
			return maybe(r.DueAt, func(t time.Time) cell { return c.moment(t, notCharted) })
		})
	})...)
	columns = append(columns,
		column[S]{"Gastric tube", 13, func(s S) cell { return maybe(s.Tubes, tubeWords) }},
		column[S]{"Head (cm)", 7, func(s S) cell {
			return maybe(s.Head, func(f handover.Head) cell { return number(f.CircumferenceCm).linked(f.Entry) })
		}},
		column[S]{"Bonnet due", 10, func(s S) cell {
			return maybe(s.Bonnet, func(f handover.Bonnet) cell { return day(f.DueOn, "no due date") })
		}},
		column[S]{"Humidifier", 10, func(s S) cell {
			return maybe(s.Humidifier, func(f handover.Humidifier) cell {
				return maybe(f.State, func(w string) cell { return text(w, notCharted).linked(f.Entry) })
			})
		}},
		column[S]{"Due and overdue", 15, func(s S) cell { return list(dueWords(s), none) }},
		column[S]{"Look-alikes", 11, func(s S) cell { return list(likeWords(h, s), none) }},
		column[S]{"Conflicts", 11, func(s S) cell { return list(conflictWords(h, s), none) }},
		column[S]{"Not charted", 18, func(s S) cell { return list(gapWords(s.Gaps), none) }},
	)
	columns = append(columns, keyColumn(func(s S) string { return s.Infant }))
	return table(moreName, "No infant was admitted.", slices.Values(h.Infants), infantRow, columns...)
}

// setColumn is a set value.
func setColumn(field string) column[*handover.Summary] {
	spec := handover.FieldOf("settings", field)
	return column[*handover.Summary]{headOf(spec), 7, func(s *handover.Summary) cell {
		i := slices.IndexFunc(s.Settings, func(x handover.Setting) bool { return x.Field == field })
		switch {
		case i < 0:
			return word(doesNotApply)
		case s.Settings[i].Fact == nil:
			return word(notCharted)
		}
		return number(s.Settings[i].Fact.Value).linked(s.Settings[i].Fact.Entry)
	}}
}

// mode is that of the support. Of two pressures the set one is the lower: the upper stands
// here, so that nobody takes the lower for all there is.
func mode(s *handover.Summary) cell {
	switch s.Support.State {
	case "on":
		for _, x := range s.Settings {
			if x.Field == "upperPressureCmH2O" && x.Fact != nil {
				return text(s.Support.Mode+", upper "+x.Fact.Value.String(), notCharted)
			}
		}
		return text(s.Support.Mode, notCharted)
	case "off":
		return word(strings.TrimSuffix("off: "+s.Support.Reason, ": "))
	}
	return word(s.Support.State + " on support")
}

func interfaceWords(f handover.Interface) cell {
	if f.Type == "off" {
		return word("off")
	}
	size := maybe(f.Size, func(s string) cell { return text(s, notCharted) })
	if f.Size.Value == nil {
		return text(f.Type+", size "+size.text, notCharted)
	}
	return text(f.Type+" "+size.text, notCharted)
}

func skinWords(s handover.Skin) cell {
	if s.Worst == nil {
		return word(notCharted)
	}
	return text(s.Worst.Finding+", "+s.Worst.Site, notCharted).linked(s.Worst.Entry)
}

func tubeWords(tubes []handover.Tube) cell {
	var out []string
	for _, t := range tubes {
		size := "size " + notCharted
		if t.SizeFr.Value != nil {
			size = t.SizeFr.Value.String() + " Fr"
		}
		moved := "not moved"
		if t.Moved {
			moved = "MOVED"
		}
		marks := "at " + t.MarkCm.String() + " cm, reference " + t.ReferenceMarkCm.String() + " cm"
		out = append(out, strings.Join([]string{t.Use, t.Route, size, marks, moved}, ", "))
	}
	return list(out, "none in")
}

// dueWords name what is due, under its state, and a rotation that waits while nothing is on.
func dueWords(s *handover.Summary) []string {
	var out []string
	for _, state := range []string{"overdue", "due", "deferred"} {
		var things []string
		for _, d := range s.Due {
			if d.State == state {
				things = append(things, dueName(d))
			}
		}
		if len(things) > 0 {
			out = append(out, state+": "+strings.Join(things, ", "))
		}
	}
	if r := s.Rotation.Value; r != nil && r.State == "off" {
		out = append(out, "off: rotation")
	}
	return out
}

func dueName(d handover.Due) string {
	switch d.What {
	case "care":
		return d.Care
	case "task":
		return "task: " + d.Text
	}
	return d.What
}

func likeWords(h *handover.Handover, s *handover.Summary) []string {
	var out []string
	for _, l := range s.LookAlikes {
		out = append(out, other(h, l.Infant)+" ("+l.Why+")")
	}
	return out
}

func conflictWords(h *handover.Handover, s *handover.Summary) []string {
	var out []string
	for _, c := range s.Conflicts {
		out = append(out, c.What+" "+c.Value+alsoWith+other(h, c.Infant))
	}
	return out
}

// other names another infant of the ward by cot and hospital number or label.
func other(h *handover.Handover, key string) string {
	for _, s := range slices.Concat(h.Infants, h.Elsewhere) {
		if s.Infant == key {
			return strings.TrimSpace(s.Cot + " " + numberOrLabel(s.MRN, s.Temporary))
		}
	}
	return key
}

func gapWords(gaps []string) []string {
	out := make([]string, len(gaps))
	for i, g := range gaps {
		out[i] = pathWords(g)
	}
	return out
}
