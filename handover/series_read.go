package handover

import (
	"slices"
	"time"

	"cotline/handover/entry"
)

// clipped is the part of a spell's stretch that lies in the window; false for none.
func (r *reading) clipped(s *spell, part stretch) (stretch, bool) {
	c := stretch{latestOf(part.from, r.since), part.to}
	open := s.end.IsZero() && part.to.Equal(r.at) // the moment at is in it
	return c, c.from.Before(c.to) || open && c.from.Equal(c.to)
}

// cut calls with each piece between moments that lie inside a stretch, in order.
func (c stretch) cut(moments []time.Time, with func(stretch)) {
	moments = append([]time.Time{c.from}, moments...)
	slices.SortFunc(moments, time.Time.Compare)
	var inside []time.Time
	for _, t := range moments {
		if !t.Before(c.from) && (t.Before(c.to) || t.Equal(c.to) && t.Equal(c.from)) &&
			(len(inside) == 0 || t.After(inside[len(inside)-1])) {
			inside = append(inside, t)
		}
	}
	for i, t := range inside {
		to := c.to
		if i+1 < len(inside) {
			to = inside[i+1]
		}
		with(stretch{t, to})
	}
}

// pieces calls with every piece of the window's time within spells, cut where
// the moments of a spell lie; one that begins at the very end of an open spell,
// at the moment of the reading, is a piece without length.
func (r *reading) pieces(moments func(*spell) []time.Time, with func(*spell, stretch)) {
	for _, s := range r.spells {
		cuts := moments(s)
		for _, part := range s.stretches(r.at) {
			c, ok := r.clipped(s, part)
			if !ok {
				continue
			}
			c.cut(cuts, func(piece stretch) { with(s, piece) })
			if s.end.IsZero() && c.to.Equal(r.at) && c.from.Before(c.to) && slices.ContainsFunc(cuts, r.at.Equal) {
				with(s, stretch{r.at, r.at})
			}
		}
	}
}

func momentsOf(entries []*entry.Standing) []time.Time {
	out := make([]time.Time, len(entries))
	for i, e := range entries {
		out[i] = e.At.Time
	}
	return out
}

// setSteps is a set value over the window, within spells.
func (r *reading) setSteps(field string) []Step {
	var out []Step
	cuts := func(s *spell) []time.Time {
		all := momentsOf(r.settingsOf(s, field))
		for _, m := range s.modes { // a pressure holds only in its modes
			all = append(all, m.at)
		}
		return all
	}
	r.pieces(cuts, func(s *spell, piece stretch) {
		if _, pressured := s.pressureFrom(piece.from); field == "pressureCmH2O" && !pressured {
			return
		}
		step := Step{From: piece.from, To: piece.to}
		if e := r.setAt(s, field, piece.from); e != nil {
			step.Value, step.Entry = numberAt(e, field), e.ID
		}
		if n := len(out); n > 0 && out[n-1].Entry == step.Entry && out[n-1].To.Equal(piece.from) {
			out[n-1].To = piece.to
			return
		}
		out = append(out, step)
	})
	return out
}

// targets are the SpO2 targets over the window, within spells.
func (r *reading) targets() []Target {
	var out []Target
	cuts := func(*spell) []time.Time { return momentsOf(r.own["settings"]) }
	r.pieces(cuts, func(s *spell, piece stretch) {
		t := r.targetIn(s, piece.from)
		t.From, t.To = piece.from, piece.to
		if n := len(out); n > 0 && out[n-1].To.Equal(t.From) && out[n-1].Air == t.Air && equal(out[n-1].Low, t.Low) &&
			equal(out[n-1].High, t.High) {
			out[n-1].To = t.To
			return
		}
		out = append(out, t)
	})
	return out
}

func equal(a, b *entry.Decimal) bool {
	return a == nil && b == nil || a != nil && b != nil && a.Cmp(*b) == 0
}

