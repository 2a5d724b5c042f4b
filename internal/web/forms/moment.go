package forms

import (
	"strings"
	"time"

	"cotline/handover/entry"
	"cotline/internal/web/words"
)

// ahead are the moments that are to come; all others have been.
var ahead = map[string]bool{"dueAt": true, "until": true}

// moment reads a moment, or of a birth also a day.
func (r *reading) moment(name string, s *entry.Spec) entry.Value {
	day, clock := strings.TrimSpace(r.posted.Get(name+".day")), strings.TrimSpace(r.posted.Get(name+".time"))
	switch {
	case r.posted.Get(name+".now") != "" && clock == "" && day == "":
		return entry.NewText(entry.Stamp(r.Now, r.Policy.Zone))
	case s.Type == entry.Birth && day != "" && clock == "":
		return entry.NewText(day)
	}
	text, _ := r.Moment(name, ahead[s.Name], r.posted.Get, r.faults)
	if text == "" {
		return entry.Value{}
	}
	return entry.NewText(text)
}

// Moment reads what was posted for a moment: empty where that is nothing. A time without
// a day is today's; where that cannot be, or the clock shows the time twice, it is asked.
func (a *Asked) Moment(name string, ahead bool, posted func(string) string, faults Faults) (text string, ok bool) {
	day, clock := strings.TrimSpace(posted(name+".day")), strings.TrimSpace(posted(name+".time"))
	if which := posted(name + ".which"); which != "" && a.says(which, day, clock) {
		return which, true
	}
	switch {
	case day == "" && clock == "":
		return "", true
	case clock == "":
		faults.Add(name, words.Say("Give the time too, as 07:30 or 0730."))
		return "", false
	}
	time, known := clockOf(clock)
	if !known {
		faults.Add(name, words.Say("A time of the clock is wanted, as 07:30 or 0730."))
		return "", false
	}
	if day != "" {
		if _, err := entry.ParseDate(day); err != nil {
			faults.Add(name, words.Say("A day is wanted, as 2026-03-09."))
			return "", false
		}
		return a.on(name, day, time, faults)
	}
	return a.near(name, time, ahead, faults)
}

// on is a time of a day.
func (a *Asked) on(name, day, clock string, faults Faults) (string, bool) {
	at := a.instants(day, clock)
	switch len(at) {
	case 1:
		return entry.Stamp(at[0], a.Policy.Zone), true
	case 2:
		faults[name] = &Fault{Text: words.Say("The clock shows %s twice that night. Which one?", clock), Choose: []Option{
			{Value: entry.Stamp(at[0], a.Policy.Zone), Label: words.Say("the first %s, before the clock was put back", clock)},
			{Value: entry.Stamp(at[1], a.Policy.Zone), Label: words.Say("the second %s, after it", clock)}}}
	default:
		faults.Add(name, words.Say("The clock skips %s that night: give the time that it showed.", clock))
	}
	return "", false
}

// near is a time without its day: today's, where that is possible.
func (a *Asked) near(name, clock string, ahead bool, faults Faults) (string, bool) {
	today := entry.DateOf(a.Now, a.Policy.Zone)
	at := a.instants(today.String(), clock)
	late := len(at) > 0 && at[0].After(a.Now.Add(a.Policy.ClockTolerance))
	gone := len(at) > 0 && at[len(at)-1].Before(a.Now)
	switch {
	case !ahead && late:
		a.ask(name, words.Say("%s today has not come yet. Was it yesterday? Else mend the time.", clock), clock, faults, today.Add(-1))
	case ahead && gone:
		a.ask(name, words.Say("%s today is past. Which day?", clock), clock, faults, today.Add(1), today)
	default:
		return a.on(name, today.String(), clock, faults)
	}
	return "", false
}

// ask lets choose between days.
func (a *Asked) ask(name, text, clock string, faults Faults, days ...entry.Date) {
	f := &Fault{Text: text}
	for _, day := range days {
		for _, t := range a.instants(day.String(), clock) {
			f.Choose = append(
				f.Choose,
				Option{Value: entry.Stamp(t, a.Policy.Zone), Label: t.In(a.Policy.Zone).Format("Monday 2 January, 15:04")},
			)
		}
	}
	faults[name] = f
}

func (a *Asked) instants(day, clock string) []time.Time {
	wall, err := time.Parse("2006-01-02 15:04", day+" "+clock)
	if err != nil {
		return nil
	}
	return entry.Instants(wall, a.Policy.Zone)
}

// says whether a whole moment is what day and time say, as far as they do.
func (a *Asked) says(which, day, clock string) bool {
	m, err := entry.ParseMoment(which)
	if err != nil {
		return false
	}
	local := m.In(a.Policy.Zone)
	time, _ := clockOf(clock)
	return (day == "" || day == local.Format("2006-01-02")) && (clock == "" || time == local.Format("15:04"))
}

// clockOf is a time as 07:30, of 0730, 730 or 7:30 too.
func clockOf(typed string) (string, bool) {
	digits := strings.ReplaceAll(strings.ReplaceAll(typed, ":", ""), ".", "")
	if len(digits) == 3 {
		digits = "0" + digits
	}
	if len(digits) != 4 {
		return "", false
	}
	clock := digits[:2] + ":" + digits[2:]
	return clock, entry.IsClock(clock)
}
