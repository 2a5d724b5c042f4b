package web

import (
	"slices"

	"github.com/google/uuid"

	"cotline/handover/entry"
	"cotline/internal/web/words"
)

// chartedPage shows what a form made, with its undoing in words.
type chartedPage struct {
	Who            *asWho
	Title, Back    string
	Charting, From string
	Taken          []takenView
}

type takenView struct {
	Said, By, Token string
	What            string // in a word or two
	Undone          bool
	Undo, Correct   string // paths, empty where it cannot be
}

// showCharted shows what was just charted.
func showCharted(s *Server, r *request) (answer, error) {
	c, err := s.charting(r)
	if err != nil {
		return answer{}, err
	}
	token, err := uuid.Parse(r.part("token"))
	if err != nil {
		return answer{}, errNotThere
	}
	var made []*entry.Entry
	record, all, err := c.recordNow(func(held entry.Holding) {
		for i := range entry.Kinds {
			if e := held.Entry(idOf(token, entry.Kinds[i].Name).String()); e != nil && e.Infant == c.infant {
				made = append(made, e)
			}
		}
	})
	if err != nil {
		return answer{}, err
	}
	if len(made) == 0 {
		return answer{}, errNotThere
	}
	if err := c.noteRead(); err != nil {
		return answer{}, err
	}
	c.sheet = &sheet{title: words.Say("Charted")}
	p := chartedPage{
		Who:      c.who(),
		Title:    c.title(),
		Back:     wardPath(r.unit),
		Charting: chartPath(r.unit, c.infant),
		From:     token.String(),
	}
	if c.infant != "" {
		p.Back = infantPath(r.unit, c.infant)
	}
	amended := entry.Amendments(all)
	for _, e := range made {
		k, _ := entry.KindOf(e.Kind)
		t := takenView{Said: c.words(record, all, e), By: e.By, Token: uuid.NewString(), What: lower(k.Label)}
		of := e.ID
		if e.Amends() {
			of = e.Reference("of")
		}
		t.Undone = slices.ContainsFunc(
			amended[of],
			func(x *entry.Entry) bool { return x.Kind == "retraction" && x.Reference("of") == e.ID },
		)
		if !t.Undone && e.Kind != "retraction" {
			t.Undo = entryPath(r.unit, c.infant, e.ID, "retract")
			if e.Kind != "correction" {
				t.Correct = entryPath(r.unit, c.infant, e.ID, "correct")
			}
		}
		p.Taken = append(p.Taken, t)
	}
	return answer{page: "chart-charted", title: c.title(), data: p}, nil
}
