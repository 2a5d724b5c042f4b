package accesstest

import (
	"context"
	"encoding/base64"
	"encoding/binary"
	"testing"
	"time"

	"cotline/internal/access"
)

// Cheap is a cost of hashes for tests alone.
var Cheap = access.HashCost{Memory: 64, Passes: 1, Threads: 1}

// Password is one that the rules take, of everybody in a test.
const Password = "copper lantern, two oars"

// Token is a token of the form that tokens have, of nobody's making.
func Token(n int) string {
	var b [32]byte
	binary.BigEndian.PutUint64(b[:], uint64(n)+1)
	return base64.RawURLEncoding.EncodeToString(b[:])
}

// Clock is a clock that stands until it is moved.
type Clock struct{ At time.Time }

// Now is the moment at which it stands.
func (c *Clock) Now() time.Time { return c.At }

// Move moves it on.
func (c *Clock) Move(by time.Duration) { c.At = c.At.Add(by) }

// Start is the moment at which clocks of tests stand first.
var Start = time.Date(2026, 11, 27, 3, 0, 0, 0, time.UTC)

// New is access on an empty store in memory.
func New(home string) (*access.Access, *Memory, *Clock) {
	clock, store := &Clock{Start}, &Memory{}
	return &access.Access{Store: store, Home: home, Now: clock.Now, Hash: Cheap, TokenURL: "https://cotline.example/token"}, store, clock
}

// Add makes a person of a home unit with roles there and sets her Password.
func Add(t testing.TB, a *access.Access, unit, name string, roles ...access.Role) {
	t.Helper()
	ctx := context.Background()
	link, err := a.AddPerson(ctx, access.Console(), access.Origin{}, access.Person{
		Name: name, Shown: "N. " + name, Unit: unit, Roles: map[string][]access.Role{unit: roles},
	})
	if err != nil {
		t.Fatal(err)
	}
	if err := a.SetPassword(ctx, access.Origin{}, link, Password); err != nil {
		t.Fatal(err)
	}
}

// In signs a person in from an address of her own.
func In(t testing.TB, a *access.Access, name string) access.SignedIn {
	t.Helper()
	in, err := a.SignIn(context.Background(), access.Origin{Address: "address of " + name}, name, Password)
	if err != nil {
		t.Fatal(err)
	}
	return in
}
