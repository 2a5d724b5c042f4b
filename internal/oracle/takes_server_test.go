//go:build outside

package oracle

import (
	"fmt"
	"net/url"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"cotline/fhir"
)

// A HAPI server takes the demo ward, with every type, part after part; sent again, the same
// content makes nothing new, and no new version.
func TestServerTakesTheDemoWard(t *testing.T) {
	t.Parallel()
	w, at := demo(t)
	x := shapes(t, exported(t, everyType(w), fhir.Ask{At: at, Known: at}))
	parts, err := x.Transactions(fhir.Sending{Mode: fhir.Put, Entries: 100, Bytes: 1 << 20})
	if err != nil {
		t.Fatal(err)
	}
	s := startServer(t)
	sent := map[string]bool{} // what several parts need is in each
	for round := range 2 {
		for _, b := range parts {
			urls := entryURLs(t, b)
			for n, r := range s.take(t, b) {
				want := "201 Created"
				if sent[urls[n]] {
					want = "200 OK"
				}
				if r.Status != want || r.version() != "1" {
					t.Fatalf("round %d: %s: %s, version %s; %s, version 1 is wanted", round, urls[n], r.Status, r.version(), want)
				}
				sent[urls[n]] = true
			}
		}
	}
	holds(t, s, x)
}

// A receiver that holds the export of the evening before, and takes what was
// charted, corrected and withdrawn since, holds the export of the morning: sent
// whole, it changes nothing any more.
func TestServerTakesWhatChanged(t *testing.T) {
	t.Parallel()
	night := amended(t)
	some := courses(t, func(*fhir.Resource) bool { return false }, append(night.left, night.before, night.after, night.delta)...)
	n := len(night.left)
	night = change{left: some[:n], before: some[n], after: some[n+1], delta: some[n+2]}
	// What the receiver holds in the end: the later word wins.
	all := map[string]*fhir.Resource{}
	for _, x := range append(night.left, night.before, night.after, night.delta) {
		for _, r := range x.Resources {
			all[r.Type+"/"+r.ID] = r
		}
	}
	for _, mode := range []fhir.Mode{fhir.Put, fhir.Conditional} {
		t.Run(string(mode), func(t *testing.T) {
			sent := map[string]bool{} // by fullUrl
			send := func(s *server, x *fhir.Export) map[string]int {
				b, err := x.Transaction(mode)
				if err != nil {
					t.Fatal(err)
				}
				for _, e := range entryURLs(t, b) {
					sent[e] = true
				}
				count := map[string]int{}
				for _, r := range s.take(t, b) {
					count[r.Status+" version "+r.version()]++
				}
				return count
			}
			s := startServer(t)
			want := func(got map[string]int, status string) {
				if len(got) != 1 || got[status] == 0 {
					t.Errorf("%v; only %s is wanted", got, status)
				}
			}
			want(send(s, night.before), "201 Created version 1")
			want(send(s, night.before), "200 OK version 1")
			if got := send(s, night.delta); got["200 OK version 2"] == 0 || got["201 Created version 1"] == 0 || len(got) > 3 {
				t.Errorf("the delta: %v", got)
			}
			final := &fhir.Export{}
			for _, r := range all {
				if sent["urn:uuid:"+r.ID] {
					final.Resources = append(final.Resources, r)
				}
			}
			then := s.everything(t, final)
			for status := range send(s, night.after) {
				if !strings.HasPrefix(status, "200") {
					t.Errorf("after the delta, the whole made something new: %s", status)
				}
			}
			holds(t, s, final)
			count := map[string]int{}
			for key, h := range s.everything(t, final) {
				if then[key].Version != h.Version {
					t.Errorf("%s: version %s after the delta, %s after the whole", key, then[key].Version, h.Version)
				}
				for _, amended := range []string{`"status":"corrected"`, `"status":"entered-in-error"`, `"value":5.0,`} {
					if h.Version == "2" && strings.Contains(string(h.JSON), amended) {
						count[h.Type+" "+amended]++
					}
				}
			}
			t.Log(count)
			for _, amended := range []string{`Observation "status":"corrected"`, `Observation "value":5.0,`,
				`Observation "status":"entered-in-error"`, `DeviceUseStatement "status":"entered-in-error"`} {
				if count[amended] == 0 {
					t.Errorf("nothing that the receiver held is now %s", amended)
				}
			}
		})
	}
}

// holds compares all that a server holds with an export, and searches as a
// receiver's own programs would.
func holds(t *testing.T, s *server, x *fhir.Export) {
	t.Helper()
	back := s.everything(t, x)
	count := map[string]int{}
	for _, r := range x.Resources {
		h, ok := back[r.Type+"/"+r.ID]
		if !ok {
			t.Errorf("%s/%s is not found", r.Type, r.ID)
			continue
		}
		if a, b := same(t, r.JSON, h.JSON); !cmp.Equal(a, b) {
			t.Fatalf("%s/%s came back changed: %s", r.Type, r.ID, cmp.Diff(a, b))
		}
		count[r.Type]++
	}
	if len(back) != len(x.Resources) {
		t.Errorf("the server holds %d, sent were %d", len(back), len(x.Resources))
	}
	of := map[string]int{}
	var one *fhir.Resource
	for _, r := range x.Resources {
		if r.Type == "Patient" && one == nil {
			one = r
		}
		if r.Type == "Observation" {
			of[r.Infant]++
		}
	}
	query := "Observation?_count=500&subject.identifier=" + url.QueryEscape(fmt.Sprintf("%s|"+
		"%s", one.Identifier.System, one.Identifier.Value))
	if found := s.search(t, query); len(found) != of[one.Infant] {
		t.Errorf("by hospital number %d Observations are found, %d were sent", len(found), of[one.Infant])
	}
	t.Logf("came back as sent: %v", count)
}
