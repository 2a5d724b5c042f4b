// Package oracle holds what the product writes to readers and validators of
// others. It is a module of its own: what it stands on never enters the product.
package oracle

import (
	"bytes"
	"flag"
	"slices"
	"sync"
	"testing"
	"time"

	"cotline/fhir"
	"cotline/handover"
	"cotline/internal/ward"
	"cotline/internal/wardtest"
)

var whole = flag.Bool("whole", false, "hold every resource to the slow validators and servers, not one of each shape, and more wards")

// recorded is the ward of a record's lines.
func recorded(t testing.TB, lines []byte) handover.Ward {
	t.Helper()
	return wardtest.Of(t, ward.Policy(), bytes.Lines(lines), time.Time{}, time.Time{}).Ward
}

func exported(t testing.TB, w handover.Ward, ask fhir.Ask) *fhir.Export {
	t.Helper()
	x, err := fhir.New(w, ask)
	if err != nil {
		t.Fatal(err)
	}
	return x
}

// demo is the demo ward and the moment at which it is handed over.
func demo(t testing.TB) (handover.Ward, time.Time) {
	t.Helper()
	w := wardtest.Demo(t)
	return w.Ward, w.At
}

// random is a random ward and the moment of its last entry.
func random(t testing.TB, seed uint64) (handover.Ward, time.Time) {
	t.Helper()
	w := wardtest.Random(t, seed, 4, 2)
	return w.Ward, w.At
}

// randomLines are the lines of a random ward of two infants.
func randomLines(seed uint64) []byte {
	return bytes.Join(slices.Collect(ward.Random(seed, 2, 2)), nil)
}

func lastMoment(w handover.Ward) time.Time {
	last := time.Time{}
	for _, e := range w.Entries {
		if e.At.After(last) {
			last = e.At.Time
		}
	}
	return last
}

// wards are exports of the demo and of some random wards.
func wards(t testing.TB) map[string]*fhir.Export {
	t.Helper()
	return exports.of(func() map[string]*fhir.Export {
		w, at := demo(t)
		out := map[string]*fhir.Export{"demo": exported(t, w, fhir.Ask{At: at, Known: at})}
		for name, seed := range map[string]uint64{"random 1": 1, "random 2": 2} {
			w, last := random(t, seed)
			out[name] = exported(t, w, fhir.Ask{At: last, Known: last.Add(24 * time.Hour)})
		}
		return out
	})
}

var exports kept[map[string]*fhir.Export]

// kept is what several tests look at, made once.
type kept[T any] struct {
	sync.Mutex
	made bool
	it   T
}

func (k *kept[T]) of(make func() T) T {
	k.Lock()
	defer k.Unlock()
	if !k.made {
		k.it = make()
		k.made = true
	}
	return k.it
}
