package web

import (
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// clockIn is a moment as pages say it: the time, with its day where that is another.
func clockIn(t, now time.Time, zone *time.Location) string {
	if entry.DateOf(t, zone) == entry.DateOf(now, zone) {
		return t.In(zone).Format("15:04")
	}
	return t.In(zone).Format("Mon 2 Jan 15:04")
}

// staffSaid is how somebody is called: by name where the policy has one.
func staffSaid(p *handover.Policy, key string) string {
	for _, x := range p.Staff {
		if x.Key == key && x.Name != "" {
			return x.Name + " (" + key + ")"
		}
	}
	return key
}
