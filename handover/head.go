package handover

import (
	"github.com/cockroachdb/apd/v3"

	"cotline/handover/entry"
)

// heads are every head reading of the record, in order.
func (r *reading) heads() []*entry.Standing { return r.kinds["head"] }

// withinError is the 95 % band of the difference of two readings whose technical
// error of measurement is 0.4 cm (Cheikh Ismail 2013, BJOG 120 s2:48-55): 0.4 × √2 × 1.96.
var withinError = entry.MustDecimal("1.11")

// growthDays is how far apart two readings are taken for growth a week.
const growthDays = 5

// headFact is the latest circumference, its place on the standard, and growth.
func (r *reading) headFact() Maybe[Head] {
	heads := r.heads()
	if len(heads) == 0 {
		return notCharted[Head]()
	}
	e := heads[len(heads)-1]
	cm, _ := e.Number("circumferenceCm")
	on := r.day(e.At.Time)
	f := Head{CircumferenceCm: cm, Unreliable: e.Text("unreliable"), Source: r.source(e)}
	f.Score = r.score(on, cm.Float(), f.Unreliable != "", headCurve, birthHeadCurve)
	if f.Unreliable != "" {
		return known(f)
	}
	before := latest(heads, func(b *entry.Standing) bool {
		return !b.Has("unreliable") && on.Sub(r.day(b.At.Time)) >= growthDays
	})
	if before != nil {
		was, _ := before.Number("circumferenceCm")
		gain := cm.Sub(was)
		days := on.Sub(r.day(before.At.Time))
		f.Growth = &Growth{
			CmPerWeek:   entry.Rounded(entry.Quo(entry.Mul(gain.Exact(), apd.New(7, 0)), apd.New(int64(days), 0)), 2),
			From:        NumberFact{was, r.source(before)},
			WithinError: gain.Abs().Cmp(withinError) < 0,
		}
	}
	return known(f)
}
