package web

import (
	"cmp"
	"context"
	"net/url"
	"slices"
	"strings"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// handing is a handover that was signed, and what became of it.
type handing struct {
	*entry.Standing
	asOf     time.Time
	accepted map[string]*entry.Standing // by infant, the first acceptance of it
}

func (h *handing) to() string  { return h.Text("to") }
func (h *handing) cover() bool { return h.Flag("cover") }

// infants are those that it names, in its order.
func (h *handing) infants() (out []string) {
	for _, key := range h.List("infants") {
		out = append(out, key.Text)
	}
	return out
}

// handings are the handovers of a unit, by moment, and those that a page looks for: it costs
// the same however many were ever signed.
type handings struct {
	list     []*handing
	byID     map[string]*handing // by id in small letters
	accepted map[string]*entry.Standing
	cover    []*handing // those for a break
}

// handed is what was read of a unit's entries last; they are only added to.
type handed struct {
	of        *kept
	entries   int
	all       handings
	withdrawn []*entry.Entry
}

// handings are what was signed and accepted, and what of it was withdrawn.
func (l *Live) handings(ctx context.Context) (handings, []*entry.Entry, error) {
	if _, err := l.Look(ctx); err != nil {
		return handings{}, nil, err
	}
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.handed.of != l.kept || l.handed.entries != len(l.kept.unit) {
		all, withdrawn := readHandings(l.kept.unit)
		l.handed = handed{l.kept, len(l.kept.unit), all, withdrawn}
	}
	return l.handed.all, l.handed.withdrawn, nil
}

func readHandings(all []*entry.Entry) (out handings, withdrawn []*entry.Entry) {
	known := time.Time{}
	for _, e := range all {
		if e.Charted.After(known) {
			known = e.Charted.Time
		}
	}
	out.byID, out.accepted = map[string]*handing{}, map[string]*entry.Standing{}
	unit := entry.Replay(all, known).Unit
	if unit == nil {
		return out, nil
	}
	for _, e := range unit.Entries {
		if e.Kind != "handover" {
			continue
		}
		asOf, _ := e.Moment("asOf")
		h := &handing{Standing: e, asOf: asOf.Time, accepted: map[string]*entry.Standing{}}
		out.list, out.byID[strings.ToLower(e.ID)] = append(out.list, h), h
		if h.cover() {
			out.cover = append(out.cover, h)
		}
	}
	for _, e := range unit.Entries {
		h := out.find(e.Reference("handover"))
		if e.Kind != "acceptance" || h == nil {
			continue
		}
		for _, key := range e.List("infants") {
			if !h.Names("infants", key.Text) || h.accepted[key.Text] != nil {
				continue
			}
			h.accepted[key.Text] = e
			if before := out.accepted[key.Text]; before == nil || e.At.After(before.At.Time) {
				out.accepted[key.Text] = e
			}
		}
	}
	return out, unit.Withdrawn
}

func (all handings) find(id string) *handing { return all.byID[strings.ToLower(id)] }

// coverFor is how long a handover for a break, which nobody accepted, is told of. It is
// this project's own choice: no break is longer.
const coverFor = 12 * time.Hour

// of is what is open or done of an infant: the handover that its summary tells of, unless
// one for a break was signed after it. Nil before the first.
func (all handings) of(f *handover.Summary, now time.Time) *handing {
	var latest *handing
	if f.HandedOver != nil {
		latest = all.find(f.HandedOver.Entry)
	}
	for _, h := range slices.Backward(all.cover) {
		if now.Sub(h.At.Time) > coverFor {
			break // by moment
		}
		if h.Names("infants", f.Infant) && (latest == nil || h.At.After(latest.At.Time)) {
			latest = h
		}
	}
	return latest
}

// with says who has an infant: the one who accepted it last, until a handover for a break
// was accepted, then that one. Empty where nobody did.
func (all handings) with(infant string) string {
	if taken := all.taken(infant); taken != nil {
		return taken.By
	}
	return ""
}

// taken is the last acceptance of an infant, for a shift or for a break; nil where there is none.
func (all handings) taken(infant string) *entry.Standing { return all.accepted[infant] }

// open are the handovers of which an infant who is here is not accepted, those to whoever
// asks first, then by moment; with the infants, by cot.
func (all handings) open(snap *Snapshot, who string, now time.Time) (out []openHanding) {
	for _, f := range snap.handover.Infants {
		h := all.of(f, now)
		if h == nil || h.accepted[f.Infant] != nil {
			continue
		}
		i := slices.IndexFunc(out, func(o openHanding) bool { return o.handing == h })
		if i < 0 {
			i, out = len(out), append(out, openHanding{handing: h})
		}
		out[i].here = append(out[i].here, f)
	}
	slices.SortStableFunc(out, func(a, b openHanding) int {
		if mine := order(a.to() == who, b.to() == who); mine != 0 {
			return mine
		}
		return cmp.Compare(a.At.UnixNano(), b.At.UnixNano())
	})
	return out
}

type openHanding struct {
	*handing
	here []*handover.Summary // not accepted
}

// order puts what is so first.
func order(a, b bool) int {
	switch {
	case a == b:
		return 0
	case a:
		return -1
	}
	return 1
}

func handedPath(unit, id string) string { return handoversPath(unit) + "/" + url.PathEscape(id) }

func takeOverPath(unit, id, infant string) string {
	return handedPath(unit, id) + "/infants/" + url.PathEscape(infant)
}
