package handover_test

import (
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestIdentity(t *testing.T) {
	const unnamed = "#1 1 06:00 admission born=2026-10-01 cot=7 temporary=\"T 7\" sex=unknown\n"
	rules(t, "", unnamed, []rule{
		{"a label until there is a number", "", "2 08:00", "temporary = T 7\nmrn = -\nsex = unknown"},
		{"the number, and no label any more", "2 07:00 identity mrn=4711 sex=female visit=s-1 mother=m-1", "2 08:00",
			"temporary = -\nmrn = 4711\nsex = female\nvisit = s-1\nmother = m-1"},
		{"not before it is known", "2 09:00 identity mrn=4711", "2 08:00", "temporary = T 7\nmrn = -"},
		{"cot by the latest move", "2 07:00 move cot=8\n3 07:00 move cot=9", "2 08:00", "cot = 8"},
		{"the visit, whatever is charted after it", "2 07:00 identity visit=s-1\n3 07:00 identity given=Ember\n3 08:00 note text=x",
			"4 08:00", "visit = s-1"},
		{"a second stay, its own visit", "2 07:00 identity visit=s-1 mrn=4711\n3 07:00 discharge to=home\n" +
			"4 07:00 admission born=2026-10-01 cot=9 mrn=4711", "4 08:00", "visit = -\ncot = 9\nmrn = 4711"},
	})
}

// The former name is shown for 7 days of 24 h.
func TestFormerly(t *testing.T) {
	const named = "#1 1 06:00 admission born=2026-10-01 cot=7 mrn=1 family=Larch given=Ember\n"
	rules(t, "", named, []rule{
		{"no change", "", "20 08:00", "family = Larch\ngiven = Ember\nformerly = -"},
		{"from its moment", "20 08:00 identity family=Sorrel", "20 08:00", "family = Sorrel\ngiven = Ember\nformerly = Ember Larch"},
		{"to the last minute", "20 08:00 identity family=Sorrel", "27 06:59", "formerly = Ember Larch"}, // the clock went back by an hour
		{"no longer", "20 08:00 identity family=Sorrel", "27 07:00", "formerly = -"},
		{"the latest change", "20 08:00 identity family=Sorrel\n21 08:00 identity given=Gale", "22 08:00", "formerly = Ember Sorrel"},
		{"the same names and nothing else", "20 08:00 identity family=Larch given=Ember", "21 08:00", "formerly = -"},
		{"the same name again is no change", "20 08:00 identity family=Larch", "21 08:00", "formerly = -"},
		{"a corrected name was an error, and is no former name",
			"#3 20 08:00 identity family=Sorell\n20 09:00 correction of=#3 reason=slip -> 20 08:00 identity family=Sorrel", "21 08:00",
			"family = Sorrel\nformerly = Ember Larch"},
		{"not to be shown", "20 08:00 identity family=Sorrel\n21 08:00 identity restricted=true", "22 08:00",
			"restricted = true\nfamily = -\ngiven = -\nformerly = -"},
		{"shown again", "20 08:00 identity restricted=true\n21 08:00 identity restricted=false", "22 08:00",
			"restricted = false\nfamily = Larch"},
	})
}

func TestFormerlyInPart(t *testing.T) {
	rules(t, "", "#1 1 06:00 admission born=2026-10-01 cot=7 mrn=1\n", []rule{
		{"named for the first time", "20 08:00 identity family=Larch given=Ember", "21 08:00", "family = Larch\nformerly = -"},
		{"named by halves", "19 08:00 identity given=Ember\n20 08:00 identity family=Larch", "21 08:00", "formerly = Ember"},
		{"the other half", "19 08:00 identity family=Larch\n20 08:00 identity given=Ember", "21 08:00", "formerly = Larch"},
	})
}

// No name of an infant whose name is not shown reaches any fact.
func TestRestrictedHasNoNameAnywhere(t *testing.T) {
	p := readPolicy(t, `{}`)
	h := compiled(t, p, `
@a 1 06:00 admission born=2026-10-01 cot=7 mrn=4711 family=Larch given=Ember
@b 1 06:00 admission born=2026-10-01 cot=8 mrn=4712 family=Larch given=Rime
@c 1 06:00 admission born=2026-10-01 cot=9 mrn=4900 family=Larsh given=Jade
@a 23 08:00 identity family=Sorrel
@a 24 08:00 identity restricted=true
@c 24 08:00 identity restricted=true
@c 24 09:00 discharge to=home`, "24 12:00 since 22 08:00")
	for _, f := range facts(h) {
		for _, name := range []string{"Sorrel", "Ember", "Larsh", "Jade"} {
			if strings.Contains(f.value, name) {
				t.Errorf("%s = %s", f.path, f.value)
			}
		}
	}
	holds(t, h, "infants.b.family = Larch\nchanges.name = -\nleft.c.restricted = true\nlookAlikes.b = number")
}

// Cots in order, numbers as numbers, inside words too.
func TestOrderOfCots(t *testing.T) {
	want := []string{"2", "10", "A2", "A10", "B1", "Fern 2b", "Fern 3", "Fern 03a", "Fern 12", "Fern 12-2", "Fern 12-10", "Fern 012a",
		"Fern 13", "Fern 0100"}
	record := ""
	for i := range want {
		n := string(rune('a' + (i*5)%len(want))) // another order of keys
		record += "@" + n + " 1 06:00 admission born=2026-10-01 mrn=9" + n + "00 cot=\"" + want[i] + "\"\n"
	}
	var got []string
	for _, s := range compiled(t, readPolicy(t, `{}`), record, "2 08:00").Infants {
		got = append(got, s.Cot)
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("(-want +got)\n%s", diff)
	}
}

// Alike: family names equal or at most one edit or swap apart, two when both have
// seven letters or more; marks, case and all but letters mean nothing.
func TestNamesThatLookAlike(t *testing.T) {
	for _, c := range []struct{ a, b, want string }{
		{"Larch", "Larch", "name"}, {"Larch", "Larche", "name"}, {"Larch", "Lrach", "name"}, {"Larch", "Lark", "-"},
		{"Larch", "Barch", "name"},
		{"Larch", "Birch", "-"}, {"Larch", "LÄRCH", "name"}, {"Larch", "l'arch", "name"}, {"Lar-Ch", "larch", "name"},
		{"Weiß", "Weiss", "name"},
		{"Heather", "Heaters", "name"}, {"Heather", "Haether", "name"}, {"Heather", "Feathet", "name"}, {"Heather", "Weathet", "name"},
		{"Heather", "Feathed", "name"}, {"Heather", "Feith", "-"},
		{"Heather", "Weithed", "-"}, {"Hathers", "Hetharr", "-"}, {"Sorrel", "Sorroll", "-"}, {"ó", "o", "name"}, {"Ng", "Nguyen", "-"},
		{"123", "124", "-"}, {"Łuk", "Luk", "name"},
	} {
		h := pair(t, `born=2026-10-01 mrn=1111111 family="`+c.a+`"`, `born=2026-10-02 mrn=2222222 family="`+c.b+`"`)
		if got := valueAt(facts(h), "lookAlikes.b"); got != c.want {
			t.Errorf("%s and %s: %s, want %s", c.a, c.b, got, c.want)
		}
	}
}

// One line a pair, the first that holds; among infants who are there.
func TestLookAlikes(t *testing.T) {
	for name, c := range map[string]struct{ a, b, want string }{
		"same day, same name": {"born=2026-10-01 mrn=1111111 family=Larch", "born=2026-10-01 mrn=1111112 family=LARCH",
			"sibling"},
		"same day, alike": {"born=2026-10-01 mrn=1111111 family=Larch", "born=2026-10-01 mrn=2222222 family=Larsh",
			"name"},
		"another day, same name": {"born=2026-10-01 mrn=1111111 family=Larch", "born=2026-10-02 mrn=2222222 family=Larch",
			"name"},
		"number before name": {"born=2026-10-01 mrn=1111111 family=Larch", "born=2026-10-02 mrn=1111112 family=Larch",
			"number"},
		"the same number": {"born=2026-10-01 mrn=1111111 family=Larch", "born=2026-10-02 mrn=1111111 family=Sorrel",
			"number"},
		"no numbers, no names": {"born=2026-10-01 temporary=x", "born=2026-10-01 temporary=x", "-"},
		"same day by the unit's clock": {"born=2026-09-30T23:30:00Z mrn=1111111 family=Larch",
			"born=2026-10-01 mrn=2222222 family=Larch", "sibling"},
		"mothers that differ, same birth": {"born=2026-10-01 mrn=1111111 family=Larch mother=m-1",
			"born=2026-10-01 mrn=2222222 family=Larch mother=m-2", "sibling"},
		"nothing alike": {"born=2026-10-01 mrn=1111111 family=Larch", "born=2026-10-01 mrn=2222222 family=Sorrel", "-"},
	} {
		t.Run(name, func(t *testing.T) {
			h := pair(t, c.a, c.b)
			holds(t, h, "lookAlikes.b = "+c.want+"\ninfants.b.lookAlikes.a = "+c.want)
		})
	}
	rules(t, "", admitted+"@b 1 06:00 admission born=2026-10-01 cot=8 mrn=4712\n@c 1 06:00 admission born=2026-10-01 cot=9 mrn=4713\n",
		[]rule{
			{"all of three", "", "2 08:00", "lookAlikes.b = number\nlookAlikes.c = number\ninfants.b.lookAlikes.c = number\n" +
				"infants.c.lookAlikes.a = number"},
			{"who has left is none", "@b 2 07:00 discharge to=home", "2 08:00", "lookAlikes.b = -\nlookAlikes.c = number"},
		})
}

// What two infants cannot share is named on both.
func TestConflicts(t *testing.T) {
	const two = admitted + "@b 2 06:00 admission born=2026-10-02 cot=8 mrn=5200000\n24 06:00 support state=started mode=cpap driver=t-1\n"
	rules(t, "", two, []rule{
		{"none", "@b 24 07:00 support state=started mode=cpap driver=t-2", "24 08:00", "only conflicts\nonly infants.b.conflicts"},
		{"one driver in two current spells", "@b 24 07:00 support state=started mode=cpap driver=t-1", "24 08:00",
			"conflicts.driver.b = t-1\ninfants.b.conflicts.driver.a = t-1\nonly conflicts"},
		{"in a spell that has ended", "@b 24 07:00 support state=started mode=cpap driver=t-1\n@b 24 07:30 support state=stopped",
			"24 08:00", "only conflicts"},
		{"changed for another", "@b 24 07:00 support state=started mode=cpap driver=t-1\n@b 24 07:30 support state=changed driver=t-2",
			"24 08:00", "only conflicts"},
		{"one cot", "@b 24 07:00 move cot=7", "24 08:00", "conflicts.cot.b = 7\ninfants.b.conflicts.cot.a = 7"},
		{"one number", "@b 24 07:00 identity mrn=4711", "24 08:00", "conflicts.number.b = 4711\ninfants.b.conflicts.number.a = 4711"},
		{"who has left shares nothing", "@b 24 07:00 move cot=7\n@b 24 07:30 discharge to=home", "24 08:00", "only conflicts"},
	})
}

// The distance is that of optimal string alignment: no part is edited twice.
func TestNumbersByDistance(t *testing.T) {
	for _, c := range []struct{ a, b, want string }{
		{"ca", "abc", "-"}, {"ab", "ba", "number"}, {"ab", "a", "number"}, {"abcd", "badc", "-"}, {"x", "y", "number"}, {"007", "7", "-"},
		{"12 34", "1234", "number"},
	} {
		h := pair(t, `born=2026-10-01 mrn="`+c.a+`"`, `born=2026-10-02 mrn="`+c.b+`"`)
		if got := valueAt(facts(h), "lookAlikes.b"); got != c.want {
			t.Errorf("%s and %s: %s, want %s", c.a, c.b, got, c.want)
		}
	}
}
