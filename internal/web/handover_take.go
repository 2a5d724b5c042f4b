package web

import (
	"slices"
	"strings"
	"time"

	"github.com/google/uuid"

	"cotline/handover/entry"
	"cotline/internal/access"
	"cotline/internal/page"
	"cotline/internal/web/forms"
	"cotline/internal/web/words"
)

// takePage is one infant as the incoming nurse takes it over.
type takePage struct {
	Who                 *asWho
	Back, From, When    string
	To                  string // who it is to, where that is somebody else
	Told                page.Told
	First, Short, Rest  []page.Row
	Stale               string // something was charted after it was signed
	Five                []fifth
	ReadBack            string
	Asked, AskedFault   string
	Problem             string
	Unticked            string // asked about
	Token, Digits, Seen string
	Number, Of          int
	Cover               bool
}

// takingOver is a request to take over the infant of the path.
func (s *Server) takingOver(r *request) (*handingOver, *handing, error) {
	h, x, err := s.handingOverOf(r)
	if err != nil {
		return nil, nil, err
	}
	if !x.Names("infants", h.infant) {
		return nil, nil, errNotThere
	}
	h.sheet = &sheet{title: words.Say("Take over")}
	return h, x, h.noteRead()
}

// cannot is where to go instead, where an infant cannot be taken over by whoever asks: it
// is taken over, there is a later handover of it, or she signed herself.
func (h *handingOver) cannot(x *handing) string {
	if x.accepted[h.infant] != nil || x.By == h.r.who.Name || h.all.of(h.summary, h.now) != x {
		return handedPath(h.r.unit, x.ID)
	}
	return ""
}

// showTakeOver shows one infant to take over: of an infant who has a look-alike, once it
// was asked which one this is.
func showTakeOver(s *Server, r *request) (answer, error) {
	h, x, err := s.takingOver(r)
	switch {
	case err != nil:
		return answer{}, err
	case h.cannot(x) != "":
		return answer{to: h.cannot(x)}, nil
	case h.mustAsk():
		return h.askWho("")
	}
	h.posted.Set("token", uuid.NewString())
	return h.takeForm(x, 0, forms.Faults{}, ""), nil
}

// accept takes over. The id of the acceptance is that of the handover and the infant, so
// that of two tablets one is first, and the other is told.
func accept(s *Server, r *request) (answer, error) {
	h, x, err := s.takingOver(r)
	if err != nil {
		return answer{}, err
	}
	if to := h.cannot(x); to != "" {
		return h.sentTwice(x, to), nil
	}
	if !h.proven() {
		return h.askWho(wrongDigits)
	}
	if _, err := uuid.Parse(h.posted.Get("token")); err != nil { // the digits alone
		digits := h.posted["digits"]
		h.posted = map[string][]string{"token": {uuid.NewString()}, "digits": digits}
		return h.takeForm(x, 0, forms.Faults{}, ""), nil
	}
	faults := forms.Faults{}
	if back := h.posted.Get("readBack"); back != "yes" && back != "no" {
		faults.Add("readBack", words.Say("Say whether it was read back."))
	}
	if h.posted.Get("seen") != h.seen(h.infant) {
		faults.Add("", words.Say("Nothing was taken over: something was charted meanwhile. Look again."))
	}
	if len(faults) > 0 {
		return h.takeForm(x, 422, faults, ""), nil
	}
	if not := h.unticked(); not != "" && h.posted.Get("without") != not {
		return h.takeForm(x, 422, faults, not), nil
	}
	kept, infant := h.acceptance(x), h.infant
	of := *h.charting // the entry is of the unit, the page of the infant
	of.infant, of.summary = "", nil
	made := func(now time.Time, faults forms.Faults) []*draft {
		return []*draft{of.offer(0, h.acceptanceID(x, infant), "acceptance", entry.Stamp(now, h.policy.Zone), kept, faults)}
	}
	return of.take(made, func(status int, faults forms.Faults) answer {
		return h.takeForm(x, status, faults, "")
	}, access.HandedOver, handedPath(r.unit, x.ID)+"/next")
}

// sentTwice goes on where the same person sent the same form again, and else shows how the
// handover stands.
func (h *handingOver) sentTwice(x *handing, to string) answer {
	if a := x.accepted[h.infant]; a != nil && a.By == h.r.who.Name {
		to += "/next"
	}
	return answer{to: to}
}

// nextToTake goes to the first infant of a handover that nobody took over, or to how it
// stands.
func nextToTake(s *Server, r *request) (answer, error) {
	h, x, err := s.handingOverOf(r)
	if err != nil {
		return answer{}, err
	}
	to := handedPath(r.unit, x.ID)
	if x.By != r.who.Name {
		if next := h.next(x); next != "" {
			to = next
		}
	}
	return answer{to: to}, nil
}

