package web

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"time"

	"github.com/google/uuid"

	"cotline/fhir"
	"cotline/handover/entry"
	"cotline/internal/access"
	"cotline/internal/sheets"
	"cotline/internal/web/words"
)

// export sends a file of a moment or a span, and traces it.
func export(s *Server, r *request) (answer, error) {
	c, err := s.charting(r)
	if err != nil {
		return answer{}, err
	}
	x := span{at: c.now}
	for name, to := range map[string]*time.Time{"at": &x.at, "since": &x.since} {
		if text := c.posted.Get(name); text != "" {
			m, err := entry.ParseMoment(text)
			if err != nil || m.After(c.now) {
				return c.noFile(words.Say("The moment cannot be read. Go back and choose it again."))
			}
			*to = m.Time
		}
	}
	make, known := exports[c.posted.Get("what")]
	if !known {
		return c.noFile(words.Say("Go back and choose what to download."))
	}
	of, err := c.spanned(x)
	if err != nil {
		return answer{}, err
	}
	if c.posted.Get("what") == "bundle" && len(of.handover.Findings) > 0 {
		return c.noFile(words.Say("The record is damaged: nothing is made of it for another system. Call the keeper."))
	}
	var b bytes.Buffer
	form, kind, err := make(c, of, &b)
	var wrong sheets.Refused
	var unset *fhir.NotSet
	var held heldBack
	switch {
	case errors.Is(err, errNoTable):
		return c.noFile(words.Say("Why: there is no such table."))
	case errors.As(err, &wrong), errors.As(err, &unset), errors.As(err, &held):
		return c.noFile(words.Say("Why: %s.", err))
	case err != nil:
		return answer{}, err
	}
	if err := s.Access.Note(r.Context(), r.who, r.from, access.Event{Unit: r.unit, Kind: access.Exported,
		What: c.posted.Get("what"), Whole: true}); err != nil {
		return answer{}, err
	}
	name := fileName(r.unit, of.handover.At, of.handover.Zone, form)
	return answer{
		body:   b.Bytes(),
		kind:   kind,
		header: map[string]string{"Content-Disposition": `attachment; filename="` + name + `"`},
	}, nil
}

// noFile says why there is none.
func (c *charting) noFile(why string) (answer, error) {
	title := words.Say("No file was made")
	return answer{status: 422, page: "refused", title: title, data: refused{title, why, c.r.id}}, nil
}

var errNoTable = errors.New("there is no such table")

// heldBack says what a person must look at before anything leaves.
type heldBack string

func (h heldBack) Error() string { return string(h) }

// maker writes a file, and says which form and media type it has.
type maker func(*charting, *spanned, io.Writer) (form, kind string, err error)

var exports = map[string]maker{"workbook": workbook, "csv": oneTable, "tables": allTables, "bundle": bundle}

func workbook(c *charting, of *spanned, w io.Writer) (string, string, error) {
	return "xlsx", "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
		sheets.Workbook(w, of.handover, of.entries, of.ward.Policy, c.journal.Engine)
}

// preset is the form of CSV that was asked for.
func (c *charting) preset() sheets.Preset {
	p, ok := sheets.PresetOf(c.posted.Get("preset"))
	if !ok {
		p = sheets.Presets[0]
	}
	return p
}

// csv gives each file of CSV by its name, with what writes it.
func (c *charting) csv(of *spanned, file func(string, func(io.Writer) error) error) error {
	return sheets.CSV(c.preset(), of.handover, of.entries, of.ward.Policy, c.journal.Engine, file)
}

// oneTable is one file of CSV.
func oneTable(c *charting, of *spanned, w io.Writer) (string, string, error) {
	found := false
	err := c.csv(of, func(name string, write func(io.Writer) error) error {
		if name != c.posted.Get("table") {
			return write(io.Discard)
		}
		found = true
		return write(w)
	})
	if err == nil && !found {
		err = errNoTable
	}
	return c.posted.Get("table"), "text/csv; charset=utf-8", err
}

// allTables are all files of CSV.
func allTables(c *charting, of *spanned, w io.Writer) (string, string, error) {
	z := zip.NewWriter(w)
	err := c.csv(of, func(name string, write func(io.Writer) error) error {
		f, err := z.Create(name)
		if err != nil {
			return err
		}
		return write(f)
	})
	return "csv.zip", "application/zip", errors.Join(err, z.Close())
}

// What a part of a bundle has at most: receivers refuse more.
const (
	mostEntries = 100
	mostBytes   = 1 << 20
)

// bundle are the transactions of an export, in order, each of which stands alone.
func bundle(c *charting, of *spanned, w io.Writer) (string, string, error) {
	ask := fhir.Ask{At: of.handover.At, Known: of.handover.Known, Lean: true}
	if c.Codes != nil {
		codes, err := c.Codes(of.ward.Policy)
		if err != nil {
			return "", "", err
		}
		ask.Codes = codes
	}
	z, n := zip.NewWriter(w), 0
	held, err := fhir.Send(of.ward, ask, fhir.Sending{Mode: fhir.Put, Entries: mostEntries, Bytes: mostBytes}, func(text []byte) error {
		n++
		f, err := z.Create(fmt.Sprintf("transaction-%05d.json", n))
		if err == nil {
			_, err = f.Write(text)
		}
		return err
	})
	if err == nil && len(held) > 0 {
		f := of.handover.Of(func(infant, _ string) bool { return infant == held[0].Infant })
		if len(f.Infants) > 0 {
			err = heldBack(words.Say("an infant cannot be sent safely, cot %s: %s", f.Infants[0].Cot, held[0].Why))
		} else {
			err = heldBack(words.Say("an infant cannot be sent safely, one who left: %s", held[0].Why))
		}
	}
	return "fhir.zip", "application/zip", errors.Join(err, z.Close())
}

// sendTemplate sends the workbook to chart into, with the ward's infants to choose from.
func sendTemplate(s *Server, r *request) (answer, error) {
	c, err := s.charting(r)
	if err != nil {
		return answer{}, err
	}
	names := c.posted.Get("names") != ""
	if err := s.Access.Note(r.Context(), r.who, r.from, access.Event{Unit: r.unit, Kind: access.Exported,
		What: "template", Whole: true}); err != nil {
		return answer{}, err
	}
	var b bytes.Buffer
	if err := sheets.Template(&b, c.policy, sheets.Choices(c.snap.handover, names), uuid.NewString, c.now, c.journal.Engine); err != nil {
		return answer{}, err
	}
	name := "sheets-to-fill-in-" + fileName(r.unit, c.now, c.policy.Zone, "xlsx")
	return answer{body: b.Bytes(), kind: "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
		header: map[string]string{"Content-Disposition": `attachment; filename="` + name + `"`}}, nil
}
