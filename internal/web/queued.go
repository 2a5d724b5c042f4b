package web

import (
	"encoding/json"
	"errors"
	"slices"
	"strconv"
	"strings"
	"time"

	"cotline/handover/entry"
	"cotline/internal/web/forms"
)

// A form that could not be sent waits on the device, and is sent as it was, with more:
//
//	sent.by      who filled it in: nobody else sends it
//	sent.device  the device's clock when she sent it, in milliseconds of Unix time
//	sent.now     the same clock as it is delivered
//	sent.skew    what that clock was ahead of the server's when they last spoke; may be missing
//
// What is not charted at once is carried on with sent.at, when she sent it by the server's
// clock, so that answering a question does not make it later.

// errNotHers says that a form was filled in by somebody else than who sends it.
var errNotHers = errors.New("somebody else filled this in")

// unknownSent stands for sent.at when that cannot be told.
const unknownSent = "unknown"

// longestWait is how old what waited may be for its moment to be taken from a device's
// clock. It is this project's own choice: a week off, and the nurse is back.
const longestWait = 7 * 24 * time.Hour

// arrived works out when a form was sent. What is wrong with that is asked beside the time.
func (c *charting) arrived() (forms.Faults, error) {
	if by := c.posted.Get("sent.by"); by != "" && by != c.r.who.Name {
		return nil, errNotHers
	}
	faults := forms.Faults{}
	if device := c.posted.Get("sent.device"); device != "" {
		sent, doubt := sentAt(c.now, device, c.posted.Get("sent.now"), c.posted.Get("sent.skew"), c.policy.ClockTolerance)
		c.posted.Set("sent.at", entry.Stamp(sent, c.policy.Zone))
		if doubt != "" {
			c.posted.Set("sent.at", unknownSent)
			faults.Add("at", doubt)
		}
		if text := c.unasked(); text != "" {
			faults.Add("", text)
		}
		for _, name := range []string{"sent.device", "sent.now", "sent.skew"} {
			c.posted.Del(name)
		}
	}
	told := c.posted.Get("at.which") != "" || c.posted.Get("at.day") != "" && c.posted.Get("at.time") != ""
	if sent, err := entry.ParseMoment(c.posted.Get("sent.at")); err == nil && !sent.After(c.now) {
		c.sent = sent.Time
	} else if c.posted.Has("sent.at") {
		c.posted.Set("sent.at", unknownSent)
		switch {
		case told:
			delete(faults, "at")
		case faults["at"] == nil:
			faults.Add("at", "Give the time, and the day.")
		}
	}
	return faults, nil
}

// sentAt is when a device sent something, by the server's clock, which is now: as long ago
// as the device's own clock says. What makes that uncertain is said.
func sentAt(now time.Time, device, delivered, skew string, tolerance time.Duration) (sent time.Time, doubt string) {
	const give = " Give the time, and the day."
	from, err1 := strconv.ParseInt(device, 10, 64)
	to, err2 := strconv.ParseInt(delivered, 10, 64)
	waited := time.UnixMilli(to).Sub(time.UnixMilli(from))
	switch {
	case err1 != nil, err2 != nil:
		return now, "When this was sent cannot be read." + give
	case waited < 0:
		return now, "The device's clock was set back after this was sent, so when that was is not known." + give
	case waited > longestWait:
		return now, "By the device's clock this was sent more than " + whole(int(longestWait/(24*time.Hour))) +
			" days ago. That is too long to be sure." + give
	}
	if was, err := strconv.ParseInt(skew, 10, 64); err == nil {
		ahead := time.UnixMilli(to).Sub(now)
		if by := (ahead - time.Duration(was)*time.Millisecond).Abs(); by > tolerance {
			return now, "The device's clock was changed by about " + strings.TrimSuffix(age(now.Add(-by), now), " ago") +
				" while this waited, so when it was sent is not sure." + give
		}
	}
	return now.Add(-waited), ""
}

// when is when a form was sent.
func (c *charting) when() time.Time {
	if c.sent.IsZero() {
		return c.now
	}
	return c.sent
}

// unasked says what was typed into parts that the form has no more, as when support ended
// while it waited: nothing of it is left out unsaid.
func (c *charting) unasked() string {
	var typed []string
	for name, values := range c.posted {
		part, rest, _ := strings.Cut(name, ".")
		k, known := entry.KindOf(part)
		here := slices.ContainsFunc(c.parts, func(p *sheetPart) bool { return p.name == part })
		if !known || here || rest == "" || strings.HasPrefix(rest, "was.") || strings.Join(values, "") == "" {
			continue
		}
		label := rest
		if s, ok := k.Spec(rest); ok {
			label = s.Label
		}
		typed = append(typed, k.Label+", "+lower(label)+": "+strings.Join(values, ", "))
	}
	if len(typed) == 0 {
		return ""
	}
	slices.Sort(typed)
	return "The form has changed while this waited, and asks no more for " + strings.Join(typed, "; ") +
		". Nothing was taken: send the rest, and chart that anew if it still holds."
}

// delivered is the answer to a device that delivers: what was taken, by its token. Any
// other answer is the page that asks or refuses.
func (c *charting) delivered(a answer, err error) (answer, error) {
	if err != nil || a.to == "" || c.r.Header.Get("X-Deliver") != "1" {
		return a, err
	}
	body, err := json.Marshal(map[string]string{"charted": c.posted.Get("token")})
	return answer{body: body, kind: "application/json"}, err
}
