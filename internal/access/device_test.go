package access_test

import (
	"slices"
	"testing"
	"time"

	"cotline/internal/access"
	"cotline/internal/access/accesstest"
)

const pin = "493817"

// withPIN signs somebody in on the device of another and gives her a PIN there.
func withPIN(t *testing.T, a *access.Access, name, device string) (access.SignedIn, access.Origin) {
	t.Helper()
	from := access.Origin{Address: "tablet", Device: device}
	in, err := a.SignIn(ctx, from, name, accesstest.Password)
	fits(t, "sign in", err)
	if in.Device != "" {
		from.Device = in.Device
	}
	from.Session = in.Token
	fits(t, "PIN", a.SetPIN(ctx, in.Who, from, accesstest.Password, pin))
	return in, from
}

func TestChangeOver(t *testing.T) {
	a, _, clock := ward(t)
	_, tablet := withPIN(t, a, "maeve", "")
	_, tablet = withPIN(t, a, "olga", tablet.Device)
	people, err := a.OnDevice(ctx, tablet)
	if err != nil || len(people) != 2 {
		t.Fatal(people, err)
	}
	clock.Move(2 * time.Hour)
	in, err := a.ChangeOver(ctx, tablet, "maeve", pin)
	fits(t, "change over", err)
	if who := session(t, a, in.Token); who.Name != "maeve" || who.Method != access.ByPIN || !who.May(home, access.Chart) ||
		!who.Until.Equal(accesstest.Start.Add(13*time.Hour)) { // no longer than the PIN holds
		t.Errorf("%+v", who)
	}
	_, err = a.Session(ctx, tablet.Session)
	is(t, "the session before", err, access.ErrNoSession)

	for what, from := range map[string]access.Origin{
		"another device": {Address: "x", Device: accesstest.In(t, a, "maeve").Device}, "none": {Address: "x"},
		"a made-up one": {Address: "x", Device: in.Token},
	} {
		_, err := a.ChangeOver(ctx, from, "maeve", pin)
		is(t, what, err, access.ErrRefused)
		if people, _ := a.OnDevice(ctx, from); len(people) > 0 {
			t.Errorf("%s tells %d people", what, len(people))
		}
	}
	clock.Move(11 * time.Hour) // 13 h after her password
	_, err = a.ChangeOver(ctx, tablet, "maeve", pin)
	is(t, "after a shift", err, access.ErrRefused)
}

// Two who take turns on a tablet all day wait for nothing: a right PIN uses no try up, nor does
// it give any back to who guesses at her password there.
func TestTurnsOnATablet(t *testing.T) {
	a, _, _ := ward(t)
	_, tablet := withPIN(t, a, "maeve", "")
	_, tablet = withPIN(t, a, "olga", tablet.Device)
	guessed := 0
	for range 10 {
		for _, name := range []string{"maeve", "olga"} {
			in, err := a.ChangeOver(ctx, tablet, name, pin)
			fits(t, name, err)
			tablet.Session = in.Token
		}
		if _, err := a.SignIn(ctx, tablet, "maeve", "wrong"); !limited(err) {
			guessed++
		}
	}
	if guessed > 5 {
		t.Errorf("%d passwords tried at once", guessed)
	}
}

func TestPINIsLocked(t *testing.T) {
	a, _, clock := ward(t)
	_, tablet := withPIN(t, a, "maeve", "")
	for range 5 {
		clock.Move(time.Minute)
		_, err := a.ChangeOver(ctx, tablet, "maeve", "111222")
		is(t, "wrong", err, access.ErrRefused)
	}
	clock.Move(time.Minute)
	_, err := a.ChangeOver(ctx, tablet, "maeve", pin)
	is(t, "the right one, too late", err, access.ErrRefused)
	_, err = a.SignIn(ctx, tablet, "maeve", accesstest.Password)
	fits(t, "password", err)
	_, err = a.ChangeOver(ctx, tablet, "maeve", pin)
	fits(t, "after her password", err)
}

// Tries at the same time are as many as tries one after the other.
func TestPINTriesAtOnce(t *testing.T) {
	a, _, _ := ward(t)
	_, tablet := withPIN(t, a, "maeve", "")
	done := make(chan error, 40)
	for range cap(done) {
		go func() { _, err := a.ChangeOver(ctx, tablet, "maeve", "111222"); done <- err }()
	}
	compared := 0
	for range cap(done) {
		if err := <-done; err == access.ErrRefused {
			compared++
		} else if !limited(err) {
			t.Error(err)
		}
	}
	if compared > 5 {
		t.Errorf("%d tries", compared)
	}
}

