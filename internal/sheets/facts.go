package sheets

import (
	"strings"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// fact is one figure or word of the handover, by its path in the JSON form.
type fact struct {
	path  string
	value cell
	unit  string
	handover.Source
}

// facts gathers one infant's facts, or the unit's.
type facts struct {
	clock
	list []fact
}

// add adds a fact; a moment has its offset for a unit, for the clock may show it twice.
func (f *facts) add(path string, value cell, unit string, src handover.Source) {
	if value.show == showMoment {
		unit = "at UTC" + f.offset(value.when)
	}
	f.list = append(f.list, fact{path, value, unit, src})
}

var noSource handover.Source

// number adds a figure that may be not charted, not apply or be left out.
func (f *facts) number(path string, m handover.Maybe[entry.Decimal], unit string, src handover.Source) {
	f.add(path, maybe(m, number), unit, src)
}

func (f *facts) word(path string, m handover.Maybe[string], src handover.Source) {
	f.add(path, maybe(m, func(s string) cell { return text(s, notCharted) }), "", src)
}

func (f *facts) flag(path string, m handover.Maybe[bool], src handover.Source) {
	f.add(path, maybe(m, yesNo), "", src)
}

func (f *facts) time(path string, m handover.Maybe[time.Time], src handover.Source) {
	f.add(path, maybe(m, func(t time.Time) cell { return f.moment(t, notCharted) }), "", src)
}

// moment adds a moment, left out where it is none.
func (f *facts) at(path string, t time.Time, src handover.Source) {
	if !t.IsZero() {
		f.add(path, f.moment(t, doesNotApply), "", src)
	}
}

// text adds charted text, left out where there is none.
func (f *facts) text(path, s string, src handover.Source) {
	if s != "" {
		f.add(path, text(s, none), "", src)
	}
}

// day adds a civil day, left out where it is none.
func (f *facts) day(path string, d entry.Date, src handover.Source) {
	if !d.IsZero() {
		f.add(path, day(d, doesNotApply), "", src)
	}
}

func (f *facts) count(path string, n int) { f.add(path, count(n), "", noSource) }

// whole adds the parts of what may be not charted or not apply as a whole.
func whole[T any](f *facts, path string, m handover.Maybe[T], parts func(*facts, string, T)) {
	if m.Value == nil {
		f.add(path, maybe(m, func(T) cell { return cell{} }), "", noSource)
		return
	}
	parts(f, path+".", *m.Value)
}

// unitOf is the unit of a field in the table of kinds.
func unitOf(kind, field string) string {
	if k, ok := entry.KindOf(kind); ok {
		if s, ok := k.Spec(field); ok {
			return s.Unit
		}
	}
	return ""
}

// factsOf are all of an infant's facts, in the order of the JSON form.
func factsOf(s *handover.Summary, c clock) []fact {
	f := &facts{clock: c}
	f.identity(s)
	f.support(s)
	f.breathing(s)
	f.face(s)
	f.body(s)
	f.equipment(s)
	f.care(s)
	return f.list
}

func (f *facts) identity(s *handover.Summary) {
	f.at("since", s.Since, noSource)
	f.add("new", yesNo(s.New), "", noSource)
	f.text("sex", s.Sex, noSource)
	f.text("mother", s.Mother, noSource)
	f.text("visit", s.Visit, noSource)
	f.text("birthOrder", s.BirthOrder, noSource)
	f.text("multiples", s.Multiples, noSource)
	f.add("age.gestation", text(s.Age.Gestation, notCharted), "weeks+days", noSource)
	about := ""
	if s.Age.About {
		about = "about "
	}
	if s.Age.Postmenstrual != "" {
		f.add("age.postmenstrual", text(about+s.Age.Postmenstrual, notCharted), "weeks+days", noSource)
	}
	f.add("age.dayOfLife", count(s.Age.DayOfLife), "the day of birth is 0", noSource)
}

func (f *facts) support(s *handover.Summary) {
	src := s.Support.Source
	f.text("support.state", s.Support.State, src)
	f.text("support.mode", s.Support.Mode, src)
	f.at("support.since", s.Support.Since, src)
	f.at("support.modeSince", s.Support.ModeSince, src)
	f.text("support.driver", s.Support.Driver, src)
	f.at("support.stoppedAt", s.Support.StoppedAt, src)
	f.text("support.reason", s.Support.Reason, src)
	for _, x := range s.Settings {
		if x.Fact == nil {
			f.add("settings."+x.Field, word(notCharted), unitOf("settings", x.Field), noSource)
		} else {
			f.add("settings."+x.Field, number(x.Fact.Value), unitOf("settings", x.Field), x.Fact.Source)
		}
	}
}

func (f *facts) breathing(s *handover.Summary) {
	whole(f, "fio2", s.FiO2, func(f *facts, path string, v handover.FiO2Window) {
		f.add(path+"minPercent", number(v.MinPercent), "%", noSource)
		f.add(path+"maxPercent", number(v.MaxPercent), "%", noSource)
		f.number(path+"meanPercent", v.MeanPercent, "%", noSource)
		f.number(path+"meanBeforePercent", v.MeanBefore, "%", noSource)
		f.count(path+"rises", v.Rises)
	})
	whole(f, "spo2", s.SpO2, func(f *facts, path string, v handover.SpO2Window) {
		f.count(path+"count", v.Count)
		f.count(path+"below", v.Below)
		f.count(path+"inTarget", v.InTarget)
		f.count(path+"above", v.Above)
		f.count(path+"noTarget", v.NoTarget)
	})
	whole(f, "indices", s.Indices, func(f *facts, path string, v handover.Indices) {
		f.number(path+"sf", v.SF, "set CPAP", v.Source)
		f.number(path+"severity", v.Severity, "set CPAP", v.Source)
		f.number(path+"osi", v.OSI, "set CPAP", v.Source)
	})
	for _, o := range s.Observations {
		value := text(o.Value, notCharted)
		if d, err := entry.ParseDecimal(o.Value); err == nil && !o.Word {
			value = number(d)
		}
		f.add("observations."+o.Field, value, unitOf("observations", o.Field), o.Source)
	}
	if s.Silverman.Applies || s.Silverman.Why != "" {
		f.add("silverman.total", maybe(s.Silverman, func(v handover.Silverman) cell { return count(v.Total) }), "", silvermanSource(s))
	}
	for _, w := range []struct {
		path  string
		count handover.EpisodeCount
	}{{"episodes.window.", s.Episodes.Window}, {"episodes.day.", s.Episodes.Day}} {
		f.count(w.path+"count", w.count.Count)
		for i, sign := range entry.Signs {
			f.count(w.path+sign, w.count.BySign[i])
		}
		for i, how := range entry.Recoveries {
			f.count(w.path+how, w.count.ByRecovered[i])
		}
	}
	if h := s.Episodes.Helped; h != nil {
		f.at("episodes.helpedAt", h.At, *h)
	}
}

func silvermanSource(s *handover.Summary) handover.Source {
	if s.Silverman.Value == nil {
		return noSource
	}
	return s.Silverman.Value.Source
}

// joined is a list in one cell.
func joined(items []string) cell { return text(strings.Join(items, ", "), none) }
