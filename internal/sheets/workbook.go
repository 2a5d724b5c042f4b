package sheets

import (
	"fmt"
	"io"
	"strings"
	"time"

	"cotline/handover"
	"cotline/handover/entry"
)

const damaged = "WARNING: THIS RECORD IS DAMAGED: what stands here may be wrong or missing. Hold it against paper. See About."

const caution = "Aid to handover: not a device, a monitor or an order. Look at the infant. See About."

// Workbook writes a handover, and the entries it was compiled from, as a workbook. Entries may be in any order, charted
// stamped; those not written down by h.Known, or that happen after h.At, are not listed. Version is this program's, for
// the document's properties. Nothing is written when a cell cannot hold what it should: the error is then a Refused.
func Workbook(w io.Writer, h *handover.Handover, entries []*entry.Entry, policy *handover.Policy, version string) error {
	footer := footerOf(h)
	if n := units(footer); n > mostFooter {
		return fmt.Errorf("workbook: the unit's name is too long for a page's footer by %d characters", n-mostFooter)
	}
	b := newBook(titleOf(h), footer)
	t := newTables(h, entries, policy, version)
	return b.write(w, h.At, version, t.sheets(), t.about())
}

// write measures the sheets, so that links know where they lead, and writes them; last the one that says what they are and
// how many rows each of them has. It uses the sheets up.
func (b *book) write(w io.Writer, at time.Time, version string, sheets []sheet, about func([]tally) sheet) error {
	var all []measured
	for _, s := range sheets {
		m, err := s.measure(b.links, b.title)
		if err != nil {
			return err
		}
		all = append(all, m)
	}
	b.links.rows[aboutName], b.links.wanted = map[string]int{}, nil
	var tallies []tally
	for i, s := range sheets {
		t, err := b.addMeasured(s, all[i])
		if err != nil {
			return err
		}
		tallies = append(tallies, t)
		sheets[i] = sheet{} // what its rows are made of may go
	}
	if err := b.add(about(tallies)); err != nil {
		return err
	}
	return b.finish(w, at, version)
}

// tables are the sheets of a workbook or the files of CSV.
type tables struct {
	handover *handover.Handover
	entries  []*entry.Entry
	policy   *handover.Policy
	version  string
	records  *entry.Records
	read     []listed
}

func newTables(h *handover.Handover, entries []*entry.Entry, policy *handover.Policy, version string) *tables {
	records := entry.Replay(entries, h.Known)
	return &tables{h, entries, policy, version, records, read(entries, records, h.At, h.Known)}
}

// first are what a nurse asks first.
func (t *tables) first() []sheet {
	return []sheet{handoverSheet(t.handover), moreSheet(t.handover), dueSheet(t.handover), changesSheet(t.handover),
		factsSheet(t.handover)}
}

// sheets are those of the workbook in their order: what a nurse asks first, then each kind of fact over time, then the
// record.
func (t *tables) sheets() []sheet {
	out := t.first()
	for _, s := range historySheets(t.handover, t.records, t.policy) {
		if s.name == skinName {
			s = skinSheet(t.handover, t.records)
		}
		out = append(out, s)
	}
	out = append(out, chartSheets(t.handover, t.entries, t.policy)...)
	out = append(out, entriesSheet(t.handover, t.read))
	return append([]sheet{wardSheet(t.handover, append(out, sheet{name: aboutName}))}, out...)
}

// files are those of CSV: the long table of skin checks, and no pictures.
func (t *tables) files() []sheet {
	out := append(t.first(), historySheets(t.handover, t.records, t.policy)...)
	return append(out, entriesSheet(t.handover, t.read))
}

// about makes the sheet that tells of the others. It keeps nothing of the record: what the others are made of may go.
func (t *tables) about() func([]tally) sheet {
	h, policy, version, listed, all := t.handover, t.policy, t.version, len(t.read), len(t.entries)
	return func(tallies []tally) sheet { return aboutSheet(h, policy, version, listed, all, tallies) }
}

const mostFooter = 255 // the format's limit, codes included

// titleOf is the first line of every sheet.
func titleOf(h *handover.Handover) string {
	told := fmt.Sprintf("%s, %s (%s).", h.Unit, h.At.In(h.Zone).Format("2006-01-02 15:04 -07:00"), h.Zone)
	if len(h.Findings) > 0 { // there is no room for both; the sheets Ward and About have the caution too
		return damaged + " " + told
	}
	return told + " " + caution
}

// footerOf is the last line of every printed page, in the format's own codes (ISO/IEC 29500-1, 18.3.1.46): size, left,
// centre, right, date and time of printing, page of pages. An ampersand is doubled.
func footerOf(h *handover.Handover) string {
	unit := strings.ReplaceAll(h.Unit, "&", "&&")
	at := h.At.In(h.Zone).Format("2006-01-02 15:04 -07:00")
	return "&L&8 " + unit + ", " + at + "&C&8 Confidential: aid to handover, look at the infant&R&8 &A, printed &D &T, page &P of &N"
}
