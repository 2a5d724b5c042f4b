package handover_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"cotline/handover/entry"
)

// At one moment what ends comes before what begins, whatever else is charted and
// however ids go; then the earlier charted; then the smaller id.
func TestOrderAtOneMoment(t *testing.T) {
	p := readPolicy(t, `{}`)
	for ends, begins := range map[string][]string{
		"discharge to=ward": {"admission born=2026-10-01 cot=7 mrn=1", "support state=started mode=cpap",
			"interface type=mask", "settings fio2Percent=30"},
		"support state=stopped": {"support state=started mode=cpap", "support state=changed mode=cpap",
			"interface type=prongs", "note text=x"},
		"interface type=off": {"interface type=mask", "interface type=cannula", "skin sites=septum:intact"},
		"tube action=removed": {"tube action=placed route=oral markCm=15", "tube action=found route=oral markCm=15",
			"tube action=checked", "tube action=repositioned markCm=15"},
		"tube action=none":       {"tube action=placed route=oral markCm=15", "tube action=checked"},
		"bonnet action=removed":  {"bonnet action=fitted size=bud", "bonnet action=found size=bud"},
		"bonnet action=none":     {"bonnet action=fitted size=bud"},
		"bonnet action=tight":    {"bonnet action=fitted size=bud", "bonnet action=found size=bud"},
		"bonnet action=slack":    {"bonnet action=fitted size=bud"},
		"bonnet action=soiled":   {"bonnet action=found size=bud"},
		"circuit action=soiled":  {"circuit action=fitted"},
		"circuit action=faulty":  {"circuit action=fitted"},
		"circuit action=drained": {"circuit action=fitted", "calibration points=21:21"},
		"humidifier state=off": {"humidifier state=on", "humidifier state=warming", "humidifier state=ready",
			"humidifier water=ok", "care what=position side=left"},
		"humidifier state=off water=changed": {"humidifier chamberC=37"},
	} {
		for _, other := range begins {
			pair := untaken(t, p, "#9 24 08:00 "+ends+` charted="24 09:00"`+"\n#1 24 08:00 "+other+` charted="24 08:00"`)
			if entry.Order(pair[0], pair[1]) >= 0 || entry.Order(pair[1], pair[0]) <= 0 {
				t.Errorf("%s does not come before %s", ends, other)
			}
		}
	}
	for name, lines := range map[string]string{ // the first comes first
		"the moment before all":    "#9 24 08:00 support state=started mode=cpap\n#1 24 08:01 support state=stopped",
		"in another offset":        "#9 2026-10-24T09:00:00+02:00 note text=x\n#1 2026-10-24T07:30:00Z note text=x",
		"charted earlier":          "#9 24 08:00 note text=x charted=\"24 08:01\"\n#1 24 08:00 note text=x charted=\"24 08:02\"",
		"the smaller id":           "#1 24 08:00 note text=x\n#9 24 08:00 note text=x",
		"the smaller id, both end": "#1 24 08:00 interface type=off\n#9 24 08:00 support state=stopped",
	} {
		if pair := untaken(t, p, lines); entry.Order(pair[0], pair[1]) >= 0 {
			t.Error(name)
		}
	}
}

// It is one order of all entries: sorting from any order ends in the same.
func TestOrderIsOne(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		w := draw(r, t, "Europe/Vienna")
		sorted := slices.Clone(w.entries)
		slices.SortFunc(sorted, entry.Order)
		for range 10 {
			a, b := pick(r, sorted, "a"), pick(r, sorted, "b")
			i, j := slices.Index(sorted, a), slices.Index(sorted, b)
			if c := entry.Order(a, b); (c < 0) != (i < j) || (c == 0) != (a == b) {
				r.Fatalf("%s and %s: %d, at %d and %d", a.ID, b.ID, c, i, j)
			}
		}
	})
}