// acceptanceID is one for each handover and infant, and another once that was withdrawn.
func (h *handingOver) acceptanceID(x *handing, infant string) string {
	of, err := uuid.Parse(x.ID)
	if err != nil {
		of = idOf(uuid.Nil, x.ID)
	}
	return idOf(of, "accepted "+infant+" "+whole(h.takenBack(x, infant))).String()
}

// takenBack is how many acceptances of an infant were withdrawn.
func (h *handingOver) takenBack(x *handing, infant string) (n int) {
	for _, e := range h.withdrawn {
		if e.Kind == "acceptance" && e.Reference("handover") == x.ID && e.Names("infants", infant) {
			n++
		}
	}
	return n
}

// unticked are those of the five that apply and were not looked at, in words.
func (h *handingOver) unticked() string {
	var out []string
	for _, x := range h.five(h.summary) {
		if !slices.Contains(h.posted["confirmed"], x.Value) {
			out = append(out, x.Value)
		}
	}
	return page.Confirmed(out)
}

// acceptance are the fields of what is charted.
func (h *handingOver) acceptance(x *handing) *forms.Read {
	text := strings.TrimSpace(strings.ReplaceAll(h.posted.Get("asked"), "\r\n", "\n"))
	var ticked []string
	for _, f := range h.five(h.summary) {
		if slices.Contains(h.posted["confirmed"], f.Value) {
			ticked = append(ticked, f.Value)
		}
	}
	read := &forms.Read{
		Fields: []entry.Field{entry.TextField("handover", x.ID), {Name: "infants", Value: keysValue([]string{h.infant})}},
	}
	if len(ticked) > 0 {
		read.Fields = append(read.Fields, entry.Field{Name: "confirmed", Value: entry.Value{Type: entry.ObjectValue,
			Fields: []entry.Field{{Name: h.infant, Value: keysValue(ticked)}}}})
	}
	read.Fields = append(
		read.Fields,
		entry.Field{Name: "readBack", Value: entry.NewFlag(h.posted.Get("readBack") == "yes")},
	)
	if text != "" {
		read.Fields = append(read.Fields, entry.TextField("asked", text))
	}
	read.Came("asked", "asked")
	return read
}

// confirmedOf are the things that an acceptance confirms of an infant.
func confirmedOf(a *entry.Standing, infant string) (out []string) {
	for _, v := range entry.Lookup(entry.Lookup(a.Fields, "confirmed").Fields, infant).List {
		out = append(out, v.Text)
	}
	return out
}

// takeForm is the infant with what was posted.
func (h *handingOver) takeForm(x *handing, status int, faults forms.Faults, unticked string) answer {
	t := h.screen.Infant(h.summary)
	p := takePage{Who: h.who(), Back: handedPath(h.r.unit, x.ID), From: staffSaid(h.policy, x.By), When: h.clock(x.asOf),
		Told: t, Short: t.Short, Token: h.posted.Get("token"), Digits: h.posted.Get("digits"), ReadBack: h.posted.Get("readBack"),
		Asked: h.posted.Get(
			"asked",
		), Unticked: unticked, Cover: x.cover(), Five: h.five(h.summary),
		Stale: h.since(x), Seen: h.seen(h.infant)}
	p.Who.Back, p.Who.BackSaid = p.Back, words.Say("How the handover stands")
	p.First, p.Rest = rowsFirst(t.Full, takenRows)
	_, p.Short = rowsFirst(t.Short, takenRows) // what stands above in full is not said twice
	if x.to() != h.r.who.Name {
		p.To = staffSaid(h.policy, x.to())
	}
	for i := range p.Five {
		p.Five[i].Checked = slices.Contains(h.posted["confirmed"], p.Five[i].Value)
	}
	for i, key := range x.infants() {
		if p.Of++; key == h.infant {
			p.Number = i + 1
		}
	}
	for name, f := range faults {
		switch name {
		case "asked":
			p.AskedFault = f.Text
		default:
			p.Problem = f.Text
		}
	}
	return answer{status: status, page: "handover-take", title: h.title(), data: p}
}

// since says what was charted of the infant after the moment that was signed.
func (h *handingOver) since(x *handing) string {
	n, latest := 0, x.asOf
	all := h.snap.infants[h.infant].entries
	for _, e := range slices.Concat(all.who, all.care) {
		if e.Charted.After(x.Charted.Time) {
			if n++; e.Charted.After(latest) {
				latest = e.Charted.Time
			}
		}
	}
	switch n {
	case 0:
		return ""
	case 1:
		return words.Say("1 entry was charted after it was signed, at %s. This page has it.", h.clock(latest))
	}
	return words.Say("%d entries were charted after it was signed, the latest at %s. This page has them.", n, h.clock(latest))
}
