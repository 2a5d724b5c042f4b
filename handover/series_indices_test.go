package handover_test

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/wardtest"

	"github.com/google/go-cmp/cmp"
)

// The indices of a stay in one pass are those of the handovers of each reading's own
// moment, and stand on the same settings.
func TestIndicesOverAgreeWithTheHandoverOfEachMoment(t *testing.T) {
	readings := 0
	for seed := range uint64(6) {
		w := wardtest.Random(t, seed, 6, 3)
		for _, record := range entry.Replay(w.Entries, w.At).Infants {
			for _, stay := range record.Stays(w.At) {
				var settled, read []*entry.Entry
				for _, e := range record.Of(stay, w.At) {
					switch {
					case e.Kind == "observations" && e.Has("spo2Percent"):
						read = append(read, e.Entry)
					case slices.Contains([]string{"admission", "support", "settings", "discharge"}, e.Kind):
						settled = append(settled, e.Entry)
					}
				}
				found := handover.IndicesOver(w.Policy, settled, read)
				for _, e := range read {
					readings++
					was, is := "none", "none"
					if x, ok := found[e.ID]; ok {
						is = fmt.Sprint(indicesSaid(x.Indices), " "+x.FiO2, " "+x.Pressure)
					}
					ward := handover.Ward{Entries: append(slices.Clone(settled), e), Policy: w.Policy}
					for _, s := range handover.Compile(ward, e.At.Time, w.At, e.At.Time).Infants {
						if v := s.Indices.Value; v != nil {
							was = fmt.Sprint(indicesSaid(*v), setIn(s, "fio2Percent"), setIn(s, "pressureCmH2O"))
						}
					}
					if diff := cmp.Diff(was, is); diff != "" {
						t.Errorf("seed %d, %s, %s (-handover +pass)\n%s", seed, record.Infant, e.At.Format(time.RFC3339), diff)
					}
				}
			}
		}
	}
	if readings < 100 {
		t.Errorf("only %d readings", readings)
	}
}

func indicesSaid(x handover.Indices) string {
	out := x.Source.Entry + " " + x.SpO2.String()
	for _, v := range []handover.Maybe[entry.Decimal]{x.SF, x.Severity, x.OSI} {
		if v.Value == nil {
			out += fmt.Sprint(" ", v.Applies, v.Why)
			continue
		}
		out += " " + v.Value.String()
	}
	return out + " "
}

// setIn is the entry that set a field, by a summary; a pressure is told only where the
// mode has one.
func setIn(s *handover.Summary, field string) string {
	for _, x := range s.Settings {
		if x.Field == field && x.Fact != nil {
			return " " + x.Fact.Entry
		}
	}
	return " "
}
