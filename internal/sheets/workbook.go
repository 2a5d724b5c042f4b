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
	return WorkbookWithin(w, "", h, entries, policy, version)
}

// WorkbookWithin keeps what is too much for memory in a folder, for as long as it writes. It holds names.
func WorkbookWithin(w io.Writer, temp string, h *handover.Handover, entries []*entry.Entry, policy *handover.Policy, version string) error {
	footer := footerOf(h)
	if n := units(footer); n > mostFooter {
		return fmt.Errorf("workbook: the unit's name is too long for a page's footer by %d characters", n-mostFooter)
	}
	b := newBookWithin(temp, titleOf(h), footer)
	defer b.file.Close() // nothing is left to lose once it is written or failed
	sheets, about := sheetsOf(h, entries, policy, version)
	return b.write(w, h.At, version, sheets, about)
}

// write adds the sheets, and last the one that says what they are and how many rows each of them has.
func (b *book) write(w io.Writer, at time.Time, version string, sheets []sheet, about func([]tally) sheet) error {
	var tallies []tally
	for _, s := range sheets {
		t, err := b.add(s)
		if err != nil {
			return err
		}
		tallies = append(tallies, t)
	}
	if _, err := b.add(about(tallies)); err != nil {
		return err
	}
	return b.finish(w, at, version)
}

// sheetsOf are the sheets in their order: what a nurse asks first, then each kind of fact over time, then the record;
// and what makes the last one, when the others are written.
func sheetsOf(h *handover.Handover, entries []*entry.Entry, policy *handover.Policy, version string) (sheets []sheet,
	about func([]tally) sheet) {
	records := entry.Replay(entries, h.Known)
	read := read(entries, records, h.At, h.Known)
	sheets = []sheet{handoverSheet(h), dueSheet(h), changesSheet(h), factsSheet(h)}
	sheets = append(sheets, historySheets(h, records, policy)...)
	sheets = append(sheets, entriesSheet(h, read))
	return sheets, func(t []tally) sheet { return aboutSheet(h, policy, version, len(read), len(entries), t) }
}

const mostFooter = 255 // the format's limit, codes included

// titleOf is the first line of every sheet.
func titleOf(h *handover.Handover) string {
	warning := ""
	if len(h.Findings) > 0 {
		warning = damaged + " "
	}
	return warning + fmt.Sprintf("%s, %s (%s). %s", h.Unit, h.At.In(h.Zone).Format("2006-01-02 15:04 -07:00"), h.Zone, caution)
}

// footerOf is the last line of every printed page, in the format's own codes (ISO/IEC 29500-1, 18.3.1.46): size, left,
// centre, right, date and time of printing, page of pages. An ampersand is doubled.
func footerOf(h *handover.Handover) string {
	unit := strings.ReplaceAll(h.Unit, "&", "&&")
	at := h.At.In(h.Zone).Format("2006-01-02 15:04 -07:00")
	return "&L&8 " + unit + ", " + at + "&C&8 Confidential: aid to handover, look at the infant&R&8 &A, printed &D &T, page &P of &N"
}
