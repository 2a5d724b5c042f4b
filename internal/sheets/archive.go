package sheets

import (
	"archive/zip"
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"slices"
)

// archive takes the sheets, and then the other parts of the file from the library, and packs them as they come. It is
// written when all are there: the library leaves their order to chance; here they stand by name, the content types first.
type archive struct {
	*packing
	parts []*filePart
	open  *filePart     // the library's last
	raw   *bytes.Buffer // of one that has to be put right, until it is whole
}

type filePart struct {
	name string
	packed
}

func newArchive() *archive { return &archive{packing: newPacking()} }

// begin begins a part.
func (a *archive) begin(name string) *filePart {
	p := &filePart{name: name}
	a.parts, a.to = append(a.parts, p), &p.packed
	return p
}

// addSheet adds a sheet. Its text has what stands around the rows, which were written before, and around the links.
func (a *archive) addSheet(name string, text, links []byte) error {
	above, below, err := before(rowsEnd, text)
	if err != nil {
		return err
	}
	var between []byte
	if len(links) > 0 {
		if between, below, err = before(afterLinks, below); err != nil {
			return err
		}
		links = slices.Concat([]byte(linksBegin), links, []byte(linksEnd))
	}
	rows := a.to
	if rows.size > 0 {
		a.pack(piece)
	}
	a.begin(name)
	a.Write(above) // into memory, as all of it
	if rows.size > 0 {
		a.pack(piece)
		a.wait()
		a.to.add(rows)
	}
	for _, b := range [][]byte{between, links, below} {
		a.Write(b)
	}
	a.pack(last)
	a.to = new(packed)
	return nil
}

// before cuts a text in two, of which the second begins with a mark.
func before(mark string, text []byte) (a, b []byte, err error) {
	i := bytes.Index(text, []byte(mark))
	if i < 0 {
		return nil, nil, fmt.Errorf("a sheet without %s", mark)
	}
	return text[:i], text[i:], nil
}

// Create begins a part, and ends the one before.
func (a *archive) Create(name string) (io.Writer, error) {
	a.end()
	a.open = a.begin(name)
	if mends(name) {
		a.raw = new(bytes.Buffer)
		return a.raw, nil
	}
	return a, nil
}

// end ends the library's last part.
func (a *archive) end() {
	if a.open == nil {
		return
	}
	if a.raw != nil {
		a.Write(mended(a.raw.Bytes())) // into memory
		a.raw = nil
	}
	a.pack(last)
	a.open = nil
}

// Close ends the last part; the library calls it after a failure too.
func (a *archive) Close() error {
	a.end()
	a.wait()
	return nil
}

// write writes a closed archive.
func (a *archive) write(w io.Writer) error {
	slices.SortFunc(a.parts, func(a, b *filePart) int { return cmp.Compare(a.name, b.name) })
	out := zip.NewWriter(w)
	for _, p := range a.parts {
		if err := p.write(out); err != nil {
			return err
		}
	}
	return out.Close()
}

// write writes a packed part with its sizes before it: some readers do not take sizes that follow.
func (p *filePart) write(out *zip.Writer) error {
	header := zip.FileHeader{Name: p.name, Method: zip.Deflate, CRC32: p.sum, UncompressedSize64: p.size}
	for _, c := range p.chunks {
		header.CompressedSize64 += uint64(len(c))
	}
	//lint:ignore SA1019 a raw part takes these two and not Modified
	header.ModifiedDate, header.ModifiedTime = 1<<5|1, 0 // 1980-01-01, the first there is
	w, err := out.CreateRaw(&header)
	if err != nil {
		return err
	}
	for _, c := range p.chunks {
		if _, err := w.Write(c); err != nil {
			return err
		}
	}
	return nil
}

// AddFS is of the library's interface; it never calls it.
func (a *archive) AddFS(fs.FS) error { return errors.ErrUnsupported }
