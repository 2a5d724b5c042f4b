package intake

import (
	"encoding/xml"
	"errors"
	"io"
	"path"
	"strings"
)

// relation is a part that another names.
type relation struct{ id, kind, part string }

func (r relation) is(kind string) bool { return strings.HasSuffix(r.kind, "/"+kind) }

// relations are those of a part, or of the whole package.
func (b *book) relations(of string) (out []relation, err error) {
	dir, base := path.Split(of)
	err = b.read(dir+"_rels/"+base+".rels", handler{start: func(name string, attrs []xml.Attr) error {
		if name == "Relationship" && attr(attrs, "TargetMode") != "External" {
			target := attr(attrs, "Target")
			if !strings.HasPrefix(target, "/") {
				target = path.Join("/"+dir, target)
			}
			out = append(out, relation{attr(attrs, "Id"), attr(attrs, "Type"), strings.TrimPrefix(target, "/")})
		}
		return nil
	}})
	return out, err
}

// handler is what is done with the elements of a part, by local name.
type handler struct {
	start func(name string, attrs []xml.Attr) error
	text  func([]byte)
	end   func(name string) error
}

// read reads a part element by element.
func (b *book) read(part string, h handler) error {
	f := b.parts[strings.ToLower(part)]
	if f == nil {
		return bookError("a whole workbook: its part " + shown(part) + " is missing")
	}
	r, err := f.Open()
	if err != nil {
		return err
	}
	defer r.Close() // it was only read
	d := xml.NewDecoder(&unpacked{r, &b.left})
	depth := 0
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		switch token := token.(type) {
		case xml.StartElement:
			if depth++; depth > mostDepth {
				return bookError("a sound workbook: its part " + shown(part) + " is nested too deep")
			}
			err = h.start(token.Name.Local, token.Attr)
		case xml.CharData:
			if h.text != nil {
				h.text(token)
			}
		case xml.EndElement:
			depth--
			if h.end != nil {
				err = h.end(token.Name.Local)
			}
		}
		if err != nil {
			return err
		}
	}
}

// unpacked bounds what a workbook unpacks to, all parts together.
type unpacked struct {
	r    io.Reader
	left *int64
}

func (u *unpacked) Read(p []byte) (int, error) {
	n, err := u.r.Read(p)
	if *u.left -= int64(n); *u.left < 0 {
		return 0, bookError("a workbook of at most 64 MiB unpacked: split it")
	}
	return n, err
}

// watchedReader keeps the error of a file that cannot be read, apart from one whose content is wrong.
type watchedReader struct {
	r   io.ReaderAt
	err error
}

func (w *watchedReader) ReadAt(p []byte, off int64) (int, error) {
	if off < 0 { // the archive's own directory says so: its fault, not the disk's
		return 0, io.ErrUnexpectedEOF
	}
	n, err := w.r.ReadAt(p, off)
	if err != nil && !errors.Is(err, io.EOF) {
		w.err = err
	}
	return n, err
}

func attr(attrs []xml.Attr, name string) string {
	for _, a := range attrs {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

func isTrue(s string) bool { return s == "1" || s == "true" }
