package handover

import (
	"slices"
	"time"

	"cotline/handover/entry"
)

// spell is one spell of non-invasive support, half-open: its very end is not in.
// Its breaks are stretches off support no longer than the policy's breakUpTo,
// after which it went on.
type spell struct {
	start   time.Time
	end     time.Time // zero while open
	breaks  []stretch
	modes   []modeFrom
	driver  string
	starter *entry.Standing
	resumed *entry.Standing // put it on last: the starter, or what ended the last break
	stopper *entry.Standing // of the last stop, a break's or the end's
}

type stretch struct{ from, to time.Time }

type modeFrom struct {
	at    time.Time
	mode  string
	entry *entry.Standing
}

// readSpells folds the stay's support entries.
func (r *reading) readSpells() {
	for _, e := range r.own["support"] {
		r.follow(e)
	}
}

// follow folds the next support entry.
func (r *reading) follow(e *entry.Standing) {
	switch state := e.Text("state"); {
	case state == "started" && r.spell == nil:
		if last := r.lastSpell(); last != nil && e.At.Sub(last.end) <= r.p.BreakUpTo {
			last.breaks = append(last.breaks, stretch{last.end, e.At.Time})
			last.end = time.Time{}
			r.spell = last
		} else {
			r.spell = &spell{start: e.At.Time, starter: e}
			r.spells = append(r.spells, r.spell)
		}
		r.spell.resumed = e
		r.spell.change(e)
	case r.spell == nil:
		r.remark(e, "support "+state+" outside a spell: counts for nothing")
	case state == "stopped":
		r.spell.end, r.spell.stopper = e.At.Time, e
		r.spell = nil
	default:
		r.spell.change(e)
	}
}

func (r *reading) lastSpell() *spell {
	if len(r.spells) == 0 {
		return nil
	}
	return r.spells[len(r.spells)-1]
}

func (s *spell) change(e *entry.Standing) {
	if mode := e.Text("mode"); mode != "" {
		if n := len(s.modes); n > 0 && s.modes[n-1].at.Equal(e.At.Time) {
			s.modes = s.modes[:n-1] // of one moment, the last holds
		}
		if n := len(s.modes); n == 0 || s.modes[n-1].mode != mode {
			s.modes = append(s.modes, modeFrom{e.At.Time, mode, e})
		}
	}
	if driver := e.Text("driver"); driver != "" {
		s.driver = driver
	}
}

func (s *spell) mode() modeFrom { return s.modes[len(s.modes)-1] }

// covers says whether a moment lies in the spell, breaks too.
func (s *spell) covers(t time.Time) bool {
	return !t.Before(s.start) && (s.end.IsZero() || t.Before(s.end))
}

// within says whether a moment lies in the spell and in none of its breaks.
func (s *spell) within(t time.Time) bool {
	if !s.covers(t) {
		return false
	}
	for _, b := range s.breaks {
		if !t.Before(b.from) && t.Before(b.to) {
			return false
		}
	}
	return true
}

// spellAt is the spell that a moment lies within, breaks left out.
func (r *reading) spellAt(t time.Time) *spell {
	for _, s := range r.spells {
		if s.within(t) {
			return s
		}
	}
	return nil
}

// stretches are the spell without its breaks, up to a moment.
func (s *spell) stretches(upTo time.Time) []stretch {
	var out []stretch
	from := s.start
	for _, b := range s.breaks {
		out = append(out, stretch{from, b.from})
		from = b.to
	}
	end := s.end
	if end.IsZero() {
		end = upTo
	}
	return append(out, stretch{from, end})
}

var (
	pressureModes = []string{"cpap", "bilevel", "ventilation"}
	ratedModes    = []string{"bilevel", "ventilation"}
	heatedModes   = []string{"cpap", "bilevel", "ventilation", "high-flow"}
)

// in says whether the infant is on support in one of some modes.
func (r *reading) in(modes []string) bool {
	return r.spell != nil && slices.Contains(modes, r.spell.mode().mode)
}

// pressureFrom is the moment since when the mode at t has been one with a set
// pressure; false when it is not.
func (s *spell) pressureFrom(t time.Time) (from time.Time, ok bool) {
	for _, m := range s.modes {
		if m.at.After(t) {
			break
		}
		switch is := slices.Contains(pressureModes, m.mode); {
		case is && !ok:
			from, ok = m.at, true
		case !is:
			ok = false
		}
	}
	return from, ok
}

// supportFact says whether the infant is on support.
func (r *reading) supportFact() Support {
	last := r.lastSpell()
	switch {
	case last == nil:
		return Support{State: "never"}
	case r.spell == nil:
		return Support{State: "off", StoppedAt: last.end, Reason: last.stopper.Text("reason"), Source: r.source(last.stopper)}
	}
	m := last.mode()
	why := ""
	for _, e := range r.own["support"] {
		if e.Has("why") && !e.At.Before(last.start) {
			why = e.Text("why")
		}
	}
	return Support{State: "on", Why: why, Mode: m.mode, Since: last.start, ModeSince: m.at, Driver: last.driver, Source: r.source(m.entry)}
}
