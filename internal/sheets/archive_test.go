package sheets

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"math/rand/v2"
	"runtime"
	"testing"
)

// Parts of any size, cut into blocks or not, come back from archive/zip, which checks their sums; by however many threads
// they are packed, the bytes are the same. And blocks cost little: 1 % at most.
func TestArchive(t *testing.T) {
	text := make([]byte, 3*blockSize+blockSize/2)
	r := rand.New(rand.NewPCG(1, 2))
	for i := range text {
		text[i] = "<c r=\"0123456789\">"[r.IntN(18)]
	}
	sizes := []int{0, 1, blockSize - 1, blockSize, blockSize + 1, 2 * blockSize, len(text)}
	pack := func() []byte {
		t.Helper()
		a, err := newArchive()
		if err != nil {
			t.Fatal(err)
		}
		for i, n := range sizes {
			w, err := a.Create(fmt.Sprintf("part%d", len(sizes)-i))
			if err != nil {
				t.Fatal(err)
			}
			for part := text[:n]; len(part) > 0; { // in pieces of any size
				piece := min(len(part), 1+r.IntN(300_000))
				if _, err := w.Write(part[:piece]); err != nil {
					t.Fatal(err)
				}
				part = part[piece:]
			}
		}
		var out bytes.Buffer
		if err := a.Close(); err != nil {
			t.Fatal(err)
		}
		if err := a.write(&out); err != nil {
			t.Fatal(err)
		}
		return out.Bytes()
	}
	data := pack()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	for i, f := range z.File {
		n := sizes[len(sizes)-1-i] // by name
		from, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		got, err := io.ReadAll(from)
		if err != nil || !bytes.Equal(got, text[:n]) {
			t.Errorf("%s: %d bytes of %d, %v", f.Name, len(got), n, err)
		}
		if f.Flags != 0 {
			t.Errorf("%s: flags %x", f.Name, f.Flags)
		}
	}
	var one bytes.Buffer
	whole := zip.NewWriter(&one)
	for _, n := range sizes {
		w, err := whole.Create("part1")
		if err != nil {
			t.Fatal(err)
		}
		if _, err := w.Write(text[:n]); err != nil {
			t.Fatal(err)
		}
	}
	if err := whole.Close(); err != nil {
		t.Fatal(err)
	}
	if len(data)*100 > one.Len()*101 {
		t.Errorf("%d bytes, in one block each %d", len(data), one.Len())
	}
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	if !bytes.Equal(data, pack()) {
		t.Error("other bytes by one thread")
	}
}
