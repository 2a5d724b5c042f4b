package web

import (
	"encoding/json"
	"net/http"
	"testing"
	"time"
)

func (v *visitor) kept(t testing.TB) keeping {
	t.Helper()
	got := v.get(t, "/units/fern/kept")
	if got.status != http.StatusOK {
		t.Fatal(got.status, got.body)
	}
	var k keeping
	if err := json.Unmarshal([]byte(got.body), &k); err != nil {
		t.Fatal(err)
	}
	t.Logf("%d bytes, %d pages", len(got.body), len(k.Pages))
	return k
}

func TestKept(t *testing.T) {
	b := newServer(t, nil)
	f := b.two(t)[0]
	nurse := b.as(t, "nurse")
	nurse.kept(t)
	path, posted := nurse.open(t, f, "round")
	mustGoOn(t, nurse.post(t, path, with(posted, "observations.spo2Percent", "92")))
	from := time.Now()
	k := nurse.kept(t)
	t.Log(time.Since(from))
	for p, x := range k.Pages {
		t.Log(p, len(x))
	}
}
