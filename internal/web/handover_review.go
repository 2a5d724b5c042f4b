package web

import (
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"net/url"
	"slices"
	"strings"
	"time"

	"github.com/google/uuid"

	"cotline/handover"
	"cotline/handover/entry"
	"cotline/internal/access"
	"cotline/internal/journal"
	"cotline/internal/page"
	"cotline/internal/web/forms"
	"cotline/internal/web/words"
)

// reviewPage is what the outgoing nurse reads before she signs.
type reviewPage struct {
	Back, At, AsOf, Token string
	Infants               []reviewed
	Staff                 []forms.Option
	Other                 string // whom the list of staff has not
	ToFault               string
	Cover                 bool
	Problem               string
}

// reviewed is one infant of it.
type reviewed struct {
	Key, Seen string // what of it was shown
	page.Told
	First, Rest []page.Row
	Mine        bool // it is hers, by the last acceptance
	With        string
	Chosen      bool
	Changed     bool // since she read it
}

// firstRows are what is reviewed first, in this order, and what comes first to whoever
// takes over.
var (
	firstRows = []string{"Not charted", "Due", "Changed", "Late", "Outlook", "Notes", "Told", "Remarks"}
	takenRows = []string{"Changed", "Due", "Next", "Late", "Outlook", "Notes", "Not charted", "Remarks"}
)

// rowsFirst puts rows of some labels first, in order; the rest follows apart.
func rowsFirst(rows []page.Row, labels []string) (first, rest []page.Row) {
	for _, label := range labels {
		for _, r := range rows {
			if r.Label == label {
				first = append(first, r)
			}
		}
	}
	for _, r := range rows {
		if !slices.Contains(labels, r.Label) {
			rest = append(rest, r)
		}
	}
	return first, rest
}

// showReview shows the review: of the infants whom she took over, or of those whom she
// covers and hands back.
func showReview(s *Server, r *request) (answer, error) {
	h, err := s.handingOver(r)
	if err != nil {
		return answer{}, err
	}
	if err := h.noteRead(); err != nil {
		return answer{}, err
	}
	h.posted = url.Values{"token": {uuid.NewString()}, "infant": h.tookOver()}
	if id := r.URL.Query().Get("back"); id != "" {
		x := h.all.find(id)
		if x == nil || !h.backFrom(x) {
			return answer{}, errNotThere
		}
		h.posted["infant"], h.posted["to"], h.posted["cover"] = h.covered(x), []string{x.By}, []string{"yes"}
	}
	return h.review(0, forms.Faults{}, nil), nil
}

// review is the page, of now, with what was posted; changed are those whom something was
// charted of while they were read.
func (h *handingOver) review(status int, faults forms.Faults, changed []string) answer {
	p := reviewPage{Back: handoversPath(h.r.unit), At: page.Plain(h.screen.Moment()), AsOf: entry.Stamp(h.now, h.policy.Zone),
		Token: h.posted.Get("token"), Other: h.posted.Get("other"), Cover: h.posted.Get("cover") != ""}
	chosen, to := h.posted["infant"], h.posted.Get("to")
	for _, x := range h.policy.Staff {
		if x.Key != h.r.who.Name {
			p.Staff = append(p.Staff, forms.Option{Value: x.Key, Label: staffSaid(h.policy, x.Key), Checked: x.Key == to})
		}
	}
	if to != "" && !slices.ContainsFunc(p.Staff, func(o forms.Option) bool { return o.Checked }) {
		p.Other = to
	}
	for _, f := range h.snap.handover.Infants {
		x := reviewed{Key: f.Infant, Seen: h.seen(f.Infant), Told: h.screen.Infant(f), With: h.all.with(f.Infant),
			Chosen: slices.Contains(chosen, f.Infant), Changed: slices.Contains(changed, f.Infant)}
		x.Mine = x.With == h.r.who.Name
		x.First, x.Rest = rowsFirst(x.Full, firstRows)
		p.Infants = append(p.Infants, x)
	}
	slices.SortStableFunc(p.Infants, func(a, b reviewed) int { return order(a.Chosen || a.Mine, b.Chosen || b.Mine) })
	if f := faults[""]; f != nil {
		p.Problem = f.Text
	}
	if f := faults["to"]; f != nil {
		p.ToFault = f.Text
	}
	return answer{status: status, page: "handover-review", title: words.Say("Review and sign"), data: p}
}

