package web

import (
	"bytes"
	"cmp"
	"context"
	"errors"
	"io"
	"path"
	"slices"
	"strings"

	"cotline/handover/entry"
	"cotline/internal/access"
	"cotline/internal/intake"
	"cotline/internal/journal"
	"cotline/internal/page"
	"cotline/internal/web/words"
)

// sheetPage gives the workbook to fill in, and takes it back.
type sheetPage struct {
	Unit, Path, Template string
	Tables               string // path; empty where who asks may not
	Ward                 string
	Problem              string
	Faults               []cellFault
	More                 int // faults that are not listed
	Done                 string
	Taken                []string // by infant, what was taken
	Doubts               []string // asked about
	Notes                []string
}

// cellFault is what is wrong with a cell.
type cellFault struct{ Sheet, Cell, What, Found, Allowed string }

// mostFaults are listed; the rest are counted.
const mostFaults = 200

func (c *charting) sheetPage() sheetPage {
	p := sheetPage{Unit: c.policy.Unit, Path: sheetPath(c.r.unit), Template: sheetPath(c.r.unit) + "/template"}
	if c.r.who.May(c.r.unit, access.Export) {
		p.Tables = tablesPath(c.r.unit)
	}
	if c.r.who.May(c.r.unit, access.ReadInfants) {
		p.Ward = wardPath(c.r.unit)
	}
	return p
}

func (p sheetPage) answer(status int) answer {
	return answer{status: status, page: "clerk-sheet", title: words.Say("Sheets to fill in"), data: p}
}

func showSheets(s *Server, r *request) (answer, error) {
	c, err := s.charting(r)
	if err != nil {
		return answer{}, err
	}
	return c.sheetPage().answer(0), nil
}

// takeSheet takes what was filled in: all of it, or nothing and why, cell by cell. What was
// taken before is not taken again, by the ids in the rows.
func takeSheet(s *Server, r *request) (answer, error) {
	c, err := s.charting(r)
	if err != nil {
		return answer{}, err
	}
	p := c.sheetPage()
	offer, problem, err := c.offered()
	if err != nil {
		return answer{}, err
	}
	if problem != "" {
		p.Problem = words.Say("Nothing was taken. %s", problem)
		return p.answer(422), nil
	}
	var issues []entry.Issue
	if err := c.journal.Holding(r.Context(), func(held entry.Holding) {
		_, issues = offer.Judge(held, c.policy, c.policy.ClockTolerance, c.now.In(c.policy.Zone))
	}); err != nil {
		return answer{}, err
	}
	if issues = append(issues, signedBy(offer)...); len(issues) > 0 {
		return c.faulty(p, offer, issues), nil
	}
	if err := c.noteSheet(offer); err != nil {
		return answer{}, err
	}
	receipt, err := c.journal.Append(context.WithoutCancel(r.Context()), c.policy, func(held *journal.Held) ([]*entry.Entry, error) {
		if held.Policy == nil || held.Policy.Hash() != c.policy.Hash() {
			return nil, errPolicy
		}
		return offer.Entries, nil
	})
	var refused *journal.Refused
	var unproven *journal.Unproven
	switch {
	case errors.As(err, &refused):
		return c.faulty(p, offer, refused.Issues), nil
	case errors.Is(err, errPolicy):
		p.Problem = words.Say("Nothing was taken. The unit's policy was changed just now: send it again.")
		return p.answer(422), nil
	case errors.As(err, &unproven):
		c.Log.Error("entries were taken, but what proves them whole could not be kept", "request", r.id)
	case err != nil:
		return answer{}, err
	}
	p.Notes = offer.Notes
	return c.kept(p, receipt)
}

// offered reads the file that was sent, or says why it cannot be.
func (c *charting) offered() (offer intake.Offer, problem string, err error) {
	if c.r.MultipartForm == nil || len(c.r.MultipartForm.File["file"]) != 1 {
		return offer, words.Say("Choose a file, then send it."), nil
	}
	head := c.r.MultipartForm.File["file"][0]
	f, err := head.Open()
	if err != nil {
		return offer, "", err
	}
	defer f.Close() // it is in memory
	text, err := io.ReadAll(f)
	if err != nil {
		return offer, "", err
	}
	tables := intake.Tables{Zone: c.policy.Zone}
	switch strings.ToLower(path.Ext(head.Filename)) {
	case ".xlsx":
		offer, err = intake.XLSX(bytes.NewReader(text), int64(len(text)), tables)
	case ".csv":
		offer, err = intake.CSV(bytes.NewReader(text), tables)
	default:
		return offer, words.Say("Send a workbook (.xlsx) or a table (.csv), as the one to fill in."), nil
	}
	if err == nil && len(offer.Entries)+len(offer.Issues) == 0 {
		problem = words.Say("Nothing was filled in.")
	}
	return offer, problem, err
}

