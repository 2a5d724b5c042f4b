package sheets

import (
	"archive/zip"
	"bytes"
	"cmp"
	"compress/flate"
	"errors"
	"hash/crc32"
	"io"
	"io/fs"
	"runtime"
	"slices"
)

// archive takes the parts of the file from the library and packs them as they come. It is written when all are there: the
// library leaves their order to chance; here they stand by name, the content types first.
//
// A part is cut into blocks, and each is packed on its own (a flushed block of RFC 1951 ends at a whole byte, so they
// follow each other), several at once. The cuts are always the same, and so are the bytes.
type archive struct {
	parts []*filePart
	block *packer      // of the last part, being filled
	idle  chan *packer // the others, unless at work
}

type filePart struct {
	name   string
	raw    *bytes.Buffer // of a part that has to be put right, until it is whole
	size   uint64
	sum    uint32
	blocks []*[]byte // packed
}

const (
	mostPackers = 4       // each takes some 2 MB
	blockSize   = 1 << 20 // a match reaches back 32 KiB: with cuts this far apart the file grows by less than 1 %
	level       = 5       // that of archive/zip
)

func newArchive() (*archive, error) {
	a := &archive{idle: make(chan *packer, min(runtime.GOMAXPROCS(0), mostPackers))}
	for range cap(a.idle) {
		w, err := flate.NewWriter(nil, level)
		if err != nil {
			return nil, err
		}
		a.idle <- &packer{flate: w}
	}
	a.block = <-a.idle
	return a, nil
}

// Create begins a part, and ends the one before.
func (a *archive) Create(name string) (io.Writer, error) {
	if err := a.end(); err != nil {
		return nil, err
	}
	p := &filePart{name: name}
	a.parts = append(a.parts, p)
	if mends(name) {
		p.raw = new(bytes.Buffer)
		return p.raw, nil
	}
	return a, nil
}

// Write adds to the last part.
func (a *archive) Write(b []byte) (int, error) {
	p := a.parts[len(a.parts)-1]
	p.size += uint64(len(b))
	p.sum = crc32.Update(p.sum, crc32.IEEETable, b)
	for rest := b; len(rest) > 0; {
		n := min(len(rest), blockSize-len(a.block.raw))
		a.block.raw = append(a.block.raw, rest[:n]...)
		if rest = rest[n:]; len(a.block.raw) == blockSize {
			a.pack(p, false)
		}
	}
	return len(b), nil
}

// pack has the block packed while the next is filled.
func (a *archive) pack(p *filePart, last bool) {
	k, out := a.block, new([]byte)
	p.blocks = append(p.blocks, out)
	go func() {
		*out = k.pack(last)
		a.idle <- k
	}()
	a.block = <-a.idle
}

// end ends the last part.
func (a *archive) end() error {
	if len(a.parts) == 0 {
		return nil
	}
	p := a.parts[len(a.parts)-1]
	if p.raw != nil {
		if _, err := a.Write(mended(p.raw.Bytes())); err != nil {
			return err
		}
		p.raw = nil
	}
	a.pack(p, true)
	return nil
}

// Close ends the last part; the library calls it after a failure too.
func (a *archive) Close() error {
	err := a.end()
	for range cap(a.idle) - 1 {
		<-a.idle // until none is at work
	}
	return err
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
	for _, b := range p.blocks {
		header.CompressedSize64 += uint64(len(*b))
	}
	//lint:ignore SA1019 a raw part takes these two and not Modified
	header.ModifiedDate, header.ModifiedTime = 1<<5|1, 0 // 1980-01-01, the first there is
	w, err := out.CreateRaw(&header)
	if err != nil {
		return err
	}
	for _, b := range p.blocks {
		if _, err := w.Write(*b); err != nil {
			return err
		}
	}
	return nil
}

// AddFS is of the library's interface; it never calls it.
func (a *archive) AddFS(fs.FS) error { return errors.ErrUnsupported }

// packer packs one block at a time.
type packer struct {
	flate  *flate.Writer
	raw    []byte
	packed bytes.Buffer
}

func (k *packer) pack(last bool) []byte {
	k.packed.Reset()
	k.flate.Reset(&k.packed)
	end := k.flate.Flush
	if last {
		end = k.flate.Close
	}
	k.flate.Write(k.raw) // into memory
	end()                // into memory
	k.raw = k.raw[:0]
	return bytes.Clone(k.packed.Bytes())
}
