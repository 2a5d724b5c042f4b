package sheets

import (
	"bytes"
	"sync"
	"testing"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/wardtest"
)

// demo is the invented ward compiled on the morning after the clock went back.
type demo struct {
	handover *handover.Handover
	entries  []*entry.Entry
	policy   *handover.Policy
}

func demoWard(t testing.TB) demo {
	t.Helper()
	return demoOf(wardtest.Demo(t))
}

func demoOf(w wardtest.Ward) demo { return demo{w.Handover, w.Entries, w.Policy} }

// demoBook is the demo's workbook, opened once for all tests that only look.
func demoBook(t testing.TB) (demo, opened) {
	t.Helper()
	once.Do(func() {
		onceDemo = demoWard(t)
		onceBook = open(t, onceDemo.workbook(t))
	})
	o := onceBook
	o.t = t
	return onceDemo, o
}

var (
	once     sync.Once
	onceDemo demo
	onceBook opened
)

func (d demo) workbook(t testing.TB) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Workbook(&b, d.handover, d.entries, d.policy, "0.0.0-test"); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// Of two pressures both stand on the page that is looked at first: the lower alone would
// be taken for all there is.
func TestUpperPressureIsShown(t *testing.T) {
	_, o := demoBook(t)
	for _, r := range o.records(handoverName) {
		if r["Cot"] == "Fern 2" {
			if r["Mode"] != "bilevel, upper 9" || r["Set pressure (cmH2O)"] != "6" {
				t.Errorf("two pressures: %v", r)
			}
			return
		}
	}
	t.Error("nobody has two pressures")
}

// Who has no outlook is counted too: the figures add up to the ward.
func TestOutlooksAddUp(t *testing.T) {
	d, _ := demoBook(t)
	got := wardCount(d.handover)
	if want := "12 on the ward, 4 of whom need somebody now; unstable: 1; watcher: 5; stable: 5; outlook not charted: 1"; got != want {
		t.Errorf("%s; want %s", got, want)
	}
}
