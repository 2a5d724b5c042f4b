package page

import (
	"slices"
	"strings"

	"cotline/handover"
	"cotline/handover/entry"
)

// Trend is how a set value went since the last handover, in words that need no mark; Mark
// repeats the direction for the eye and is empty where there is none to tell. Nothing that
// was not charted is ever told as steady.
type Trend struct {
	Mark string
	Said []Span
}

// Marks of a trend. The words beside them say the same.
const (
	upward    = "▲"
	downward  = "▼"
	unchanged = "="
)

// fio2Trend is how the set oxygen differs from what was handed over, what it reached in the
// window, and how often it was raised.
func fio2Trend(f *handover.Summary) Trend {
	if settingIn(f, "fio2Percent") == nil {
		return Trend{}
	}
	t, told := changedSetting(f, "fio2Percent")
	said := Plain(t.Said)
	switch x := f.FiO2.Value; {
	case x == nil:
	case x.MinPercent.Cmp(x.MaxPercent) != 0:
		raised := ""
		if x.Rises > 0 {
			raised = raisedSaid(x.Rises)
		}
		said = joined(", ", said, fio2Range(*x)+" in the window", raised)
	case told:
	case f.New, f.Support.ModeSince.After(f.Since), !x.Throughout: // not handed over so, or not set all the time
		said = "no other charted"
	default:
		t.Mark, said = unchanged, "unchanged"
	}
	t.Said = spans(said)
	return t
}

// pressureTrend is how the set pressure differs from what was handed over; of two, how each
// does. The engine has no window of it: where it is the same again, nothing is said.
func pressureTrend(f *handover.Summary) Trend {
	if settingIn(f, "pressureCmH2O") == nil {
		return Trend{}
	}
	t, _ := changedSetting(f, "pressureCmH2O")
	if settingIn(f, "upperPressureCmH2O") == nil {
		return t
	}
	upper, _ := changedSetting(f, "upperPressureCmH2O")
	var said []string
	for _, one := range []struct {
		which string
		Trend
	}{{"upper", upper}, {"lower", t}} {
		if words := Plain(one.Said); words != "" {
			said = append(said, one.which+" "+words)
		}
	}
	switch { // a mark says that all went that way
	case len(said) == 2 && upper.Mark != t.Mark:
		t.Mark = ""
	case len(t.Said) == 0:
		t.Mark = upper.Mark
	}
	t.Said = spans(strings.Join(said, ", "))
	return t
}

func settingIn(f *handover.Summary, field string) *handover.NumberFact {
	i := slices.IndexFunc(f.Settings, func(s handover.Setting) bool { return s.Field == field })
	if i < 0 {
		return nil
	}
	return f.Settings[i].Fact
}

// changed is a change of a path to something.
func changed(f *handover.Summary, path string) *handover.Change {
	i := slices.IndexFunc(f.Changes, func(c handover.Change) bool { return c.Path == path })
	if i < 0 || f.Changes[i].To == nil {
		return nil
	}
	return &f.Changes[i]
}

// changedSetting is a setting beside what was told of it at the last handover. What came
// late, or was put right since, is no rise and no fall, and what was told of another mode
// has no direction either: a pressure may have been one, and be the lower of two.
func changedSetting(f *handover.Summary, field string) (t Trend, told bool) {
	c := changed(f, "settings."+field)
	if c == nil {
		return t, false
	}
	said := "handed over as not charted"
	if c.From != nil {
		was, err := entry.ParseDecimal(c.From.Text)
		is, err2 := entry.ParseDecimal(c.To.Text)
		mode := changed(f, "support.mode")
		said = "handed over as " + c.From.Text
		switch {
		case c.Why == "late":
			said += " (ARRIVED LATE)"
		case c.Why == "corrected":
			said += " (CORRECTED)"
		case c.Revised:
			said += ", put right since"
		case field != "fio2Percent" && mode != nil && mode.From != nil:
			said += " on " + modeSaid(mode.From.Text)
		case err != nil || err2 != nil:
			return t, true
		case is.Cmp(was) > 0:
			t.Mark, said = upward, "up from "+c.From.Text
		default:
			t.Mark, said = downward, "down from "+c.From.Text
		}
	}
	t.Said = spans(said)
	return t, true
}
