package access_test

import (
	"context"
	"errors"
	"testing"

	"cotline/internal/access"
	"cotline/internal/access/accesstest"
)

var ctx = context.Background()

func TestSignIn(t *testing.T) {
	a, _, _ := accesstest.New("fern")
	accesstest.Add(t, a, "fern", "maeve", access.Nurse)
	in := accesstest.In(t, a, "Maeve")
	who, err := a.Session(ctx, in.Token)
	if err != nil {
		t.Fatal(err)
	}
	if !who.May("fern", access.Chart) || who.May("fern", access.Export) || who.May("moss", access.ReadInfants) {
		t.Errorf("%+v", who)
	}
	if _, err := a.SignIn(ctx, access.Origin{}, "maeve", "wrong"); !errors.Is(err, access.ErrRefused) {
		t.Errorf("%v", err)
	}
}
