package fhir

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"cotline/fhir/internal/r4"

	models "github.com/samply/golang-fhir-models/fhir-models/fhir"
)

// minute is a moment as a reader is told it: to the minute, with the offset, for a night
// may have an hour twice.
func (d *document) minute(t time.Time) string {
	return t.In(d.zone).Format("2006-01-02 15:04 (-07:00)")
}

// corrections say of what the document holds what was corrected, why, by whom and when.
func (d *document) corrections() (out []string) {
	among := reachAmong(d.held).among
	for _, r := range d.held {
		m, ok := r.Model.Body.(*models.Provenance)
		if !ok {
			continue
		}
		var of []string
		for _, to := range m.Target {
			target := among[*to.Reference]
			if target == nil { // the bundle is refused for it
				continue
			}
			if o, ok := target.Model.Body.(*models.Observation); ok && !slices.Contains(of, r4.TextOf(&o.Code)) {
				of = append(of, r4.TextOf(&o.Code))
			}
		}
		at, err := time.Parse(time.RFC3339Nano, m.Recorded)
		when := m.Recorded
		if err == nil {
			when = d.minute(at)
		}
		out = append(out, fmt.Sprintf("%s: “%s” (%s, %s)", strings.Join(of, ", "), r4.TextOf(&m.Reason[0]),
			r4.StringOf(m.Agent[0].Who.Display), when))
	}
	return out
}

const notCarried = "The care entries that this was made from are not carried: it is to be read, and no record can be made of it again."

// carried says whether this can be read back, and of how many entries nothing else in
// the document comes.
func (d *document) carried() []string {
	if !d.Entries {
		return []string{notCarried}
	}
	alone := 0
	for _, r := range d.held {
		if r.Type == "Basic" {
			alone++
		}
	}
	return []string{fmt.Sprintf("The care entries of this infant are carried, to be read back by the tool that wrote them: "+
		"%d of them here, the others on the resources that they yield.", alone)}
}
