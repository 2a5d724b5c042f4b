package sheets

import (
	"slices"
	"strings"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// handoverSheet is a row an infant: who, what is set, what lies on the face, what is due, what is missing.
func handoverSheet(h *handover.Handover) sheet {
	type S = *handover.Summary
	c := clock{h.Zone}
	columns := []column[S]{
		{"Cot", 8, func(s S) cell { return text(s.Cot, notCharted) }},
		{"Hospital number", 10, func(s S) cell { return text(s.MRN, notCharted) }},
		{"Temporary label", 8, temporary},
		{"Name", 13, name},
		{"Look first", 24, func(s S) cell { return text(lookWords(s), none) }},
		{"Mode", 8, func(s S) cell { return mode(s.Support) }},
	}
	columns = append(columns, setColumns()...)
	columns = append(columns,
		column[S]{"Interface", 8, func(s S) cell { return maybe(s.Interface, interfaceWords) }},
	)
	columns = append(columns, momentColumns(c, "Rotation due", func(s S) cell {
		return maybe(s.Rotation, func(r handover.Rotation) cell {
			if r.State == "" {
				return word("no interval")
			}
			return maybe(r.DueAt, func(t time.Time) cell { return c.moment(t, notCharted) })
		})
	})...)
	columns = append(columns,
		column[S]{"Skin, worst", 10, func(s S) cell { return skinWords(s.Skin) }},
		column[S]{"Gastric tube", 13, func(s S) cell { return maybe(s.Tubes, tubeWords) }},
		column[S]{"Head (cm)", 7, func(s S) cell {
			return maybe(s.Head, func(f handover.Head) cell { return number(f.CircumferenceCm) })
		}},
		column[S]{"Bonnet due", 10, func(s S) cell {
			return maybe(s.Bonnet, func(f handover.Bonnet) cell { return day(f.DueOn, "no due date") })
		}},
		column[S]{"Humidifier", 10, func(s S) cell {
			return maybe(s.Humidifier, func(f handover.Humidifier) cell {
				return maybe(f.State, func(w string) cell { return text(w, notCharted) })
			})
		}},
		column[S]{"Due and overdue", 15, func(s S) cell { return list(dueWords(s), none) }},
		column[S]{"Look-alikes", 11, func(s S) cell { return list(likeWords(h, s), none) }},
		column[S]{"Conflicts", 11, func(s S) cell { return list(conflictWords(h, s), none) }},
		column[S]{"Not charted", 18, func(s S) cell { return list(gapWords(s.Gaps), none) }},
	)
	return table("Handover", "No infant was admitted.", slices.Values(h.Infants), func(s S) string { return "infant " + s.Infant },
		columns...)
}

// lookWords is the ward line of an infant: what needs a person now, each thing after the
// mark, then what is to be known; all of it.
func lookWords(s *handover.Summary) string {
	var words []string
	for _, of := range []struct{ level, mark string }{{handover.Now, "!! "}, {handover.Know, ""}} {
		for _, a := range s.Attention {
			if a.Level == of.level {
				words = append(words, of.mark+a.Text)
			}
		}
	}
	return strings.Join(words, "; ")
}

// setColumns is a column a set value, in the record's order.
func setColumns() []column[*handover.Summary] {
	var out []column[*handover.Summary]
	settings, _ := entry.KindOf("settings")
	for _, spec := range settings.Fields {
		out = append(out, column[*handover.Summary]{headOf(spec), 7, func(s *handover.Summary) cell {
			i := slices.IndexFunc(s.Settings, func(x handover.Setting) bool { return x.Field == spec.Name })
			switch {
			case i < 0:
				return word(doesNotApply)
			case s.Settings[i].Fact == nil:
				return word(notCharted)
			}
			return number(s.Settings[i].Fact.Value)
		}})
	}
	return out
}

func mode(s handover.Support) cell {
	switch s.State {
	case "on":
		return text(s.Mode, notCharted)
	case "off":
		return word(strings.TrimSuffix("off: "+s.Reason, ": "))
	}
	return word(s.State + " on support")
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
	return text(s.Worst.Finding+", "+s.Worst.Site, notCharted)
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
		out = append(out, c.What+" "+c.Value+" also with "+other(h, c.Infant))
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
