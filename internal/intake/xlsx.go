package intake

import (
	"archive/zip"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"cotline/handover/entry"
)

// XLSX reads entries from the sheets of a workbook (Office Open XML, ISO/IEC 29500), each a table. A sheet without a
// header id is not read, and told. So are hidden sheets, rows and columns; they are read as others are.
//
// A number is taken with the decimals that its cell shows; where it holds more than it shows, or is shown as a
// percentage, a fraction or with words, it is refused. A date is a number in a format that shows the whole of it.
// Formulas, errors and merged cells are refused: what they would mean is not what somebody charted.
//
// Rows are read one at a time; of the workbook, its table of texts alone is held in memory, of 64 MiB unpacked at most.
func XLSX(r io.ReaderAt, size int64, t Tables) (Offer, error) {
	var o Offer
	file := &watchedReader{r: r}
	if err := readBook(&o, file, size, t); err != nil {
		if file.err != nil {
			return o, fmt.Errorf("reading: %w", file.err)
		}
		allowed := "an .xlsx workbook without a password"
		var told bookError
		if errors.As(err, &told) {
			allowed = string(told)
		}
		o.whole("", entry.CodeFormat, allowed)
	}
	return o, nil
}

// bookError is what would be right about a workbook, fit for a person.
type bookError string

func (e bookError) Error() string { return string(e) }

func readBook(o *Offer, r io.ReaderAt, size int64, t Tables) error {
	if size > mostPacked {
		return bookError("a workbook of at most 32 MiB: split it")
	}
	z, err := zip.NewReader(r, size)
	if err != nil {
		return err
	}
	b := book{parts: map[string]*zip.File{}, left: mostUnpacked}
	for _, f := range z.File {
		b.parts[strings.ToLower(strings.TrimPrefix(f.Name, "/"))] = f
	}
	if err := b.open(); err != nil {
		return err
	}
	return b.readSheets(o, t)
}

// book is a workbook while it is read.
type book struct {
	parts    map[string]*zip.File // by name in lower case
	left     int64                // bytes that may yet be unpacked
	from1904 bool                 // dates count from 1904
	sheets   []bookSheet
	texts    []string
	styles   []cellFormat
}

type bookSheet struct {
	name, id, part string
	hidden         bool
}

// open reads what the sheets stand on.
func (b *book) open() error {
	top, err := b.relations("")
	if err != nil {
		return err
	}
	workbook := ""
	for _, r := range top {
		if r.is("officeDocument") {
			workbook = r.part
		}
	}
	if err := b.read(workbook, handler{start: b.workbookElement}); err != nil {
		return err
	}
	relations, err := b.relations(workbook)
	if err != nil {
		return err
	}
	for _, r := range relations {
		switch {
		case r.is("sharedStrings"):
			err = b.readTexts(r.part)
		case r.is("styles"):
			err = b.readStyles(r.part)
		case r.is("worksheet"):
			for i := range b.sheets {
				if b.sheets[i].id == r.id {
					b.sheets[i].part = r.part
				}
			}
		}
		if err != nil {
			return err
		}
	}
	b.sheets = slices.DeleteFunc(b.sheets, func(s bookSheet) bool { return s.part == "" }) // sheets of charts
	return nil
}

func (b *book) workbookElement(name string, attrs []xml.Attr) error {
	switch name {
	case "workbookPr":
		b.from1904 = isTrue(attr(attrs, "date1904"))
	case "sheet":
		state := attr(attrs, "state")
		b.sheets = append(b.sheets, bookSheet{name: attr(attrs, "name"), id: attr(attrs, "id"), hidden: state == "hidden" ||
			state == "veryHidden"})
	}
	return nil
}

// readTexts reads the table of texts that cells share. What is said of how to read a text aloud is no part of it.
func (b *book) readTexts(part string) error {
	var t textElement
	return b.read(part, handler{
		start: func(name string, _ []xml.Attr) error { t.start(name); return nil },
		text:  t.text,
		end: func(name string) error {
			t.end(name)
			if name == "si" {
				b.texts = append(b.texts, t.take())
			}
			return nil
		},
	})
}

// textElement gathers the runs of a text.
type textElement struct {
	b     strings.Builder
	on    bool
	aloud bool // within how it is read aloud
}

func (t *textElement) start(name string) {
	switch name {
	case "rPh":
		t.aloud = true
	case "t", "v":
		t.on = !t.aloud
	}
}

func (t *textElement) text(s []byte) {
	if t.on {
		t.b.Write(s)
	}
}

func (t *textElement) end(name string) {
	switch name {
	case "rPh":
		t.aloud = false
	case "t", "v":
		t.on = false
	}
}

func (t *textElement) take() string {
	s := t.b.String()
	t.b.Reset()
	return s
}

// readStyles reads the number format of each cell style.
func (b *book) readStyles(part string) error {
	codes := map[string]string{}
	var ids []string
	within := ""
	err := b.read(part, handler{
		start: func(name string, attrs []xml.Attr) error {
			switch {
			case name == "cellXfs" || name == "numFmts":
				within = name
			case name == "numFmt" && within == "numFmts":
				codes[attr(attrs, "numFmtId")] = attr(attrs, "formatCode")
			case name == "xf" && within == "cellXfs":
				ids = append(ids, attr(attrs, "numFmtId"))
			}
			return nil
		},
		end: func(name string) error {
			if name == within {
				within = ""
			}
			return nil
		},
	})
	for _, id := range ids {
		b.styles = append(b.styles, formatOf(id, codes))
	}
	return err
}
