package handover

import (
	"time"

	"github.com/cockroachdb/apd/v3"

	"cotline/handover/entry"
)

// tubeState folds the entries of one use.
type tubeState struct {
	in        bool
	told      bool // something brought one in, or found none
	route     string
	routed    *entry.Standing // charted the route last
	size      *entry.Decimal
	mark      *entry.Standing
	reference *entry.Standing
	last      *entry.Standing // its latest entry while in
	ph        *entry.Standing // charted it last, as those below
	aspirate  *entry.Standing
	amount    *entry.Standing
	look      *entry.Standing
	xray      *entry.Standing
	settled   *entry.Standing // the entry that brought it in, took it out or found none
}

var tubeUses = []string{"feeding", "venting"}

func tubeUse(e *entry.Standing) string {
	if use := e.Text("use"); use != "" {
		return use
	}
	return "feeding"
}

// tube is the state of a use.
func (r *reading) tube(use string) *tubeState {
	t := r.tubes[use]
	if t == nil {
		t = r.readTube(use)
		if r.tubes == nil {
			r.tubes = map[string]*tubeState{}
		}
		r.tubes[use] = t
	}
	return t
}

func (r *reading) readTube(use string) *tubeState {
	t := &tubeState{}
	for _, e := range r.own["tube"] {
		if tubeUse(e) != use {
			continue
		}
		action := e.Text("action")
		size, sized := e.Number("sizeFr")
		brings := action == "placed" ||
			action == "found" && (!t.in || e.Text("route") != t.route || sized && t.size != nil && size.Cmp(*t.size) != 0)
		switch {
		case action == "none":
			settled := t.settled
			if t.in || !t.told {
				settled = e
			}
			t = &tubeState{told: true, settled: settled}
			continue
		case action == "removed":
			if !t.in {
				r.remark(e, "a "+use+" tube removed, and none charted as in")
				continue
			}
			t = &tubeState{told: true, settled: e}
			continue
		case brings:
			t = &tubeState{in: true, told: true, settled: e, reference: e}
		case !t.in:
			r.remark(e, "a "+use+" tube "+action+", and none charted as in")
			continue
		case action == "repositioned":
			t.reference = e
		}
		t.take(e)
	}
	return t
}

// take folds what an entry says of the tube that is in.
func (t *tubeState) take(e *entry.Standing) {
	t.last = e
	if e.Has("route") {
		t.route, t.routed = e.Text("route"), e
	}
	if size, ok := e.Number("sizeFr"); ok {
		t.size = &size
	}
	if e.Has("markCm") {
		t.mark = e
	}
	if _, ok := e.Number("ph"); ok {
		t.ph = e
	}
	if e.Has("aspirate") {
		t.aspirate = e
	}
	if _, ok := e.Number("aspirateMl"); ok {
		t.amount = e
	}
	if e.Has("aspirateLook") {
		t.look = e
	}
	if e.Flag("xray") {
		t.xray = e
	}
}

// tubesFact is every gastric tube that is in; not charted when nothing in the
// stay brought one in or found none.
func (r *reading) tubesFact() Maybe[[]Tube] {
	tubes, told := []Tube{}, false
	for _, use := range tubeUses {
		t := r.tube(use)
		told = told || t.told
		if t.in {
			tubes = append(tubes, r.tubeFact(use, t))
		}
	}
	return knownIf(tubes, told)
}

func (r *reading) tubeFact(use string, t *tubeState) Tube {
	f := Tube{Use: use, Route: t.route, CheckedAt: t.last.At.Time, ReferenceAt: t.reference.At.Time, PH: r.numberFact(t.ph, "ph"),
		Aspirate: r.wordFact(t.aspirate, "aspirate"), AspirateMl: r.numberFact(t.amount, "aspirateMl"),
		AspirateLook: r.wordFact(t.look, "aspirateLook"), Source: r.source(t.mark)}
	if t.xray != nil {
		seen := r.source(t.xray)
		f.XRay = &seen
	}
	f.MarkCm, _ = t.mark.Number("markCm")
	f.ReferenceMarkCm, _ = t.reference.Number("markCm")
	f.Moved = f.MarkCm.Sub(f.ReferenceMarkCm).Abs().Cmp(r.p.MovedCm) >= 0
	if f.SizeFr = notCharted[entry.Decimal](); t.size != nil {
		f.SizeFr = known(*t.size)
	}
	r.estimate(&f)
	return f
}

// Freeman D et al., Adv Neonatal Care 2012: oral 3 × kg + 12 cm, nasal
// 3 × kg + 13 cm, from infants of 397 to 4131 g.
var (
	freemanLowG  = entry.Int(397)
	freemanHighG = entry.Int(4131)
)

// estimate sets beside the mark a length from the latest weight of the stay.
func (r *reading) estimate(f *Tube) {
	if r.p.LengthBy == "none" {
		return
	}
	weight, at, ok := r.stayWeight()
	switch {
	case !ok:
		f.EstimateCm = leftOut[entry.Decimal]("weight not charted in this stay")
		return
	case r.at.Sub(at) > r.p.WeightUpTo:
		f.EstimateCm = leftOut[entry.Decimal]("the latest weight is older than the unit's limit")
		return
	case weight.Cmp(freemanLowG) < 0 || weight.Cmp(freemanHighG) > 0:
		f.EstimateCm = leftOut[entry.Decimal]("weight outside the range of the source, 397 to 4131 g")
		return
	}
	constant := apd.New(12, 0)
	if f.Route == "nasal" {
		constant = apd.New(13, 0)
	}
	f.EstimateCm = known(entry.Rounded(entry.Add(entry.Mul(weight.Exact(), apd.New(3, -3)), constant), 1))
	f.EstimateBy, f.EstimateWeightAt = r.p.LengthBy, at
}

// stayWeight is the latest weight of the stay; the birth weight counts, at birth.
func (r *reading) stayWeight() (entry.Decimal, time.Time, bool) {
	var weight entry.Decimal
	var at time.Time
	var ok bool
	if r.stay.First {
		if weight, ok = r.stay.Admission.Number("birthWeightG"); ok {
			at = r.bornMoment()
		}
	}
	if e := latest(r.own["weight"], always); e != nil {
		if !ok || !e.At.Before(at) {
			weight, _ = e.Number("weightG")
			at, ok = e.At.Time, true
		}
	}
	return weight, at, ok
}
