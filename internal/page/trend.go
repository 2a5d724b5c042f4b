package page

import (
	"slices"

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
	case f.New, f.Support.ModeSince.After(f.Since): // nothing was handed over that it could be held against
		said = "no other charted"
	default:
		t.Mark, said = unchanged, "unchanged"
	}
	t.Said = spans(said)
	return t
}

// pressureTrend is how the set pressure differs from what was handed over. The engine has
// no window of it: where it is the same again, nothing is said.
func pressureTrend(f *handover.Summary) Trend {
	if settingIn(f, "pressureCmH2O") == nil {
		return Trend{}
	}
	t, _ := changedSetting(f, "pressureCmH2O")
	return t
}

func settingIn(f *handover.Summary, field string) *handover.NumberFact {
	i := slices.IndexFunc(f.Settings, func(s handover.Setting) bool { return s.Field == field })
	if i < 0 {
		return nil
	}
	return f.Settings[i].Fact
}

// changedSetting is a setting beside what was told of it at the last handover. What came
// late, or was put right since, is no rise and no fall.
func changedSetting(f *handover.Summary, field string) (t Trend, told bool) {
	i := slices.IndexFunc(f.Changes, func(c handover.Change) bool { return c.Path == "settings."+field })
	if i < 0 || f.Changes[i].To == nil {
		return t, false
	}
	c, said := f.Changes[i], ""
	switch {
	case c.From == nil:
		said = "handed over as not charted"
	case c.Why == "late":
		said = "handed over as " + c.From.Text + " (ARRIVED LATE)"
	case c.Why == "corrected":
		said = "handed over as " + c.From.Text + " (CORRECTED)"
	default:
		was, err := entry.ParseDecimal(c.From.Text)
		is, err2 := entry.ParseDecimal(c.To.Text)
		switch {
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
