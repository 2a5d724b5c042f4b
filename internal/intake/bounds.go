package intake

import (
	"errors"
	"io"

	"cotline/handover/entry"
)

// What is read of one file, at most. A month of 60 infants has some 60,000 entries, in 15 MB of lines.
const (
	mostBytes   = 1 << 30 // of lines or CSV
	mostEntries = 2_000_000
	mostTold    = 100_000 // faults; a small workbook may unpack to millions

	mostText  = entry.MaxLine // bytes of a row of a table, and of a cell of a workbook
	mostAbove = 20            // rows above the headers of a table

	mostPacked   = 32 << 20 // bytes of a workbook
	mostUnpacked = 64 << 20 // bytes of its parts together
	mostDepth    = 64       // of its elements; a sheet needs 8
	lastRow      = 1 << 20  // of a sheet
	lastColumn   = 1 << 14  // of a sheet

	// mostFHIR is how much FHIR text is read at a time, in bytes: it is held whole, since any of it may refer to any other.
	mostFHIR = 128 << 20

	// MostSettings is how many bytes of a policy, a map or a list of codings are read. The parser's time grows with the
	// square of them, and of the nesting.
	MostSettings = 256 << 10
	mostNesting  = 24 // of brackets; a policy needs 4
)

const tooMany = "at most 1 GiB, 2,000,000 entries and 100,000 faults a file; the lines below were not read: split it"

// atMost ends the reading of what is longer than it may be.
type atMost struct {
	r    io.Reader
	left int64
}

var errTooMuch = errors.New("more than is read of one file")

func (a *atMost) Read(p []byte) (int, error) {
	if a.left <= 0 {
		return 0, errTooMuch
	}
	n, err := a.r.Read(p[:min(int64(len(p)), a.left)])
	a.left -= int64(n)
	return n, err
}
