package access_test

import (
	"errors"
	"slices"
	"testing"

	"cotline/internal/access"
	"cotline/internal/access/accesstest"
)

// What each role may do, as it was asked for, told apart from the table: a change of one is a
// change of both.
func TestRoles(t *testing.T) {
	want := map[access.Role][]access.Permission{
		access.Nurse: {access.ReadInfants, access.Chart, access.ChartSheets, access.HandOver, access.Print, access.LookBeyond,
			access.OwnAccount},
		access.Charge: {access.ReadInfants, access.Chart, access.ChartSheets, access.HandOver, access.Print, access.LetIn,
			access.LookBeyond,
			access.OwnAccount},
		access.Clerk:      {access.Export, access.ChartSheets, access.OwnAccount},
		access.Integrator: {access.ReadFHIR, access.ReceiveFHIR, access.OwnAccount},
		access.Keeper:     {access.ManagePeople, access.ManagePrograms, access.ManagePolicy, access.ReadTrace, access.OwnAccount},
	}
	for _, role := range access.Roles {
		who := access.Who{Kind: access.APerson, Roles: map[string][]access.Role{home: {role}}}
		for _, g := range access.Grants {
			if got := who.May(home, g.Permission); got != slices.Contains(want[role], g.Permission) {
				t.Errorf("%s may %s: %v", role, g.Permission, got)
			}
			for what, other := range map[string]*access.Who{
				"in another unit": &who, "nobody": nil, "the zero Who": {Roles: who.Roles},
			} {
				unit := home
				if other == &who {
					unit = "moss"
				}
				if other.May(unit, g.Permission) {
					t.Errorf("%s %s may %s", role, what, g.Permission)
				}
			}
		}
		if who.May(home, "what nobody named") {
			t.Error("a permission that stands in no table is given")
		}
	}
}

// A keeper of one unit keeps nobody of another.
func TestKeepersOfOtherUnits(t *testing.T) {
	a, _, _ := ward(t)
	kaj, from := accesstest.In(t, a, "kaj").Who, access.Origin{}
	for what, do := range map[string]func() error{
		"lock":     func() error { return a.Lock(ctx, kaj, from, "maeve", true) },
		"reset":    func() error { _, err := a.Reset(ctx, kaj, from, "maeve"); return err },
		"roles":    func() error { return a.SetRoles(ctx, kaj, from, "maeve", home, []access.Role{access.Keeper}) },
		"end":      func() error { return a.End(ctx, kaj, from, "maeve", "") },
		"sessions": func() error { _, err := a.Sessions(ctx, kaj, "maeve"); return err },
		"add": func() error {
			_, err := a.AddPerson(ctx, kaj, from, access.Person{Name: "eve", Shown: "Eve", Unit: "moss",
				Roles: map[string][]access.Role{home: {access.Nurse}}})
			return err
		},
		"trace":   func() error { _, err := a.Trace(ctx, kaj, from, home, access.About{}); return err },
		"program": func() error { return a.AddProgram(ctx, kaj, from, programOf(t, home)) },
	} {
		is(t, what, do(), access.ErrNotAllowed)
	}
	people, _, err := a.People(ctx, kaj)
	if err != nil || len(people) != 2 {
		t.Errorf("%v %v", people, err)
	}
	// What was tried is seen by the keeper of where it was tried.
	if n := len(events(t, a, home, access.Refused)); n != 7 { // all but the list of sessions
		t.Errorf("%d refusals traced", n)
	}
	fits(t, "her own", a.SetRoles(ctx, kaj, from, "maeve", "moss", []access.Role{access.Nurse}))
}

func TestNobodyKeepsByBeingANurse(t *testing.T) {
	a, _, _ := ward(t)
	maeve, from := accesstest.In(t, a, "maeve").Who, access.Origin{}
	is(t, "herself", a.SetRoles(ctx, maeve, from, "maeve", home, access.Roles), access.ErrNotAllowed)
	is(t, "a keeper", a.Lock(ctx, maeve, from, "kim", true), access.ErrNotAllowed)
	if people, damaged, _ := a.People(ctx, maeve); len(people)+len(damaged) > 0 {
		t.Error("she sees who there is")
	}
}

func TestPeopleAreHeldToRules(t *testing.T) {
	a, _, _ := ward(t)
	for what, p := range map[string]access.Person{
		"no name":           {Shown: "A", Unit: home},
		"a name of blanks":  {Name: "a b", Shown: "A", Unit: home},
		"nothing shown":     {Name: "anna", Unit: home},
		"what nobody sees":  {Name: "anna", Shown: "A\u202eB", Unit: home},
		"no unit":           {Name: "anna", Shown: "A"},
		"no such role":      {Name: "anna", Shown: "A", Unit: home, Roles: map[string][]access.Role{home: {"king"}}},
		"a line in a unit":  {Name: "anna", Shown: "A", Unit: "a\nb"},
		"a way up in units": {Name: "anna", Shown: "A", Unit: "../x"},
	} {
		if _, err := a.AddPerson(ctx, access.Console(), access.Origin{}, p); !errors.As(err, new(*access.Unfit)) {
			t.Errorf("%s: %v", what, err)
		}
	}
	_, err := a.AddPerson(ctx, access.Console(), access.Origin{}, access.Person{Name: " MAEVE ", Shown: "M", Unit: "moss"})
	is(t, "a name that is taken", err, access.ErrTaken)
	is(t, "nobody", a.Lock(ctx, access.Console(), access.Origin{}, "nobody", true), access.ErrNoPerson)
}
