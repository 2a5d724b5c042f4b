package web

import (
	"cotline/handover"
	"cotline/internal/access"
	"cotline/internal/page"
	"cotline/internal/web/forms"
	"cotline/internal/web/words"
)

// signedPage is a handover that was signed: on what, for whom, and how each infant of it
// was taken over.
type signedPage struct {
	stood
	Back, By, To, When, AsOf string
	Cover                    bool
	Position                 int64
	Chain                    string // its first digits, as they stand on paper
	Damaged                  bool
	Infants                  []takenLine
	Next                     string // the first infant not taken over; empty where who asks may not
	Mine                     bool   // whoever asks signed it
	Print                    *printForm
}

// takenLine is an infant of a signed handover.
type takenLine struct {
	Cot, Name       []page.Span
	Here            bool
	By, When, Asked string // by whom it was taken over; empty: nobody yet
	Confirmed       string
	ReadBack        string
	Path            string
	Newer           string // path of the handover signed since
}

func showSigned(s *Server, r *request) (answer, error) {
	h, x, err := s.handingOverOf(r)
	if err != nil {
		return answer{}, err
	}
	if err := h.noteRead(); err != nil {
		return answer{}, err
	}
	on, found, err := h.signedOn(x)
	if err != nil {
		return answer{}, err
	}
	p := signedPage{stood: s.stood(r.unit, h.snap, h.screen, h.snap.oldest), Back: handoversPath(r.unit), By: staffSaid(h.policy, x.By),
		To: staffSaid(h.policy, x.to()), When: h.clock(x.At.Time), AsOf: h.clock(x.asOf), Cover: x.cover(), Damaged: !found,
		Mine: x.By == r.who.Name}
	if found {
		p.Position, p.Chain = on.Position, on.Chain.String()[:12]
	}
	for _, key := range x.infants() {
		p.Infants = append(p.Infants, h.taken(x, key))
	}
	if r.who.May(r.unit, access.HandOver) && !p.Mine {
		p.Next = h.next(x)
	}
	if r.who.May(r.unit, access.Print) {
		p.Print = h.printForm()
		if found {
			p.Print.Signed = x.ID
		}
		for i, o := range p.Print.Infants {
			p.Print.Infants[i].Checked = x.Names("infants", o.Value)
		}
	}
	return answer{page: "handover-signed", title: words.Say("Handover"), data: p, tag: h.snap.tag(r)}, nil
}

// next is the page of the first infant of a handover that nobody took over, empty where
// there is none: whoever comes back from something else goes on there.
func (h *handingOver) next(x *handing) string {
	for _, key := range x.infants() {
		if f := h.forInfant(key); f != nil && x.accepted[key] == nil && h.all.of(f, h.now) == x {
			return takeOverPath(h.r.unit, x.ID, key)
		}
	}
	return ""
}

func (h *handingOver) taken(x *handing, key string) takenLine {
	l := takenLine{}
	f := h.forInfant(key)
	if f != nil {
		c := h.cot(f)
		l.Cot, l.Name, l.Here = c.Cot, c.Name, true
		if latest := h.all.of(f, h.now); latest != nil && latest != x {
			l.Newer = handedPath(h.r.unit, latest.ID)
		}
	}
	a := x.accepted[key]
	switch {
	case a != nil:
		l.By, l.When, l.Asked = staffSaid(h.policy, a.By), h.clock(a.At.Time), a.Text("asked")
		l.Confirmed = page.Confirmed(confirmedOf(a, key))
		l.ReadBack = words.Say("not said whether it was read back")
		if a.Has("readBack") {
			l.ReadBack = map[bool]string{true: words.Say("read back"), false: words.Say("NOT read back")}[a.Flag("readBack")]
		}
	case f != nil && l.Newer == "" && h.r.who.May(h.r.unit, access.HandOver) && x.By != h.r.who.Name:
		l.Path = takeOverPath(h.r.unit, x.ID, key)
	}
	return l
}

// five are what a nurse who takes over looks at herself, those that apply to an infant
// now, with what is charted of each.
func (h *handingOver) five(f *handover.Summary) (out []fifth) {
	line := h.screen.Line(f)
	full := h.screen.Infant(f).Full
	facts := func(label string) (out []page.Fact) {
		for _, r := range full {
			if r.Label == label {
				out = append(out, r.Facts...)
			}
		}
		return out
	}
	word := func(said []page.Span) []page.Fact {
		if len(said) == 0 {
			return nil
		}
		return []page.Fact{{Words: said}}
	}
	for _, what := range f.Confirmable() {
		x := fifth{Option: forms.Option{Value: what, Label: words.Text(fiveSaid[what])}}
		switch what {
		case "pressure":
			x.Facts = word(line.Pressure)
		case "fio2":
			x.Facts = word(line.Oxygen)
		case "interface":
			x.Facts = word(line.Interface)
		case "skin":
			x.Facts = facts("Skin")
		case "tube":
			x.Facts = facts("Tube")
		}
		if len(x.Facts) == 0 {
			x.Facts = []page.Fact{{Words: []page.Span{{Text: words.Say("NOT CHARTED")}}, Apart: true}}
		}
		out = append(out, x)
	}
	return out
}

// fifth is one of the five.
type fifth struct {
	forms.Option
	Facts []page.Fact
}

var fiveSaid = map[string]string{
	"pressure":  words.Key("Pressure, read at the device"),
	"fio2":      words.Key("FiO2, read at the blender"),
	"interface": words.Key("Interface and size, seen on the face"),
	"skin":      words.Key("Skin under it, seen"),
	"tube":      words.Key("Tube mark, read at lip or nostril"),
}