func TestPINIsNeverAKeepers(t *testing.T) {
	a, _, _ := ward(t)
	kim := accesstest.In(t, a, "kim")
	err := a.SetPIN(ctx, kim.Who, access.Origin{Device: kim.Device}, accesstest.Password, pin)
	is(t, "a keeper", err, access.ErrNotAllowed)
	_, tablet := withPIN(t, a, "maeve", "")
	fits(t, "roles", a.SetRoles(ctx, access.Console(), access.Origin{}, "maeve", "moss", []access.Role{access.Keeper}))
	_, err = a.ChangeOver(ctx, tablet, "maeve", pin)
	is(t, "who became one", err, access.ErrRefused)
}

func TestSetPIN(t *testing.T) {
	a, _, _ := ward(t)
	in := accesstest.In(t, a, "maeve")
	on := access.Origin{Address: "a", Device: in.Device}
	is(t, "without the password", a.SetPIN(ctx, in.Who, on, "wrong", pin), access.ErrRefused)
	other := accesstest.In(t, a, "olga").Device
	is(
		t,
		"on a device that she is not on",
		a.SetPIN(ctx, in.Who, access.Origin{Device: other}, accesstest.Password, pin),
		access.ErrRefused,
	)
	is(t, "nobody", a.SetPIN(ctx, nil, on, accesstest.Password, pin), access.ErrNotAllowed)
	for _, bad := range []string{"", "12345", "123456", "654321", "111111", "112233", "49381x", "4938170000000", "４９３８１７"} {
		if err := a.SetPIN(ctx, in.Who, on, accesstest.Password, bad); err == nil {
			t.Errorf("%q is taken", bad)
		}
	}
}

// A lost password or a lock ends the PIN, too.
func TestPINEndsWithThePassword(t *testing.T) {
	a, _, _ := ward(t)
	_, tablet := withPIN(t, a, "maeve", "")
	_, err := a.Reset(ctx, access.Console(), access.Origin{}, "maeve")
	fits(t, "reset", err)
	_, err = a.ChangeOver(ctx, tablet, "maeve", pin)
	is(t, "PIN", err, access.ErrRefused)
}

// A made-up device has no tries of its own, and a device that knows her is not held up by
// what others try from its address.
func TestMadeUpDevicesHaveNoTries(t *testing.T) {
	a, _, _ := ward(t)
	_, tablet := withPIN(t, a, "maeve", "")
	tries := 0
	for ; tries < 100; tries++ {
		from := access.Origin{Address: tablet.Address, Device: accesstest.Token(tries)}
		if _, err := a.ChangeOver(ctx, from, "maeve", pin); limited(err) {
			break
		}
	}
	if tries != 5 {
		t.Errorf("%d tries", tries)
	}
	for i := range 40 { // the address is used up
		a.SignIn(ctx, access.Origin{Address: tablet.Address}, "n"+string(rune('a'+i)), "wrong")
	}
	_, err := a.ChangeOver(ctx, tablet, "maeve", pin)
	fits(t, "on her tablet", err)
}

// A device on which nobody signed in for 90 days is one that nobody knows.
func TestDeviceEnds(t *testing.T) {
	for after, known := range map[time.Duration]bool{90*24*time.Hour - time.Second: true, 90 * 24 * time.Hour: false} {
		a, _, clock := ward(t)
		own := accesstest.In(t, a, "maeve").Device
		clock.Move(after)
		in, err := a.SignIn(ctx, access.Origin{Address: "a", Device: own}, "maeve", accesstest.Password)
		fits(t, "sign in", err)
		if known != (in.Device == "") {
			t.Errorf("after %s it is known: %v", after, in.Device == "")
		}
	}
}

// A PIN is set on the device of the session alone, though others know her too.
func TestSetPINOnThisDevice(t *testing.T) {
	a, _, _ := ward(t)
	other, in := accesstest.In(t, a, "maeve"), accesstest.In(t, a, "maeve")
	from := access.Origin{Address: "a", Session: in.Token, Device: other.Device}
	is(t, "on another", a.SetPIN(ctx, in.Who, from, accesstest.Password, pin), access.ErrRefused)
	from.Device = in.Device
	fits(t, "on this", a.SetPIN(ctx, in.Who, from, accesstest.Password, pin))
}

// A PIN that is set anew while the one before is tried ends that one.
func TestPINSetMeanwhile(t *testing.T) {
	a, store, _ := ward(t)
	in, tablet := withPIN(t, a, "maeve", "")
	a.Store = &between{store, 1, func() {
		fits(t, "another PIN", a.SetPIN(ctx, in.Who, tablet, accesstest.Password, "861402"))
	}}
	_, err := a.ChangeOver(ctx, tablet, "maeve", pin)
	is(t, "the one before", err, access.ErrRefused)
	_, err = a.ChangeOver(ctx, tablet, "maeve", "861402")
	fits(t, "the new one", err)
}

