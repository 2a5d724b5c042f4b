package intake

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"cotline/handover/entry"
)

// CSV reads entries from a table of texts (RFC 4180, UTF-8, a byte order mark is passed over; lines may end in LF alone).
// A comma stands between cells and a point before decimals, or a semicolon and a comma, whichever gives the headers.
//
// One row at a time is held in memory; a row over entry.MaxLine ends the reading. A row that lacks its last cells
// has them empty, but for the last row of a file that does not end in a line break: it may be cut off.
func CSV(r io.Reader, t Tables) (Offer, error) {
	var o Offer
	in := bufio.NewReaderSize(&atMost{r, mostBytes}, headOfFile)
	start, err := in.Peek(headOfFile)
	if err != nil && !errors.Is(err, io.EOF) {
		return o, fmt.Errorf("reading: %w", err)
	}
	if bytes.HasPrefix(start, []byte("\ufeff")) {
		in.Discard(len("\ufeff")) // it is there
		start = start[len("\ufeff"):]
	}
	comma, decimal := ',', "."
	if t.separated(start, ';') && !t.separated(start, ',') {
		comma, decimal = ';', ","
	}
	c := csvReader{table: o.table(t, "", decimal), rest: &bounded{r: in}}
	c.r = csv.NewReader(c.rest)
	c.r.Comma, c.r.FieldsPerRecord = comma, -1
	err = c.read()
	return o, err
}

const headOfFile = 64 << 10

// separated says whether the headers are found where a comma, or a semicolon, stands between cells.
func (t Tables) separated(start []byte, comma rune) bool {
	r := csv.NewReader(bytes.NewReader(start))
	r.Comma, r.FieldsPerRecord, r.LazyQuotes = comma, -1, true
	look := (&Offer{}).table(t, "", "")
	for range mostAbove {
		row, err := r.Read()
		if err != nil {
			return false
		}
		if slices.ContainsFunc(row, func(s string) bool { return look.field(s) == "id" }) {
			return true
		}
	}
	return false
}

type csvReader struct {
	*table
	r     *csv.Reader
	rest  *bounded
	next  int  // the line that a row starts on if no blank line comes before it
	short bool // the row before lacked cells
}

// read reads all rows. Rows are counted as a spreadsheet program shows them: a blank line is one, the lines of a text are
// not.
func (c *csvReader) read() error {
	c.next = 1
	for !c.enough() {
		c.rest.from = c.r.InputOffset()
		fields, err := c.r.Read()
		var bad *csv.ParseError
		switch {
		case errors.Is(err, io.EOF):
			c.end()
			return nil
		case errors.Is(err, errLong):
			c.rows++
			c.unread(entry.CodeLineTooLong, "", "at most 1 MiB a row: a quote may not be closed")
			c.end()
			return nil
		case errors.Is(err, errTooMuch):
			c.unread(entry.CodeLineTooLong, "", tooMany)
			c.end()
			return nil
		case errors.As(err, &bad):
			c.rows++
			c.unread(entry.CodeFormat, "", quotesWanted)
			c.end()
			return nil
		case err != nil:
			return fmt.Errorf("reading row %d: %w", c.rows+1, err)
		}
		line, _ := c.r.FieldPos(0)
		number := c.rows + 1 + line - c.next
		c.next = line + 1
		cells := make([]cell, len(fields))
		for i, f := range fields {
			cells[i] = cell{column: i, text: f}
			c.next += strings.Count(f, "\n")
		}
		c.take(number, cells)
	}
	c.end()
	return nil
}

const quotesWanted = "quotes as in RFC 4180: a cell with a separator, quote or line break in it stands in quotes, and each quote in it " +
	"is doubled; the rows below were not read"

func (c *csvReader) take(number int, cells []cell) {
	for i := range cells {
		if !utf8.ValidString(cells[i].text) {
			c.rows = number
			c.unread(entry.CodeUTF8, "column "+letters(i), "UTF-8: save the file as CSV UTF-8")
			return
		}
	}
	c.row(number, cells)
	c.short = c.head > 0 && len(cells) < len(c.columns)
}

func (c *csvReader) end() {
	if c.short && c.rest.last != '\n' {
		c.add("", entry.CodeFormat, "", "a whole last row, ended by a line break: the file may be cut off")
	}
	if c.head == 0 && !c.faulty {
		c.offer.whole("", entry.CodeMissing, noHeaders)
		return
	}
	c.close()
}

const noHeaders = "a row of headers among the first 20, one of them id; " + needsID

// bounded ends the reading of a row that is too long, so that an open quote does not take in a whole file.
type bounded struct {
	r    io.Reader
	read int64
	from int64 // where the row being read starts
	last byte
}

var errLong = errors.New("a row is too long")

func (b *bounded) Read(p []byte) (int, error) {
	if b.read-b.from > mostText+headOfFile {
		return 0, errLong
	}
	n, err := b.r.Read(p)
	b.read += int64(n)
	if n > 0 {
		b.last = p[n-1]
	}
	return n, err
}