// signedBy refuses what is signed: a handover is signed, and taken over, on its own page,
// by who is signed in. In a file the name would be proven by nobody.
func signedBy(o intake.Offer) (out []entry.Issue) {
	for _, e := range o.Entries {
		kind := e.Kind
		if e.Corrected != nil {
			kind = e.Corrected.Kind
		}
		if kind == "handover" || kind == "acceptance" {
			out = append(out, entry.Issue{Line: e.Line, Path: "kind", Code: entry.CodeUnknownKind, Found: kind,
				Allowed: words.Say(
					"what is no signature: a handover is signed, and accepted, on the page Handover by who is signed in")})
		}
	}
	return out
}

// faulty lists what is wrong by cell.
func (c *charting) faulty(p sheetPage, o intake.Offer, issues []entry.Issue) answer {
	slices.SortStableFunc(issues, func(a, b entry.Issue) int { return cmp.Compare(a.Line, b.Line) })
	p.Problem = words.Say("Nothing was taken. Mend these cells in the workbook, and send all of it again.")
	for i, x := range issues {
		if i == mostFaults {
			p.More = len(issues) - mostFaults
			break
		}
		f := cellFault{What: x.Path, Found: x.Found, Allowed: x.Allowed}
		if s, row, column, ok := o.Where(x); ok {
			f.Sheet, f.Cell = s.Name, words.Say("the whole file")
			switch {
			case row > 0 && column != "":
				f.Cell = column + whole(row)
			case row > 0:
				f.Cell = words.Say("row %d", row)
			}
		}
		p.Faults = append(p.Faults, f)
	}
	return p.answer(422)
}

// noteSheet traces what is about to be taken.
func (c *charting) noteSheet(o intake.Offer) error {
	all := make([]*draft, len(o.Entries))
	for i, e := range o.Entries {
		all[i] = &draft{Entry: e}
	}
	return c.noteCharted(access.Charted, all)
}

// kept says what was taken, infant by infant, and what of it is asked about.
func (c *charting) kept(p sheetPage, r journal.Receipt) (answer, error) {
	switch {
	case r.Taken == 0:
		p.Done = words.Say("All of it was taken before: nothing is charted twice.")
	case r.Taken == 1 && r.Held > 0:
		p.Done = words.Say("1 entry is kept; %d had been taken before.", r.Held)
	case r.Held > 0:
		p.Done = words.Say("%d entries are kept; %d had been taken before.", r.Taken, r.Held)
	case r.Taken == 1:
		p.Done = words.Say("1 entry is kept.")
	default:
		p.Done = words.Say("%d entries are kept.", r.Taken)
	}
	snap, err := c.look(c.r)
	if err != nil {
		return answer{}, err
	}
	screen := page.NewScreen(snap.handover)
	kinds, ids := map[string]map[string]int{}, map[string]bool{}
	for _, e := range r.Entries {
		if kinds[e.Infant] == nil {
			kinds[e.Infant] = map[string]int{}
		}
		kinds[e.Infant][e.Kind]++
		ids[e.ID] = true
	}
	said := func(whom string, of map[string]int) {
		var taken []string
		for i := range entry.Kinds {
			if n := of[entry.Kinds[i].Name]; n > 0 {
				taken = append(taken, whole(n)+" "+lower(entry.Kinds[i].Label))
			}
		}
		if len(taken) > 0 {
			p.Taken = append(p.Taken, whom+": "+strings.Join(taken, ", "))
		}
	}
	for _, f := range snap.handover.Infants {
		t := screen.Infant(f)
		said(words.Say("cot %s, %s", page.Plain(t.Cot), page.Plain(t.Name)), kinds[f.Infant])
		delete(kinds, f.Infant)
		for _, d := range f.Doubts {
			if ids[d.Entry] {
				p.Doubts = append(p.Doubts, words.Say("cot %s: %s", page.Plain(t.Cot), d.Text))
			}
		}
	}
	said(words.Say("the unit"), kinds[""])
	delete(kinds, "")
	rest := map[string]int{}
	for _, of := range kinds {
		for kind, n := range of {
			rest[kind] += n
		}
	}
	said(words.Say("infants who are not here now"), rest)
	return p.answer(0), nil
}