// seen tells one state of an infant's entries from another.
func (h *handingOver) seen(infant string) string {
	x := h.snap.infants[infant].entries
	sum := sha256.New()
	for _, all := range [][]*entry.Entry{x.who, x.care} {
		for _, e := range all {
			fmt.Fprintln(sum, e.ID) // a hash takes all
		}
	}
	return hex.EncodeToString(sum.Sum(nil)[:8])
}

// readFor is how long a review may be read before it is signed; then it is shown anew. It
// is this project's own choice.
const readFor = time.Hour

// sign signs for the infants chosen, as of the moment that was read. The name under it is
// that of whoever is signed in.
func sign(s *Server, r *request) (answer, error) {
	h, err := s.handingOver(r)
	if err != nil {
		return answer{}, err
	}
	token, err := uuid.Parse(h.posted.Get("token"))
	if err != nil { // not a form of this page
		h.posted = url.Values{"token": {uuid.NewString()}}
		text := words.Say("Nothing was signed. Read this page, choose the infants, and sign.")
		return h.review(422, forms.Faults{"": {Text: text}}, nil), nil
	}
	id := idOf(token, "handover").String()
	to := strings.TrimSpace(h.posted.Get("to"))
	if other := strings.TrimSpace(h.posted.Get("other")); other != "" {
		to = other
	}
	h.posted.Set("to", to)
	done := handedPath(r.unit, id)
	if x := h.all.find(id); x != nil { // sent twice
		return answer{to: done}, nil
	}
	asOf, faults, changed := h.fitToSign(to)
	if len(faults) > 0 {
		return h.review(422, faults, changed), nil
	}
	read := &forms.Read{Fields: []entry.Field{entry.TextField("to", to), entry.TextField("asOf", asOf),
		{Name: "infants", Value: keysValue(h.posted["infant"])}}}
	if h.posted.Get("cover") != "" {
		read.Fields = append(read.Fields, entry.Field{Name: "cover", Value: entry.NewFlag(true)})
	}
	for path, input := range map[string]string{"to": "to", "asOf": "", "infants": ""} {
		read.Came(path, input)
	}
	made := func(now time.Time, faults forms.Faults) []*draft {
		return []*draft{h.offer(0, id, "handover", entry.Stamp(now, h.policy.Zone), read, faults)}
	}
	h.infant = "" // it is of the unit
	return h.take(made, func(status int, faults forms.Faults) answer { return h.review(status, faults, nil) }, access.HandedOver, done)
}

func keysValue(keys []string) entry.Value {
	out := entry.Value{Type: entry.ListValue}
	for _, key := range keys {
		out.List = append(out.List, entry.NewText(key))
	}
	return out
}

// fitToSign is the moment that was read, or why it cannot be signed.
func (h *handingOver) fitToSign(to string) (asOf string, faults forms.Faults, changed []string) {
	faults = forms.Faults{}
	chosen := h.posted["infant"]
	switch {
	case len(chosen) == 0:
		faults.Add("", words.Say("Nothing was signed: choose the infants that you hand over."))
	case to == "":
		faults.Add("to", words.Say("Say who takes over."))
	case to == h.r.who.Name:
		faults.Add("to", words.Say("That is you. Somebody else takes over."))
	}
	m, err := entry.ParseMoment(h.posted.Get("asOf"))
	if err != nil || m.After(h.now) || h.now.Sub(m.Time) > readFor {
		faults.Add("", words.Say("Nothing was signed: this page was read too long ago. It is shown anew; read it, and sign."))
	}
	for _, key := range chosen {
		if _, here := h.snap.infants[key]; !here {
			faults.Add("", words.Say("Nothing was signed: an infant is not here any more. Look at the list."))
		} else if h.posted.Get("seen."+key) != h.seen(key) {
			changed = append(changed, key)
			faults.Add("", words.Say("Nothing was signed: something was charted meanwhile. Read what is marked, and sign."))
		}
	}
	return m.Text, faults, changed
}

// signedOn is where in the record a handover was signed, for paper to be held against.
func (h *handingOver) signedOn(x *handing) (journal.Signed, bool, error) {
	signed, found, err := h.journal.Signed(h.r.Context(), x.ID)
	if errors.Is(err, journal.ErrDamaged) {
		return signed, false, nil // the page says so
	}
	return signed, found, err
}

// forInfant is a summary of somebody who is here.
func (h *handingOver) forInfant(key string) *handover.Summary {
	if x, here := h.snap.infants[key]; here {
		return x.summary
	}
	return nil
}
