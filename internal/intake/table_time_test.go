package intake_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"cotline/handover/entry"
	"cotline/internal/intake"
)

// Every quarter of an hour of a year by the clock: what the clock shows once is that instant, what it shows twice or never is
// refused and both ways to write it are told. The instants are found by walking through the year.
func TestEveryClockTimeOfAYear(t *testing.T) {
	for _, name := range []string{"Europe/Vienna", "Australia/Lord_Howe", "Asia/Kathmandu", "Pacific/Apia"} {
		zone, err := time.LoadLocation(name)
		if err != nil {
			t.Fatal(err)
		}
		year := 2026
		if name == "Pacific/Apia" {
			year = 2011 // it left out a day
		}
		const form, step = "2006-01-02 15:04", 15 * time.Minute
		first, end := time.Date(year, 1, 1, 0, 0, 0, 0, time.UTC), time.Date(year+1, 1, 1, 0, 0, 0, 0, time.UTC)
		shown := map[string][]time.Time{}
		for at := first.Add(-48 * time.Hour); at.Before(end.Add(48 * time.Hour)); at = at.Add(step) {
			wall := at.In(zone).Format(form)
			shown[wall] = append(shown[wall], at)
		}
		var b strings.Builder
		b.WriteString(columns + "weightG\n")
		var walls []string
		for wall := first; wall.Before(end); wall = wall.Add(step) {
			walls = append(walls, wall.Format(form))
			fmt.Fprintf(&b, "%s,in-1,weight,%s,rn-1,1210\n", id(len(walls)), walls[len(walls)-1])
		}
		o := readCSV(t, intake.Tables{Zone: zone}, b.String())
		taken, refused := map[int]*entry.Entry{}, map[int]entry.Issue{}
		for _, e := range o.Entries {
			taken[e.Line] = e
		}
		for _, i := range o.Issues {
			refused[i.Line] = i
		}
		twice, never := 0, 0
		for i, wall := range walls {
			e, issue := taken[i+2], refused[i+2]
			switch at := shown[wall]; len(at) {
			case 1:
				if e == nil || !e.At.Equal(at[0]) || e.At.Text != entry.Stamp(at[0], zone) {
					t.Fatalf("%s: %s is %v, want %s; %v", name, wall, e, at[0], issue)
				}
			case 2:
				twice++
				for _, way := range at {
					if e != nil || !strings.Contains(issue.Allowed, entry.Stamp(way, zone)) {
						t.Errorf("%s: %s: %v", name, wall, issue)
					}
				}
			default:
				never++
				if e != nil || !strings.Contains(issue.Allowed, "skips") {
					t.Errorf("%s: %s: %v", name, wall, issue)
				}
			}
		}
		want := map[string][2]int{"Europe/Vienna": {4, 4}, "Australia/Lord_Howe": {2, 2}, "Pacific/Apia": {4, 4 + 24*4}}[name]
		if got := [2]int{twice, never}; got != want {
			t.Errorf("%s: %d shown twice, %d never, want %v", name, twice, never, want)
		}
	}
}