// saturations are the window's readings of SpO2, those outside a spell too.
func (r *reading) saturations() []Saturation {
	var out []Saturation
	for _, e := range after(r.own["observations"], r.since) {
		v, ok := e.Number("spo2Percent")
		if !ok || !r.inWindow(e.At.Time) {
			continue
		}
		x := Saturation{Value: v, Against: "no-target", Source: r.source(e)}
		if s := r.spellAt(e.At.Time); s != nil {
			x.Within, x.Against = true, r.targetIn(s, e.At.Time).against(v)
		}
		out = append(out, x)
	}
	return out
}

// supportBars are the modes of the window, and what lies between: a break, or
// off support.
func (r *reading) supportBars() []Bar {
	var out []Bar
	off := func(what string, from, to time.Time, stopper *entry.Standing) {
		if from = latestOf(from, r.since); from.Before(to) || from.Equal(to) && to.Equal(r.at) {
			out = append(out, Bar{From: from, To: to, What: what, Entry: stopper.ID})
		}
	}
	for i, s := range r.spells {
		for _, b := range s.breaks {
			off("break", b.from, b.to, s.stopper)
		}
		if !s.end.IsZero() {
			to := r.at
			if i+1 < len(r.spells) {
				to = r.spells[i+1].start
			}
			off("off", s.end, to, s.stopper)
		}
	}
	cuts := func(s *spell) []time.Time {
		var all []time.Time
		for _, m := range s.modes {
			all = append(all, m.at)
		}
		return all
	}
	r.pieces(cuts, func(s *spell, piece stretch) {
		m := s.modes[0]
		for _, x := range s.modes {
			if !x.at.After(piece.from) {
				m = x
			}
		}
		out = append(out, Bar{From: piece.from, To: piece.to, What: m.mode, Entry: m.entry.ID})
	})
	slices.SortStableFunc(out, func(a, b Bar) int { return a.From.Compare(b.From) })
	return out
}

// interfaceBars are what was on the face over the window, as charted.
func (r *reading) interfaceBars() []Bar {
	var out []Bar
	for _, w := range r.wears() {
		b := Bar{From: latestOf(w.from, r.since), To: w.to, What: w.typ, Size: w.size, Entry: w.entry.ID}
		if w.to.IsZero() {
			b.To = r.at
		}
		if b.From.Before(b.To) || b.From.Equal(r.at) {
			out = append(out, b)
		}
	}
	return out
}

// rotations are the changes between mask and prongs in the window, each judged as the
// handover of its own moment would: on support with a pressure, and of several at one
// moment the last.
func (r *reading) rotations() []Rotated {
	var out []Rotated
	for _, s := range r.spells {
		turns := r.readRun(s).turns
		for i, t := range turns {
			at := t.entry.At.Time
			if _, pressured := s.pressureFrom(at); !pressured || !s.within(at) || !r.inWindow(at) ||
				i+1 < len(turns) && turns[i+1].entry.At.Equal(at) {
				continue
			}
			out = append(out, Rotated{From: t.from, To: t.to, Source: r.source(t.entry)})
		}
	}
	return out
}

// skinSeen are the window's skin checks.
func (r *reading) skinSeen() []SkinSeen {
	var out []SkinSeen
	for _, e := range r.own["skin"] {
		if !r.inWindow(e.At.Time) {
			continue
		}
		x := SkinSeen{Source: r.source(e)}
		for _, v := range e.List("sites") {
			s := SiteSeen{v.Field("site").Text, v.Field("finding").Text}
			x.Sites = append(x.Sites, s)
			if slices.Index(entry.Findings, s.Finding) > slices.Index(entry.Findings, x.Worst) {
				x.Worst = s.Finding
			}
		}
		out = append(out, x)
	}
	return out
}

// episodesSeen are the window's episodes.
func (r *reading) episodesSeen() []EpisodeSeen {
	var out []EpisodeSeen
	for _, e := range r.own["episode"] {
		if !r.inWindow(e.At.Time) {
			continue
		}
		x := EpisodeSeen{Recovered: e.Text("recovered"), Lowest: numberAt(e, "lowestSpo2Percent"), Source: r.source(e)}
		for _, sign := range entry.Signs {
			if e.Names("signs", sign) {
				x.Signs = append(x.Signs, sign)
			}
		}
		out = append(out, x)
	}
	return out
}
