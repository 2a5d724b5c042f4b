package intake

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"cotline/fhir/read"
	"cotline/handover/entry"
)

// Resources gathers what FHIR files hold, to be read together. The zero value is
// empty.
type Resources struct {
	gathered read.Resources
	size     int // bytes so far
	any      bool
}

// Bundle gathers a FHIR bundle, or one resource, in one JSON text. The lines of the
// offer are its resources, by their place in the bundle; before says how many lines
// were read before it. What the resources offer is told by Read.
func (r *Resources) Bundle(in io.Reader, before int) (Offer, error) {
	r.any = true
	text, err := io.ReadAll(io.LimitReader(in, int64(mostFHIR-r.size)+1))
	if err != nil {
		return Offer{}, err
	}
	if r.size += len(text); r.size > mostFHIR {
		return tooLong(1), nil
	}
	paths := r.gathered.JSON(before+1, text)
	return Offer{Paths: paths, Lines: len(paths)}, nil
}

// Lines gathers FHIR resources one a line.
func (r *Resources) Lines(in *bufio.Reader, before int) (Offer, error) {
	r.any = true
	var o Offer
	var buf []byte
	in = bufio.NewReaderSize(&atMost{in, 2 * mostFHIR}, 64<<10) // a line over the limit counts too
	for {
		text, long, err := nextLine(in, buf[:0])
		full := errors.Is(err, errTooMuch)
		if err != nil && !errors.Is(err, io.EOF) && !full {
			return o, fmt.Errorf("reading line %d: %w", o.Lines+1, err)
		}
		if len(text) > 0 || err == nil || long {
			o.Lines++
		}
		r.size += len(text)
		switch {
		case full, r.size > mostFHIR:
			return tooLong(o.Lines), nil
		case long:
			o.Issues = append(o.Issues, entry.Issue{Line: o.Lines, Code: entry.CodeLineTooLong, Allowed: "at most 1 MiB a line"})
		case o.Lines == 1 && goesOn(text):
			return Offer{Lines: 1, Unread: 1, Issues: []entry.Issue{{Line: 1, Code: entry.CodeJSON,
				Allowed: "one whole resource a line: give a bundle of several lines as a .json file"}}}, nil
		case len(bytes.TrimSpace(text)) > 0:
			r.gathered.Line(before+o.Lines, text)
		}
		if err != nil {
			o.Unread = len(o.Issues)
			return o, nil
		}
		buf = text
	}
}

// goesOn says whether a line ends within a value: it is of a text of several lines.
func goesOn(line []byte) bool {
	line = bytes.TrimSpace(line)
	return len(line) > 0 && bytes.IndexByte([]byte("{[,:"), line[len(line)-1]) >= 0
}

func tooLong(lines int) Offer {
	return Offer{Lines: lines, Unread: 1, Issues: []entry.Issue{{Line: lines, Code: entry.CodeLineTooLong,
		Allowed: fmt.Sprintf("at most %d MiB of FHIR files at a time: send them in parts", mostFHIR>>20)}}}
}

// Any says whether anything was gathered.
func (r *Resources) Any() bool { return r.any }

// Read is what was gathered offers. Its lines count over all files.
func (r *Resources) Read(given read.Given) Offer {
	read := r.gathered.Read(given)
	return Offer{Entries: read.Entries, Issues: read.Issues, Aside: read.Aside, Changed: read.Changed, Unread: min(len(read.Issues), 1)}
}

// AreResources says whether lines are FHIR resources, by the names of the first of
// them; nothing is read on. One that is longer than can be looked into, and has not
// said what kind of entry it is, is a resource whose type stands last.
func AreResources(in *bufio.Reader) bool {
	ahead, _ := in.Peek(in.Size())
	d := json.NewDecoder(bytes.NewReader(bytes.TrimLeft(bytes.TrimPrefix(ahead, []byte("\ufeff")), " \t\r\n")))
	if t, err := d.Token(); err != nil || t != json.Delim('{') {
		return false
	}
	for d.More() {
		name, err := d.Token()
		if err == nil && (name == "resourceType" || name == "kind") {
			return name == "resourceType"
		}
		var passed json.RawMessage
		if err != nil || d.Decode(&passed) != nil {
			return len(ahead) == in.Size()
		}
	}
	return false
}
