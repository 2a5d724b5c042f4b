// Package intake reads what is offered to a record: care entries as NDJSON, CSV
// and workbooks, and the unit's policy as YAML. It stores nothing and knows no
// clock.
//
// NDJSON is UTF-8 text, one JSON object a line, ended by LF or CRLF; the last
// line may lack its end, blank lines mean nothing, and a byte order mark before
// the first is passed over. Lines are held in memory some at a time: one over
// entry.MaxLine is read to its end, refused, and never kept. Every fault is
// collected with its line, up to a bound; a file with any is not to be used.
package intake

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"time"

	"cotline/handover/entry"
)

// Offer is what a file offers.
type Offer struct {
	Entries []*entry.Entry // each knows its line
	Faulty  []*entry.Entry // of lines with a fault, as far as they could be read
	Unread  int            // lines of which nothing could be read
	Issues  []entry.Issue  // with any, nothing of the file is to be used
	Lines   int            // how many lines were read, blank ones too
	Sheets  []Sheet        // of a table: what was read, in order
	Notes   []string       // what a person should know and is no fault
	Aside   []entry.Issue  // FHIR resources that are not read, and why
	Changed []entry.Issue  // FHIR resources that were sent from here and came back changed
	Paths   []string       // of a bundle's resources, which its lines are
}

// NDJSON reads entries. The error is one of reading, never of what was read.
func NDJSON(r io.Reader) (Offer, error) {
	return ndjson(r, mostBytes, mostEntries)
}

func ndjson(r io.Reader, bytesLeft int64, most int) (Offer, error) {
	in := bufio.NewReaderSize(&atMost{r, bytesLeft}, 64<<10)
	g := gathering{most: most}
	defer g.settle() // nobody reads on when this returns
	var next lines
	for number, more := 0, true; more; {
		text, long, err := nextLine(in, next.text)
		g.full = errors.Is(err, errTooMuch)
		if err != nil && !errors.Is(err, io.EOF) && !g.full {
			return Offer{}, fmt.Errorf("reading line %d: %w", number+1, err)
		}
		if more = err == nil; more || long || len(text) > len(next.text) && !g.full {
			number++
			next.add(text, long)
		}
		if next.enough() || !more {
			if !g.take(next) {
				more = false
			}
			next = lines{above: number}
		}
	}
	g.settle()
	return g.offer, nil
}

// nextLine reads up to and including LF, appends what it read to buf, and drops the end
// of the line. Of a line over the limit it appends nothing.
func nextLine(in *bufio.Reader, buf []byte) (text []byte, long bool, err error) {
	from := len(buf)
	for {
		var part []byte
		part, err = in.ReadSlice('\n')
		if !long {
			buf = append(buf, part...)
			long = len(bytes.TrimRight(buf[from:], "\r\n")) > entry.MaxLine
		}
		if !errors.Is(err, bufio.ErrBufferFull) {
			break
		}
	}
	if long {
		return buf[:from], true, err
	}
	line := bytes.TrimSuffix(bytes.TrimSuffix(buf[from:], []byte("\n")), []byte("\r"))
	return buf[:from+len(line)], false, err
}

func (o *Offer) line(text []byte, long bool) {
	if long {
		o.Issues = append(o.Issues, entry.Issue{Line: o.Lines, Code: entry.CodeLineTooLong, Allowed: "at most 1 MiB a line"})
		o.Unread++
		return
	}
	if len(bytes.TrimSpace(text)) == 0 {
		return
	}
	v, issues := entry.ParseJSON(text)
	if len(issues) > 0 {
		o.Unread++
	} else {
		v.Line = o.Lines
		var e entry.Entry
		if e, issues = entry.Decode(v); len(issues) == 0 {
			o.Entries = append(o.Entries, &e)
		} else {
			o.Faulty = append(o.Faulty, &e)
		}
	}
	for _, i := range issues {
		i.Line = o.Lines
		o.Issues = append(o.Issues, i)
	}
}

// Record reads a plain .ndjson record whole: charted left out is the entry's at,
// and sizes and steps, which are the unit's when an entry is taken, are not
// judged.
func Record(r io.Reader, tolerance time.Duration) (Offer, error) {
	o, err := NDJSON(r)
	if err != nil {
		return o, err
	}
	o.Entries, o.Issues = o.Judge(entry.Nothing, nil, tolerance, time.Time{})
	return o, nil
}
