package web

import (
	"encoding/json"
	"net/url"
	"slices"
	"strconv"
	"strings"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/web/forms"
	"cotline/internal/web/words"
)

// A form that could not be sent waits on the device, and is sent as it was, with more:
//
//	sent.by      who filled it in: nobody else sends it
//	sent.device  the device's clock when she sent it, in milliseconds of Unix time
//	sent.now     the same clock as it is delivered
//	sent.skew    what that clock was ahead of the server's when they last spoke; may be missing
//
// What is not charted at once is carried on with sent.at, when she sent it by the server's
// clock, so that answering a question does not make it later, though the answer waited too.

// unknownSent stands for sent.at when that cannot be told.
const unknownSent = "unknown"

// longestWait is how old what waited may be for its moment to be taken from a device's
// clock. It is this project's own choice: a week off, and the nurse is back.
const longestWait = 7 * 24 * time.Hour

// arrived works out when a form was sent: zero where it did not wait. What is wrong with
// that is asked beside the time; asks says whether the form has a part still.
func arrived(posted url.Values, now time.Time, policy *handover.Policy, asks func(part string) bool) (time.Time, forms.Faults) {
	faults := forms.Faults{}
	if device := posted.Get("sent.device"); device != "" {
		if !posted.Has("sent.at") {
			sent, doubt := sentAt(now, device, posted.Get("sent.now"), posted.Get("sent.skew"), policy.ClockTolerance)
			posted.Set("sent.at", entry.Stamp(sent, policy.Zone))
			if doubt != "" {
				posted.Set("sent.at", unknownSent)
				faults.Add("at", doubt)
			}
		}
		if text := unasked(posted, asks); text != "" {
			faults.Add("", text)
		}
		for _, name := range []string{"sent.device", "sent.now", "sent.skew"} {
			posted.Del(name)
		}
	}
	told := posted.Get("at.which") != "" || posted.Get("at.day") != "" && posted.Get("at.time") != ""
	if at, err := entry.ParseMoment(posted.Get("sent.at")); err == nil && !at.After(now) {
		return at.Time, faults
	}
	if !posted.Has("sent.at") {
		return time.Time{}, faults
	}
	posted.Set("sent.at", unknownSent)
	switch {
	case told:
		delete(faults, "at")
	case faults["at"] == nil:
		faults.Add("at", words.Say("Give the time, and the day."))
	}
	return time.Time{}, faults
}

// sentAt is when a device sent something, by the server's clock, which is now: as long ago
// as the device's own clock says. What makes that uncertain is said.
func sentAt(now time.Time, device, delivered, skew string, tolerance time.Duration) (sent time.Time, doubt string) {
	from, err1 := strconv.ParseInt(device, 10, 64)
	to, err2 := strconv.ParseInt(delivered, 10, 64)
	waited := time.UnixMilli(to).Sub(time.UnixMilli(from))
	switch {
	case err1 != nil, err2 != nil:
		return now, words.Say("When this was sent cannot be read. Give the time, and the day.")
	case waited < 0:
		return now, words.Say(
			"The device's clock was set back after this was sent, so when that was is not known. Give the time, and the day.")
	case waited > longestWait:
		return now, words.Say(
			"By the device's clock this was sent more than %d days ago. That is too long to be sure. Give the time, and the day.",
			longestWait/(24*time.Hour))
	}
	if was, err := strconv.ParseInt(skew, 10, 64); err == nil {
		ahead := time.UnixMilli(to).Sub(now)
		if by := (ahead - time.Duration(was)*time.Millisecond).Abs(); by > tolerance {
			return now, words.Say("The device's clock was changed by about %s while this waited, so when it was sent is not sure.",
				waiting(by)) + " " + words.Say("Give the time, and the day.")
		}
	}
	return now.Add(-waited), ""
}

// unasked says what was typed into parts that the form has no more, as when support ended
// while it waited: nothing of it is left out unsaid.
func unasked(posted url.Values, asks func(part string) bool) string {
	var typed []string
	for name, values := range posted {
		part, rest, _ := strings.Cut(name, ".")
		k, known := entry.KindOf(part)
		if !known || asks(part) || rest == "" || strings.HasPrefix(rest, "was.") || strings.Join(values, "") == "" {
			continue
		}
		label := rest
		if s, ok := k.Spec(rest); ok {
			label = s.Label
		}
		typed = append(typed, k.Label+", "+label+": "+strings.Join(values, ", "))
	}
	if len(typed) == 0 {
		return ""
	}
	slices.Sort(typed)
	return words.Say("The form has changed while this waited, and asks no more for %s.", strings.Join(typed, "; ")) + " " +
		words.Say("Nothing was taken: send the rest, and chart that anew if it still holds.")
}

// delivered is the answer to a device that delivers: what was taken, by its token. Any
// other answer is the page that asks or refuses.
func delivered(r *request, a answer, err error) (answer, error) {
	if err != nil || a.to == "" || r.Header.Get("X-Deliver") != "1" {
		return a, err
	}
	body, err := json.Marshal(map[string]string{"charted": r.PostForm.Get("token")})
	return answer{body: body, kind: "application/json"}, err
}
