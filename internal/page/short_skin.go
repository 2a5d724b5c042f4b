package page

import (
	"strconv"
	"strings"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

// shortSkin counts the sites that are intact, tells those others that do not stand
// above, and names those whose look is old and those that nobody saw.
func (v view) shortSkin(f *handover.Summary) row {
	r := row{}
	s := f.Skin
	if len(s.Sites) == 0 {
		return r
	}
	var first, last time.Time
	intact := 0
	var found []string
	for _, x := range s.Sites {
		path := "skin.sites." + x.Site
		switch {
		case x.Finding == "intact" && isOld(f, path):
			intact++
		case x.Finding == "intact":
			intact++
			if first.IsZero() || x.At.Before(first) {
				first = x.At
			}
			if x.At.After(last) {
				last = x.At
			}
		case !above(f, "skin", path):
			found = append(found, joined(" ", plain(x.Site), plain(x.Finding),
				map[string]string{"new": "NEW", "worse": "WORSE"}[x.Change]))
		}
	}
	r.add(strings.Join(found, ", "))
	if intact > 0 {
		seen := v.moment(last)
		if !first.Equal(last) {
			seen = v.when(first) + " to " + seen
		}
		r.add("skin "+strconv.Itoa(intact)+" of "+strconv.Itoa(len(entry.Sites))+" intact", seen)
	}
	r.add(prefixed("old: ", v.oldLooks(f)))
	never, earlier := notSeen(s)
	r.add(prefixed("never seen: ", sitesSaid(never)))
	r.add(prefixed("not seen on this support: ", sitesSaid(earlier)))
	return r
}

// oldLooks are the sites whose look is old, and how old it is.
func (v view) oldLooks(f *handover.Summary) string {
	var sites []string
	var first, last time.Time
	for _, x := range f.Skin.Sites {
		if !isOld(f, "skin.sites."+x.Site) {
			continue
		}
		sites = append(sites, x.Site)
		if first.IsZero() || x.At.Before(first) {
			first = x.At
		}
		if x.At.After(last) {
			last = x.At
		}
	}
	if len(sites) == 0 {
		return ""
	}
	names, age := sitesSaid(sites), v.ago(first)
	if len(sites) == len(entry.Sites) {
		names = "all sites"
	}
	if youngest := v.ago(last); youngest != age {
		age = youngest + " to " + age
	}
	return names + ", " + age + " old"
}
