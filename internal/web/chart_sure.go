package web

import (
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"slices"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/web/words"
)

// doubts are what a handover would ask about entries that are not taken yet. That
// somebody is not in the unit's list of staff is not asked: she proved who she is.
func (c *charting) doubts(all []*draft) (out []handover.Doubt) {
	_, ward, _, here := c.snap.Infant(c.infant)
	if !here {
		return nil
	}
	at, about := c.now, map[string]bool{}
	for _, o := range all {
		about[o.ID] = true
		if o.Corrected != nil {
			about[o.Reference("of")] = true
		}
		for _, e := range []*entry.Entry{o.Entry, o.Corrected} {
			if e != nil && e.At.After(at) {
				at = e.At.Time
			}
		}
	}
	ward.Entries = append(slices.Clip(ward.Entries), entriesOf(all)...)
	for _, f := range handover.Compile(ward, at, at, time.Time{}).Infants {
		for _, d := range f.Doubts {
			if about[d.Entry] && d.Code != "staff" {
				out = append(out, d)
			}
		}
	}
	return out
}

// digestOf tells one set of doubts from another: only what was asked was answered.
func digestOf(doubts []handover.Doubt) string {
	h := sha256.New()
	for _, d := range doubts {
		fmt.Fprintf(h, "%s %s %s\n", d.Code, d.Path, d.Entry) // a hash takes all
	}
	return hex.EncodeToString(h.Sum(nil)[:8])
}

// surePage asks whether something is so, with what would be taken.
type surePage struct {
	Who     *asWho
	Doubts  []string
	Values  []string
	Digest  string
	Carried []carried
}

// askSure asks before anything is taken. The moment is held while it is asked.
func (c *charting) askSure(all []*draft, doubts []handover.Doubt) answer {
	p := surePage{Who: c.who(), Digest: digestOf(doubts)}
	if p.Who != nil {
		p.Who.Back = "" // nothing leads past the question
	}
	for _, d := range doubts {
		p.Doubts = append(p.Doubts, d.Text)
	}
	carriedOn := carry(c.posted, "sure", "back", "more", "at.which")
	at := all[0].At.Text
	if all[0].Corrected != nil {
		at = all[0].Corrected.At.Text
	}
	p.Carried, p.Values = append(carriedOn, carried{"at.which", at}), c.said(all)
	return answer{page: "chart-sure", title: words.Say("Is that so?"), data: p}
}

// said are entries in the words of a handover.
func (c *charting) said(all []*draft) (out []string) {
	_, ward, _, _ := c.snap.Infant(c.infant)
	entries := append(slices.Clip(ward.Entries), entriesOf(all)...)
	latest := c.now
	for _, o := range all {
		if o.At.After(latest) {
			latest = o.At.Time
		}
	}
	record := entry.Replay(entries, latest).Of(c.infant)
	tell := handover.Tell(c.policy, record, latest)
	for _, e := range record.Entries {
		if tell != nil && slices.ContainsFunc(all, func(o *draft) bool { return o.ID == e.ID || o.Reference("of") == e.ID }) {
			out = append(out, e.At.In(c.policy.Zone).Format("Mon 2 Jan 15:04")+": "+tell.Said(e))
		}
	}
	return out
}
