package handover

import (
	"slices"
	"strconv"
	"time"

	"cotline/handover/entry"
)

// observedFact is the latest of each observed field in the stay, each with its
// own moment.
func (r *reading) observedFact() []Observed {
	var out []Observed
	kind, _ := entry.KindOf("observations")
	for _, spec := range kind.Fields {
		e := r.observed(spec.Name)
		if e == nil || spec.Type == entry.Object {
			continue
		}
		value := e.Text(spec.Name)
		if spec.Type == entry.Flag {
			value = strconv.FormatBool(e.Flag(spec.Name))
		}
		out = append(out, Observed{Field: spec.Name, Value: value, Word: spec.Type == entry.Word, Source: r.source(e)})
	}
	return out
}

// observed is the latest observation of the stay that carries a field, nil for none.
func (r *reading) observed(field string) *entry.Standing {
	if r.newest == nil {
		r.newest = few[*entry.Standing]{}
		for _, e := range slices.Backward(r.own["observations"]) {
			for i := range e.Fields {
				f := &e.Fields[i]
				if of := r.newest.of(f.Name); f.Value.Type != entry.Absent && *of == nil {
					*of = []*entry.Standing{e}
				}
			}
		}
	}
	if of := *r.newest.of(field); of != nil {
		return of[0]
	}
	return nil
}

// freshFor is how long what is observed holds: twice this infant's interval, 2 h
// where there is none.
func (r *reading) freshFor() time.Duration {
	every, _ := r.interval("observations", "", r.p.Observations)
	if every.None() {
		return 2 * time.Hour
	}
	return 2 * every.Duration
}

// stale says whether an observation of that moment is too old to be gone by.
func (r *reading) stale(t time.Time) bool { return r.at.Sub(t) > r.freshFor() }

// SilvermanItems are the items of the Silverman-Andersen score, in the order of the kind's
// fields.
var SilvermanItems = []string{"chest", "intercostal", "xiphoid", "nares", "grunt"}

// silvermanFact is the latest score, summed only when all five items were charted.
func (r *reading) silvermanFact() Maybe[Silverman] {
	e := r.observed("silverman")
	if e == nil {
		return Maybe[Silverman]{}
	}
	if len(entry.Lookup(e.Fields, "silverman").Fields) < len(SilvermanItems) {
		return leftOut[Silverman]("not all five items were charted")
	}
	s := Silverman{Source: r.source(e)}
	for i, item := range SilvermanItems {
		s.Items[i], _ = strconv.Atoi(entry.Lookup(e.Fields, "silverman").Field(item).Text)
		s.Total += s.Items[i]
	}
	return known(s)
}

// episodesFact counts by sign and by recovery; none charted is 0.
func (r *reading) episodesFact() Episodes {
	var f Episodes
	from := r.at.Add(-24 * time.Hour)
	for _, e := range r.own["episode"] {
		if r.inWindow(e.At.Time) {
			f.Window.count(e)
		}
		if e.At.After(from) {
			f.Day.count(e)
		}
		if e.Text("recovered") != "by-itself" {
			s := r.source(e)
			f.Helped = &s
		}
	}
	return f
}

func (c *EpisodeCount) count(e *entry.Standing) {
	c.Count++
	for i, sign := range entry.Signs {
		if e.Names("signs", sign) {
			c.BySign[i]++
		}
	}
	for i, how := range entry.Recoveries {
		if e.Text("recovered") == how {
			c.ByRecovered[i]++
		}
	}
}
