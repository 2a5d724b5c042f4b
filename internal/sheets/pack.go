package sheets

import (
	"bytes"
	"compress/flate"
	"hash/crc32"
)

// packing packs texts one after the other, a block of a text while the next is filled. The cuts are always the same, and so
// are the bytes.
type packing struct {
	to   *packed      // the text that is written now
	raw  []byte       // its last block, being filled
	idle chan *packer // empty while it is at work
}

// packed is a text, or a piece of one: packed on its own, to its last whole byte (RFC 1951 lets it be flushed there), so
// that others may stand before and after it.
type packed struct {
	size   uint64
	sum    uint32
	chunks [][]byte
}

const (
	blockSize = 128 << 10
	chunkSize = 64 << 10 // of memory: nothing of it is lost by rounding
	level     = 5        // that of archive/zip
)

func newPacking() *packing {
	k := new(packer)
	k.flate, _ = flate.NewWriter(&k.packed, level) // there is such a level
	p := &packing{to: new(packed), idle: make(chan *packer, 1)}
	p.idle <- k
	return p
}

// Write adds to the text.
func (p *packing) Write(b []byte) (int, error) {
	p.to.size += uint64(len(b))
	p.to.sum = crc32.Update(p.to.sum, crc32.IEEETable, b)
	for rest := b; len(rest) > 0; {
		n := min(len(rest), blockSize-len(p.raw))
		p.raw = append(p.raw, rest[:n]...)
		if rest = rest[n:]; len(p.raw) == blockSize {
			p.pack(goesOn)
		}
	}
	return len(b), nil
}

// pack has the block packed while the next is filled.
func (p *packing) pack(how ending) {
	k, to := <-p.idle, p.to
	k.raw, p.raw = p.raw, k.raw[:0]
	go func() {
		to.chunks = append(to.chunks, k.pack(how)...)
		p.idle <- k
	}()
}

// wait waits until all is packed.
func (p *packing) wait() { p.idle <- <-p.idle }

// add appends a text that is packed already. Its sum is that of a text at the beginning: what stands before it changes the
// sum (a CRC, which is linear) as it changes that of as many zeros.
func (p *packed) add(q *packed) {
	after, alone := p.sum, uint32(0)
	var zeros [1 << 16]byte
	for left := q.size; left > 0; {
		z := zeros[:min(left, uint64(len(zeros)))]
		after, alone = crc32.Update(after, crc32.IEEETable, z), crc32.Update(alone, crc32.IEEETable, z)
		left -= uint64(len(z))
	}
	p.sum = after ^ alone ^ q.sum
	p.size += q.size
	p.chunks = append(p.chunks, q.chunks...)
}

// ending is how a text goes on after a block.
type ending int

const (
	goesOn ending = iota
	piece         // it ends, and another may follow
	last          // it ends, and the part with it
)

// packer packs one text at a time.
type packer struct {
	flate  *flate.Writer
	raw    []byte
	packed bytes.Buffer
}

// pack packs a block and returns what chunks are full, or the last.
func (k *packer) pack(how ending) (chunks [][]byte) {
	k.flate.Write(k.raw) // into memory, as all that follows
	switch how {
	case piece:
		k.flate.Flush()
	case last:
		k.flate.Close()
	}
	for k.packed.Len() >= chunkSize || how != goesOn && k.packed.Len() > 0 {
		chunks = append(chunks, bytes.Clone(k.packed.Next(chunkSize)))
	}
	if how != goesOn {
		k.flate.Reset(&k.packed)
	}
	return chunks
}