// A device or a look of which what is kept is damaged keeps nobody out, and no lock from being
// made.
func TestDamageKeepsNobodyOut(t *testing.T) {
	a, store, _ := ward(t)
	_, tablet := withPIN(t, a, "maeve", "")
	olga := accesstest.In(t, a, "olga")
	_, err := a.LookBeyond(ctx, olga.Who, access.Origin{}, "moss", "an infant moves over tonight")
	fits(t, "look", err)
	fits(t, "damage", store.Write(ctx, func(tx access.Tx) error {
		for _, kind := range []string{"device", "look"} {
			items, err := tx.List(kind, "")
			if err != nil || len(items) == 0 {
				t.Fatal(kind, items, err)
			}
			for _, item := range items {
				item.Body = []byte(`{"seats`)
				fits(t, kind, tx.Put(item))
			}
		}
		return nil
	}))
	in, err := a.SignIn(ctx, tablet, "maeve", accesstest.Password)
	fits(t, "sign in on it", err)
	if in.Device == "" {
		t.Error("the browser keeps a token of what is damaged")
	}
	if who := session(t, a, olga.Token); !who.May(home, access.ReadInfants) || who.May("moss", access.ReadInfants) {
		t.Errorf("%+v", who)
	}
	fits(t, "lock", a.Lock(ctx, access.Console(), access.Origin{}, "maeve", true))
}

// A registration that cannot be read keeps nobody from the list of the others, and is named to
// who keeps the programs of its unit.
func TestDamagedRegistration(t *testing.T) {
	a, store, _ := ward(t)
	for _, id := range []string{"lab", "press"} {
		p := programOf(t, home)
		p.ID = id
		fits(t, id, a.AddProgram(ctx, access.Console(), access.Origin{}, p))
	}
	bodies := map[string]string{"cut short": `{"id":"lab`, "another's": `{"id":"press","units":["fern"]}`, "of no unit": `{"id":"lab"}`}
	for what, body := range bodies {
		fits(t, "damage", store.Write(ctx, func(tx access.Tx) error {
			item, found, err := tx.Get("program", "lab")
			if err != nil || !found {
				t.Fatal(found, err)
			}
			item.Body = []byte(body)
			return tx.Put(item)
		}))
		others, damaged, err := a.Programs(ctx, access.Console(), access.Origin{}, home)
		if err != nil || len(others) != 1 || others[0].ID != "press" || !slices.Equal(damaged, []string{"lab"}) {
			t.Errorf("%s: %v, damaged %v, %v", what, others, damaged, err)
		}
		others, damaged, err = a.Programs(ctx, access.Console(), access.Origin{}, "moss")
		if err != nil || len(others)+len(damaged) > 0 {
			t.Errorf("%s, of another unit: %v, damaged %v, %v", what, others, damaged, err)
		}
		is(t, what+", locked", a.LockProgram(ctx, access.Console(), access.Origin{}, "lab", true), access.ErrDamaged)
	}
}

// An account that cannot be read keeps nobody else from changing over, nor a keeper from the
// list of people; it is named to who keeps it.
func TestDamagedAccount(t *testing.T) {
	a, store, _ := ward(t)
	_, tablet := withPIN(t, a, "maeve", "")
	_, tablet = withPIN(t, a, "olga", tablet.Device)
	all, _, err := a.People(ctx, access.Console())
	fits(t, "people", err)
	for what, body := range map[string]string{"cut short": `{"name":"maeve`, "another's": `{"name":"olga"}`} {
		err := store.Write(ctx, func(tx access.Tx) error {
			item, found, err := tx.Get("person", "maeve")
			if err != nil || !found {
				t.Fatal(found, err)
			}
			item.Body = []byte(body)
			return tx.Put(item)
		})
		fits(t, "damage", err)
		if here, err := a.OnDevice(ctx, tablet); err != nil || len(here) != 1 || here[0].Name != "olga" {
			t.Errorf("%s, on the device: %v %v", what, here, err)
		}
		if _, err := a.SignIn(ctx, access.Origin{Address: "x"}, "maeve", accesstest.Password); err == nil {
			t.Errorf("%s: she is let in", what)
		}
		for who, want := range map[*access.Who]int{access.Console(): len(all) - 1, accesstest.In(t, a, "kim").Who: 0} {
			people, damaged, err := a.People(ctx, who)
			if err != nil || len(people) < max(want, 1) || len(damaged) != 1 || damaged[0] != "maeve" {
				t.Errorf("%s, to %s: %d people, damaged %v, %v", what, who.Name, len(people), damaged, err)
			}
		}
		if _, damaged, err := a.People(ctx, accesstest.In(t, a, "olga").Who); err != nil || len(damaged) > 0 {
			t.Errorf("%s, to who keeps nobody: %v %v", what, damaged, err)
		}
	}
}
