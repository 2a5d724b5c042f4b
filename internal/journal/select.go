package journal

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"cotline/handover"
)

// About is what a reading of some infants is asked for.
type About struct {
	Infants []string // by the record's keys
	At      time.Time
	Known   time.Time
	Since   time.Time // start of the window; zero: of the shift, or the last handover
}

// unitWindow is longer than any shift: the unit's notes of a window that starts
// with the shift happened within it.
const unitWindow = 72 * time.Hour

// widest is the most months that a reading of some infants looks through for others
// who may be here; one that asks for more reads everybody.
const widest = 24

// pick are the entries that a handover of some infants is compiled from: all of
// theirs; of every other infant who may be here, who and where; of the unit, its
// notes of the window, its tasks, and the handovers that name them.
func (p *picked) pick(a About, policy *handover.Policy) {
	for _, key := range a.Infants {
		key = strings.ToLower(key)
		p.take("who/"+key, "care/"+key)
		p.takeUnit("over/" + key)
	}
	from := a.from()
	for _, h := range p.candidates("here", from, a.At) {
		p.take("who/" + strings.ToLower(h.Infant))
	}
	for _, h := range p.candidates("todo", from, a.At) {
		p.takeUnit("task/" + h.ID)
	}
	for _, m := range months(a.since(policy), a.At) {
		p.takeUnit("note/" + m)
	}
}

// narrow says whether a reading can be picked: one with an unbounded window reads
// the whole record.
func (a About) narrow(policy *handover.Policy) bool {
	few := func(m []string) bool { return m != nil && len(m) <= widest }
	return len(a.Infants) > 0 && few(months(a.since(policy), a.At)) && few(months(a.from(), a.At))
}

// since is the earliest moment at which a note of the unit's window can have been.
func (a About) since(policy *handover.Policy) time.Time {
	if a.Since.IsZero() && len(policy.Shifts) > 0 {
		return a.At.Add(-unitWindow)
	}
	return a.Since
}

// from is the moment from which on nothing more is known.
func (a About) from() time.Time {
	if a.Known.Before(a.At) {
		return a.Known
	}
	return a.At
}

// picked gathers entries, each once, those of an infant after each other.
type picked struct {
	index
	all   []*held
	taken map[string]bool // streams
	unit  map[int64]bool  // positions of the unit's own, which stand in several streams
	err   error
}

// take takes streams of infants, which share no entry.
func (p *picked) take(streams ...string) {
	for _, s := range streams {
		if !p.taken[s] {
			p.taken[s] = true
			p.all = append(p.all, p.streamOf(s)...)
		}
	}
}

// takeUnit takes a stream of the unit's own entries.
func (p *picked) takeUnit(stream string) {
	for _, h := range p.streamOf(stream) {
		if !p.unit[h.position] {
			p.unit[h.position] = true
			p.all = append(p.all, h)
		}
	}
}

func (p *picked) streamOf(name string) []*held {
	if p.err != nil {
		return nil
	}
	all, err := p.stream(name)
	p.err = err
	return all
}

// candidates are the roots of a set for the time between two moments.
func (p *picked) candidates(set string, from, to time.Time) []*held {
	out := slices.Clone(p.streamOf(set + "/open"))
	for _, m := range months(from, to) {
		out = append(out, p.streamOf(set+"/"+m)...)
	}
	return out
}

// picked gathers what a handover of some infants is compiled from.
func (x index) picked(a About, policy *handover.Policy) (*picked, error) {
	p := &picked{index: x, taken: map[string]bool{}, unit: map[int64]bool{}}
	if a.narrow(policy) {
		p.pick(a, policy)
	} else {
		p.all, p.err = x.all()
	}
	return p, p.err
}

// reading is what was picked, by position, up to a head.
func (p *picked) reading(head Head) (Reading, error) {
	slices.SortFunc(p.all, func(a, b *held) int { return cmp.Compare(a.position, b.position) })
	r := Reading{Entries: entriesOf(p.all), Positions: positionsOf(p.all), Head: head}
	var err error
	r.Signed, err = p.signed()
	return r, err
}

// signed are the positions that the handovers picked were cut at.
func (p *picked) signed() (map[string]int64, error) {
	out := map[string]int64{}
	for _, h := range p.all {
		if h.Kind != "handover" {
			continue
		}
		cut, _, err := p.item("signed/" + h.ID)
		if err != nil {
			return nil, err
		}
		if cut > 0 {
			out[h.ID] = cut
		}
	}
	return out, nil
}
