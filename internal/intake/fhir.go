package intake

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"

	"cotline/fhir"
	"cotline/handover"
)

// maxBundle is the longest bundle that is read, in bytes: it is held whole.
const maxBundle = 128 << 20

// Bundle reads a FHIR bundle, or one resource, in one JSON text. The lines of the
// offer are its resources, by their place in the bundle.
func Bundle(r io.Reader, given fhir.Given) (Offer, error) {
	text, err := io.ReadAll(io.LimitReader(r, maxBundle+1))
	if err != nil {
		return Offer{}, err
	}
	if len(text) > maxBundle {
		return Offer{Lines: 1, Unread: 1, Issues: []handover.Issue{{Line: 1, Code: handover.CodeLineTooLong, Allowed: "at most 128 MiB a bundle: send it in parts"}}}, nil
	}
	return offerOf(fhir.ReadJSON(text, given)), nil
}

// Resources reads FHIR resources one a line.
func Resources(r io.Reader, given fhir.Given) (Offer, error) {
	in := bufio.NewReaderSize(r, 64<<10)
	lines := map[int][]byte{}
	var order []int
	var long []handover.Issue
	for n := 1; ; n++ {
		text, over, err := nextLine(in, nil)
		if err != nil && !errors.Is(err, io.EOF) {
			return Offer{}, fmt.Errorf("reading line %d: %w", n, err)
		}
		switch {
		case over:
			long = append(long, handover.Issue{Line: n, Code: handover.CodeLineTooLong, Allowed: "at most 1 MiB a line"})
		case len(bytes.TrimSpace(text)) > 0:
			lines[n], order = text, append(order, n)
		}
		if err != nil {
			o := offerOf(fhir.ReadLines(lines, order, given))
			o.Issues, o.Lines = append(o.Issues, long...), n
			return o, nil
		}
	}
}

func offerOf(r fhir.Read) Offer {
	return Offer{Entries: r.Entries, Issues: r.Issues, Aside: r.Aside, Paths: r.Paths, Unread: min(len(r.Issues), 1), Lines: max(len(r.Paths), 1)}
}

// AreResources says whether lines are FHIR resources, by the first of them; nothing
// is read on.
func AreResources(in *bufio.Reader) bool {
	text, _ := in.Peek(in.Size())
	text = bytes.TrimLeft(bytes.TrimPrefix(text, []byte("\ufeff")), " \t\r\n")
	d := json.NewDecoder(bytes.NewReader(text))
	if t, err := d.Token(); err != nil || t != json.Delim('{') {
		return false
	}
	for d.More() {
		name, err := d.Token()
		if err != nil || name == "resourceType" {
			return err == nil
		}
		var passed json.RawMessage
		if d.Decode(&passed) != nil {
			return false
		}
	}
	return false
}
